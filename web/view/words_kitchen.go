package view

import (
	"fmt"
	"strconv"
	"strings"

	"ovenward/schedule"
	"ovenward/store/record"
)

func airOptions() []Option {
	return []Option{
		{"", "as the kind says"}, {string(schedule.Still), "open, still room"}, {string(schedule.Covered), "covered, still"},
		{string(schedule.Fridge), "fridge without a fan"}, {string(schedule.Fan), "fridge or retarder with a fan"}, {string(schedule.Humid), "proof box with steam"},
	}
}

// followers says how many breads and doughs follow a new name of row i; "" for none.
func followers(n record.Named, f *Form, list string, i int) string {
	many, what := n[list][f.get(row(list, i, "was"))], "bread"
	if list == "places" {
		what = "bread or dough"
	}
	switch many {
	case 0:
		return ""
	case 1:
		return "1 " + what + " uses it, and follows a new name"
	}
	return fmt.Sprintf("%d %ss use it, and follow a new name", many, strings.Replace(what, " or", "s and", 1))
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
