package view

import (
	"strings"

	"ovenward/schedule"
)

func airOptions() []Option {
	return []Option{
		{"", "as the kind says"}, {string(schedule.Still), "open, still room"}, {string(schedule.Covered), "covered, still"},
		{string(schedule.Fridge), "fridge without a fan"}, {string(schedule.Fan), "fridge or retarder with a fan"}, {string(schedule.Humid), "proof box with steam"},
	}
}

// onDays says on which days hours are, from what is ticked.
func (f *Form) onDays(name string) string {
	var w schedule.Weekdays
	if err := w.UnmarshalText([]byte(strings.Join(f.Values[name], " "))); err != nil || w == 0 {
		w = schedule.EveryDay
	}
	return upper(everyWords(w))
}
