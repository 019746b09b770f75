package dough

import (
	"math"

	"ovenward/schedule/unit"
)

// Weights is a formula at a size.
type Weights struct {
	Flour unit.Grams `json:"flour"` // all flour, before rounding
	Total unit.Grams `json:"total"` // all lines as they are to be weighed
	Parts []Part     `json:"parts"` // preferments and soakers as they first appear, the final mix last
}

// Part is what is weighed into one bowl.
type Part struct {
	Name  string     `json:"name"` // empty for the final mix
	Lines []Line     `json:"lines"`
	Total unit.Grams `json:"total"`
}

// Line is one ingredient to weigh.
type Line struct {
	Ingredient int        `json:"ingredient"` // index in the formula
	Label      string     `json:"label"`
	Exact      unit.Grams `json:"exact"`
	Grams      unit.Grams `json:"grams"` // what the scale should show
}

// Coarse tells whether the scale is too coarse for the line: rounding moved it
// by more than a twentieth.
func (l Line) Coarse() bool {
	return math.Abs(float64(l.Grams-l.Exact)) > 0.05*math.Abs(float64(l.Exact))
}

// ForFlour weighs the formula out for an amount of flour: every ingredient is
// flour x percent / 100.
func (f Formula) ForFlour(flour unit.Grams) Weights {
	w := Weights{Flour: flour}
	for _, name := range f.parts() {
		p := Part{Name: name}
		for i, in := range f.Ingredients {
			if in.Part == name {
				g := flour * unit.Grams(in.Percent) / 100
				p.Lines = append(p.Lines, Line{Ingredient: i, Label: in.Label(), Exact: g, Grams: g})
				p.Total += g
			}
		}
		w.Parts = append(w.Parts, p)
		w.Total += p.Total
	}
	return w
}

// parts names the bowls in the order of their first ingredient, the final mix last.
func (f Formula) parts() []string {
	var names []string
	seen := map[string]bool{"": true}
	for _, in := range f.Ingredients {
		if !seen[in.Part] {
			seen[in.Part] = true
			names = append(names, in.Part)
		}
	}
	return append(names, "")
}

// ForDough weighs the formula out for an amount of dough: the flour is
// dough x 100 / sum of the percentages. A formula without a sum weighs nothing.
func (f Formula) ForDough(total unit.Grams) Weights {
	var sum unit.Percent
	for _, in := range f.Ingredients {
		sum += in.Percent
	}
	if !(sum > 0) {
		return f.ForFlour(0)
	}
	return f.ForFlour(total * 100 / unit.Grams(sum))
}

// ForPieces weighs the formula out for n pieces of dough of the given weight.
func (f Formula) ForPieces(n int, each unit.Grams) Weights {
	return f.ForDough(unit.Grams(n) * each)
}

// ForTins weighs the formula out for n tins of the given volume, perLitre of
// dough to a litre of tin.
func (f Formula) ForTins(n int, tin unit.Litres, perLitre unit.Grams) Weights {
	return f.ForPieces(n, unit.Grams(tin)*perLitre)
}

// ForRemaining makes the most of what is left of a food, given by its slug;
// false when the formula holds none of it.
func (f Formula) ForRemaining(food string, left unit.Grams) (Weights, bool) {
	var share unit.Percent
	for _, in := range f.Ingredients {
		if in.Food == food {
			share += in.Percent
		}
	}
	if !(share > 0) {
		return Weights{}, false
	}
	return f.ForFlour(left * 100 / unit.Grams(share)), true
}

// Round rounds every line to the scale's step, but never an ingredient away. A
// step of zero or less leaves the weights alone.
func (w Weights) Round(step unit.Grams) Weights {
	if !(step > 0) {
		return w
	}
	r := Weights{Flour: w.Flour, Parts: make([]Part, len(w.Parts))}
	for i, p := range w.Parts {
		q := Part{Name: p.Name, Lines: make([]Line, len(p.Lines))}
		for j, l := range p.Lines {
			l.Grams = roundTo(l.Exact, step)
			q.Lines[j] = l
			q.Total += l.Grams
		}
		r.Parts[i] = q
		r.Total += q.Total
	}
	return r
}

// roundTo is the multiple of step nearest to g, at least one step if g is anything.
func roundTo(g, step unit.Grams) unit.Grams {
	n := math.Round(float64(g / step))
	if n == 0 && g > 0 {
		n = 1
	}
	return unit.Grams(n) * step
}

// BeforeBake is the dough that bakes to the given weight when loss per cent of
// the dough goes up in steam; loss is below 100.
func BeforeBake(baked unit.Grams, loss unit.Percent) unit.Grams {
	return baked / unit.Grams(1-loss/100)
}
