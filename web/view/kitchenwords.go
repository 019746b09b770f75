package view

import (
	"strconv"
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

// deckOptions are the decks of an oven, as many as it is said to have.
func deckOptions(f *Form, oven int) []Option {
	out := []Option{{"", "every deck"}}
	decks, _ := strconv.Atoi(strings.TrimSpace(f.get(row("ovens", oven, "decks"))))
	for n := range min(decks, 50) {
		out = append(out, Option{itoa(n + 1), "deck " + itoa(n+1)})
	}
	return out
}

// heldOptions are the tins and trays as typed.
func heldOptions(f *Form) []Option {
	out := []Option{{"", "usual tray"}}
	for _, list := range []string{"tins", "trays"} {
		for i := range f.rows(list) {
			if name := strings.TrimSpace(f.get(row(list, i, "name"))); name != "" {
				out = append(out, Option{name, name})
			}
		}
	}
	return out
}
