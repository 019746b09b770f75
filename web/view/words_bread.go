package view

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"ovenward/schedule"
	"ovenward/schedule/dough"
)

func breadLine(b schedule.Bread, bases []schedule.Base) string {
	s := b.Piece.String() + " a piece"
	for _, x := range bases {
		if x.ID == b.Base && b.Base != "" {
			s += " · from " + x.Name
		}
	}
	return s
}

// formulas are what goes into a bread: its base and its own.
func formulas(b schedule.Bread, bases []schedule.Base) []dough.Formula {
	out := []dough.Formula{b.Formula}
	for _, x := range bases {
		if x.ID == b.Base && b.Base != "" {
			out = append(out, x.Formula)
		}
	}
	return out
}

// options offers what is chosen where nothing is, in a word of its own, and all
// else by name.
func options[T any](nothing string, all []T, option func(T) Option) []Option {
	out := []Option{{"", nothing}}
	for _, x := range all {
		out = append(out, option(x))
	}
	return out
}

func named(name string) Option { return Option{name, name} }

func baseOptions(bases []schedule.Base) []Option {
	return options("a dough of its own", bases, func(b schedule.Base) Option { return Option{b.ID, b.Name} })
}

func tinOptions(k schedule.Kitchen) []Option {
	return options("none, free-standing", k.Tins, func(t schedule.Tin) Option { return named(t.Name) })
}

func trayOptions(k schedule.Kitchen) []Option {
	return options("the usual", k.Trays, func(t schedule.Tray) Option { return named(t.Name) })
}

func placeOptions(k schedule.Kitchen) []Option {
	return options("the bench", k.Places, func(p schedule.Place) Option { return named(p.Name) })
}

func coldOptions(k schedule.Kitchen) []Option {
	cold := slices.DeleteFunc(slices.Clone(k.Places), func(p schedule.Place) bool { return p.Kind != schedule.Cold })
	return options("no", cold, func(p schedule.Place) Option { return named(p.Name) })
}

func kindOptions(w Words) []Option {
	var out []Option
	for _, k := range schedule.StageKinds() {
		out = append(out, Option{string(k), w.Verb(k)})
	}
	return out
}

func targetOptions(w Words) []Option {
	return []Option{
		{"", "by volume"}, {string(schedule.Doubled), "doubled"}, {string(schedule.HalfMore), "risen by about two thirds"},
		{string(schedule.Recedes), "recedes at a touch"}, {string(schedule.TinFull), "the " + w.Tin() + " is full"},
		{string(schedule.ThreeQuarters), "risen by three quarters"}, {string(schedule.WellRisen), "well risen"},
		{string(schedule.Ripe), "ripe, a preferment"},
	}
}

func roleOptions() []Option {
	var out []Option
	for r := dough.Other; r <= dough.Inclusion; r++ {
		out = append(out, Option{r.String(), r.String()})
	}
	return out
}

func yeastOptions() []Option {
	return []Option{{"", "none"}, {string(dough.FreshYeast), "fresh"}, {string(dough.ActiveDry), "active dry"}, {string(dough.Instant), "instant"}}
}

func foodOptions(l dough.Library) []Option {
	var out []Option
	for _, f := range l.All() {
		out = append(out, Option{f.ID, f.Name})
	}
	return out
}

// WhichFood asks what is meant by the name of an ingredient: one of the answers,
// where the name may be several; else perhaps one of them.
func WhichFood(name string, several bool, answers []Option) string {
	var words []string
	for _, a := range answers {
		words = append(words, a.Word)
	}
	switch {
	case several && len(words) > 1:
		return fmt.Sprintf("“%s” may be %s; say which.", name, either(words))
	case several:
		return fmt.Sprintf("“%s” may be %s or something else; say which.", name, either(words))
	case len(words) > 0:
		return fmt.Sprintf("“%s” is not known; take %s, add it to the ingredients first, or give its own composition.", name, either(words))
	}
	return fmt.Sprintf("“%s” is not known; choose one from the list, add it to the ingredients first, or give its own composition.", name)
}

// amount is what stands in a field for an amount: a plain number is a percentage,
// and shown as one.
func (f *Form) amount(name string) string {
	v := f.get(name)
	if v != "" && strings.Trim(v, "0123456789.,") == "" {
		return v + " %"
	}
	return v
}

// measured reports whether a field holds a household measure.
func (f *Form) measured(name string) bool {
	v := strings.ToLower(f.get(name))
	for _, unit := range []string{"%", "kg", "g"} {
		v = strings.ReplaceAll(v, unit, "")
	}
	return strings.ContainsFunc(v, unicode.IsLetter)
}

// joined are the values of a field side by side.
func (f *Form) joined(name string) string { return strings.Join(f.Values[name], ", ") }
