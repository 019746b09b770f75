package view

import (
	"fmt"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// batchWords is a batch as it is weighed out.
type batchWords struct {
	Title, Makes, Allergens string
	Parts                   []partWords
	Water                   []string // how warm
}

type partWords struct {
	Name  string
	Lines []lineWords
}

type lineWords struct{ Name, Percent, Grams string }

// batches words every mix: what goes in, bowl by bowl, and what it makes.
func (m *Picture) batches(bench Bench) []batchWords {
	var out []batchWords
	for _, b := range m.Plan.Batches {
		f, ok := m.Day.Formula(b.Dough)
		if !ok {
			continue
		}
		w := batchWords{Title: b.ID + " " + b.Name + ", " + b.Mass.String()}
		var makes []string
		all := []dough.Formula{f}
		for _, p := range b.Portions {
			makes = append(makes, fmt.Sprintf("%s %d %s", p.ID, p.Pieces, p.Name))
			if br, ok := m.Day.Bread(p.Bread); ok && br.Base != "" {
				all = append(all, br.Formula)
			}
		}
		w.Makes, w.Allergens = strings.Join(makes, ", "), Allergens(bench.Rules, all...)
		w.Parts = parts(f, b.Mass, "Dough")
		w.Water = m.water(b, f, bench)
		for _, p := range b.Portions {
			if br, ok := m.Day.Bread(p.Bread); ok && br.Base != "" && len(br.Formula.Ingredients) > 0 {
				w.Parts = append(w.Parts, additions(br, p, f)...)
			}
		}
		out = append(out, w)
	}
	return out
}

// parts weighs a formula out for a mass of dough.
func parts(f dough.Formula, mass unit.Grams, main string) []partWords {
	sum := f.Totals().Sum
	if sum <= 0 {
		return nil
	}
	return weighed(f, f.ForFlour(mass*100/unit.Grams(sum)), main)
}

// additions weighs what one bread adds to its share of a base.
func additions(br *schedule.Bread, p schedule.Portion, base dough.Formula) []partWords {
	both := base.Totals().Sum + br.Formula.Totals().Sum
	if both <= 0 {
		return nil
	}
	flour := br.Piece * unit.Grams(p.Pieces) * 100 / unit.Grams(both)
	return weighed(br.Formula, br.Formula.ForFlour(flour), "Into "+p.ID+" "+p.Name)
}

func weighed(f dough.Formula, w dough.Weights, main string) []partWords {
	var out []partWords
	for _, p := range w.Parts {
		part := partWords{Name: orElse(upper(p.Name), main)}
		for _, l := range p.Lines {
			part.Lines = append(part.Lines, lineWords{l.Label, f.Ingredients[l.Ingredient].Percent.String(), Scale(l.Grams)})
		}
		out = append(out, part)
	}
	return out
}

// care gathers what the day's doughs and breads ask to be careful about, each once.
func (m *Picture) care() []string {
	var out []string
	for _, b := range m.Plan.Batches {
		if s := m.warmth(b); s != "" {
			out = append(out, s)
		}
	}
	seen := map[string]bool{}
	for _, b := range m.Plan.Batches {
		for _, f := range m.formulas(b, everyPortion) {
			for _, s := range Care(f) {
				if !seen[s] {
					seen[s] = true
					out = append(out, s)
				}
			}
		}
	}
	return out
}
