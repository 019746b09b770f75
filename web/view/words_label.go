package view

import (
	"cmp"
	"slices"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// labelWords is what goes beside a bread where it is sold.
type labelWords struct {
	Name, Makes string
	Ingredients []labelIngredient // by weight, most first
	Contains    string
	Check       string // what depends on the maker
	Unknown     string
	Care        []string
}

type labelIngredient struct {
	Name     string
	Allergen bool // to be emphasised
	End      string
}

// breadLabels words a label for every bread of the plan, as often as it is first
// made.
func (m *Picture) breadLabels(rules dough.Rules) []labelWords {
	pieces := map[string]int{}
	var order []string
	for _, b := range m.Plan.Batches {
		for _, p := range b.Portions {
			if pieces[p.Bread] == 0 {
				order = append(order, p.Bread)
			}
			pieces[p.Bread] += p.Pieces
		}
	}
	var out []labelWords
	for _, id := range order {
		if br, ok := m.Day.Bread(id); ok {
			out = append(out, m.label(br, pieces[id], rules))
		}
	}
	return out
}

func (m *Picture) label(br *schedule.Bread, pieces int, rules dough.Rules) labelWords {
	f := br.Formula
	if base, ok := m.Day.Base(br.Base); ok && br.Base != "" {
		f = dough.Formula{Ingredients: append(slices.Clone(base.Formula.Ingredients), f.Ingredients...)}
	}
	a := f.Allergens(rules)
	l := labelWords{
		Name: br.Name, Makes: count(pieces, "piece") + ", " + br.Piece.String() + " of dough each",
		Ingredients: byWeight(f, a), Contains: orElse(declared(a.Contains, rules), "no allergen of this list that is known"),
		Check: declared(a.Check, rules), Unknown: list(a.Unknown),
	}
	for _, c := range f.Cautions() {
		if c.Section != "" && c.Code != "core" { // it is baked
			l.Care = append(l.Care, cautionWords(c))
		}
	}
	return l
}

// byWeight lists what is in a formula, the heaviest first, each name once.
func byWeight(f dough.Formula, a dough.Allergens) []labelIngredient {
	percent := map[string]unit.Percent{}
	var names []string
	for _, in := range f.Ingredients {
		if _, there := percent[in.Label()]; !there {
			names = append(names, in.Label())
		}
		percent[in.Label()] += in.Percent
	}
	slices.SortStableFunc(names, func(a, b string) int { return cmp.Compare(percent[b], percent[a]) })
	out := make([]labelIngredient, len(names))
	for i, n := range names {
		out[i] = labelIngredient{n, slices.ContainsFunc(a.Contains, func(d dough.Declaration) bool { return slices.Contains(d.From, n) }), ", "}
	}
	if len(out) > 0 {
		out[len(out)-1].End = "."
	}
	return out
}

// declared names allergens as the law does, with what they come from.
func declared(ds []dough.Declaration, rules dough.Rules) string {
	var out []string
	for _, d := range ds {
		out = append(out, allergen(d.Allergen, rules)+" ("+strings.Join(d.From, ", ")+")")
	}
	return strings.Join(out, ", ")
}

func allergen(a dough.Allergen, rules dough.Rules) string {
	if rules == dough.US {
		switch a {
		case dough.AllergenCrustaceans:
			return "crustacean shellfish"
		case dough.AllergenSoya:
			return "soybeans"
		case dough.AllergenNuts:
			return "tree nuts"
		}
	}
	return string(a)
}

// rulesName says which law the labels follow.
func rulesName(r dough.Rules) string {
	if r == dough.US {
		return "the nine major allergens of the United States (FALCPA 2004, FASTER Act 2021)"
	}
	return "the fourteen of the European Union (Regulation 1169/2011, Annex II)"
}
