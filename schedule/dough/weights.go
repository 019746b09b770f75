package dough

import "ovenward/schedule/unit"

// Weights is a formula at a size.
type Weights struct {
	Flour unit.Grams `json:"flour"` // all flour, unrounded
	Total unit.Grams `json:"total"` // sum of the lines as they are to be weighed
	Parts []Part     `json:"parts"` // preferments and soakers in order of appearance, the final mix last
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

// ForFlour weighs the formula out for an amount of flour.
func (f Formula) ForFlour(flour unit.Grams) Weights { return Weights{Flour: flour} }

// ForDough weighs the formula out for an amount of dough.
func (f Formula) ForDough(total unit.Grams) Weights { return Weights{Total: total} }

// ForPieces weighs the formula out for n pieces of dough of the given weight.
func (f Formula) ForPieces(n int, each unit.Grams) Weights {
	return f.ForDough(unit.Grams(n) * each)
}

// ForTins weighs the formula out for n tins of the given volume, each filled
// with perLitre of dough for a litre of tin.
func (f Formula) ForTins(n int, tin unit.Litres, perLitre unit.Grams) Weights {
	return f.ForPieces(n, unit.Grams(tin)*perLitre)
}

// ForRemaining makes the most of what is left of a food; false when the
// formula holds none of it.
func (f Formula) ForRemaining(food string, left unit.Grams) (Weights, bool) { return Weights{}, false }

// Round rounds every line to the scale's step.
func (w Weights) Round(step unit.Grams) Weights { return w }

// BeforeBake is the dough that bakes to the given weight when loss per cent of
// the dough goes up in steam.
func BeforeBake(baked unit.Grams, loss unit.Percent) unit.Grams {
	return baked / unit.Grams(1-loss/100)
}
