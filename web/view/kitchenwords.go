package view

import "ovenward/schedule"

func airOptions() []Option {
	return []Option{
		{"", "as the kind says"}, {string(schedule.Still), "open, still room"}, {string(schedule.Covered), "covered, still"},
		{string(schedule.Fridge), "fridge without a fan"}, {string(schedule.Fan), "fridge or retarder with a fan"}, {string(schedule.Humid), "proof box with steam"},
	}
}
