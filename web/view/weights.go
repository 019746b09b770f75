package view

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// batchWords is a batch as it is weighed out.
type batchWords struct {
	ID, Title, Makes, Allergens string
	Parts                       []partWords
	Water                       []string // how warm
}

type partWords struct {
	Name  string
	Lines []lineWords
}

// lineWords is one ingredient; Exact is what it should be where the scale is too
// coarse for it.
type lineWords struct{ Name, Percent, Grams, Exact string }

// doughSheet is the sheet of paper of one dough.
type doughSheet struct {
	batchWords
	Stages []Row
	Loads  []loadWords
	Notes  []noteWords
	Care   []string
}

// noteWords are the notes of one bread, line by line.
type noteWords struct {
	Name  string
	Lines []string
}

// notesOf are those of the breads of a batch.
func (m *Picture) notesOf(batch string) (out []noteWords) {
	seen := map[string]bool{}
	for _, b := range m.Plan.Batches {
		for _, p := range b.Portions {
			if br, ok := m.Day.Bread(p.Bread); ok && b.ID == batch && br.Notes != "" && !seen[br.ID] {
				seen[br.ID] = true
				out = append(out, noteWords{br.Name, strings.Split(br.Notes, "\n")})
			}
		}
	}
	return out
}

// benchSheets are the sheets of a day, dough by dough.
func (m *Picture) benchSheets(bench Bench) []doughSheet {
	rows, loads := Rows(m), m.loads()
	var out []doughSheet
	for _, w := range m.batches(bench) {
		s := doughSheet{batchWords: w, Notes: m.notesOf(w.ID), Care: m.careOf(w.ID)}
		for _, r := range rows {
			if r.Batch == w.ID {
				s.Stages = append(s.Stages, r)
			}
		}
		underDates(s.Stages)
		for _, l := range loads {
			if l.Batch == w.ID {
				s.Loads = append(s.Loads, l)
			}
		}
		out = append(out, s)
	}
	return out
}

// batches words every mix: what goes in, bowl by bowl, and what it makes.
func (m *Picture) batches(bench Bench) []batchWords {
	var out []batchWords
	for _, b := range m.Plan.Batches {
		f, ok := m.Day.Formula(b.Dough)
		if !ok {
			continue
		}
		w := batchWords{ID: b.ID, Title: b.ID + " " + b.Name + ", " + b.Mass.String()}
		var makes []string
		all := []dough.Formula{f}
		for _, p := range b.Portions {
			makes = append(makes, fmt.Sprintf("%s: %d\u00a0×\u00a0%s", p.ID, p.Pieces, p.Name))
			if br, ok := m.Day.Bread(p.Bread); ok && br.Base != "" {
				all = append(all, br.Formula)
			}
		}
		w.Makes, w.Allergens = strings.Join(makes, ", "), Allergens(bench.Rules, all...)
		w.Parts = parts(f, b.Mass, bench.Step, "Dough")
		w.Water = m.water(b, f, bench)
		for _, p := range b.Portions {
			if br, ok := m.Day.Bread(p.Bread); ok && br.Base != "" && len(br.Formula.Ingredients) > 0 {
				w.Parts = append(w.Parts, additions(br, p, f, bench.Step)...)
			}
		}
		out = append(out, w)
	}
	return out
}

// parts weighs a formula out for a mass of dough.
func parts(f dough.Formula, mass, step unit.Grams, main string) []partWords {
	sum := f.Totals().Sum
	if sum <= 0 {
		return nil
	}
	return weighed(f, f.ForFlour(mass*100/unit.Grams(sum)), step, main)
}

// additions weighs what one bread adds to its share of a base.
func additions(br *schedule.Bread, p schedule.Portion, base dough.Formula, step unit.Grams) []partWords {
	both := base.Totals().Sum + br.Formula.Totals().Sum
	if both <= 0 {
		return nil
	}
	flour := br.Piece * unit.Grams(p.Pieces) * 100 / unit.Grams(both)
	return weighed(br.Formula, br.Formula.ForFlour(flour), step, "Into "+p.ID+" "+p.Name)
}

// weighed words weights as a scale of so many grams a step shows them; 0 is a scale
// that nobody spoke of.
func weighed(f dough.Formula, w dough.Weights, step unit.Grams, main string) []partWords {
	show := Scale
	if step > 0 {
		w, show = w.Round(step), onScale
	}
	var out []partWords
	for _, p := range w.Parts {
		part := partWords{Name: orElse(upper(p.Name), main)}
		for _, l := range p.Lines {
			words := lineWords{Name: l.Label, Percent: f.Ingredients[l.Ingredient].Percent.String(), Grams: show(l.Grams)}
			if l.Coarse() {
				words.Exact = l.Exact.String()
			}
			part.Lines = append(part.Lines, words)
		}
		out = append(out, part)
	}
	return out
}

// care gathers what the day's doughs and breads ask to be careful about, each once.
func (m *Picture) care() []string {
	var out []string
	for _, b := range m.Plan.Batches {
		for _, s := range m.careOf(b.ID) {
			if !slices.Contains(out, s) {
				out = append(out, s)
			}
		}
	}
	return out
}

// careOf is what one batch and its breads ask to be careful about, how long it is
// warm first.
func (m *Picture) careOf(batch string) []string {
	var out []string
	for _, b := range m.Plan.Batches {
		if b.ID != batch {
			continue
		}
		if s := m.warmth(b); s != "" {
			out = append(out, s)
		}
		for _, f := range m.formulas(b, everyPortion) {
			for _, s := range Care(f) {
				if !slices.Contains(out, s) {
					out = append(out, s)
				}
			}
		}
	}
	return out
}
