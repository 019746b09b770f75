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
	Baked       string            // the day
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
		Name: br.Name, Makes: makes(br, pieces), Baked: m.bakedOn(br.ID),
		Ingredients: byWeight(f, a), Contains: orElse(declared(a.Contains, rules), "no allergen of this list that is known"),
		Check: declared(a.Check, rules), Unknown: list(a.Unknown),
	}
	for _, c := range f.Cautions() {
		if c.Code == dough.FilledGoods { // the others are the kitchen's: on the bench sheet
			l.Care = append(l.Care, cautionWords(c))
		}
	}
	return l
}

// makes is how many there are, and what one weighs.
func makes(br *schedule.Bread, pieces int) string {
	s := count(pieces, "piece") + ", " + br.Piece.String() + " of dough each"
	if br.Loss > 0 {
		s += ", about " + (br.Piece * unit.Grams(1-br.Loss/100)).String() + " baked"
	}
	return s
}

// bakedOn is the date the last of a bread comes out of the oven, "" for none.
func (m *Picture) bakedOn(bread string) (day string) {
	for _, b := range m.Plan.Batches {
		for _, p := range b.Portions {
			for _, t := range m.Plan.Tasks { // by start
				if p.Bread == bread && t.Kind == schedule.Bake && t.Batch == b.ID && t.Portion == p.ID {
					day = date(t.End)
				}
			}
		}
	}
	return day
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
	end := ", "
	if slices.ContainsFunc(names, func(n string) bool { return strings.Contains(n, ",") }) {
		end = "; "
	}
	out := make([]labelIngredient, len(names))
	for i, n := range names {
		out[i] = labelIngredient{n, slices.ContainsFunc(a.Contains, func(d dough.Declaration) bool { return slices.Contains(d.From, n) }), end}
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
		out = append(out, allergen(d.Allergen, rules)+" ("+strings.Join(d.From, "; ")+")")
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
