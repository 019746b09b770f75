package web

import (
	"math"
	"net/url"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
	"ovenward/web/view"
)

// Bounds of what is weighed out at once.
const (
	mostPieces = 10000
	mostDough  = 1e7  // grams
	leastStep  = 0.01 // of a scale, grams
	mostStep   = 1000
)

// waterPerLitre is what a litre of water at 20 °C weighs, grams (998.2 kg/m³,
// IAPWS-95; from memory).
const waterPerLitre = 998.2

// scaling reads what a bread is scaled by and reckons with it.
type scaling struct {
	decoder
	formula dough.Formula
	each    unit.Grams // dough of one piece
	loss    unit.Percent
	tinWord string // tin or pan
}

// scale gives the weights asked for, or says what is wrong with the question. A
// bread without a formula weighs nothing.
func scale(v url.Values, b schedule.Bread, base schedule.Base, k schedule.Kitchen, tinWord string) (*view.Scaled, []view.FieldFault) {
	in := scaling{decoder: decoder{in: v}, formula: wholeFormula(base.Formula, b.Formula), tinWord: tinWord}
	if !(in.formula.Totals().Sum > 0) {
		return nil, nil
	}
	step := unit.Grams(in.within("step", "The scale", leastStep, mostStep, "g"))
	in.loss = unit.Percent(in.upTo("loss", "The bake loss", 30, "%"))
	w := in.weights(k)
	if len(in.faults) == 0 && !(w.Total <= mostDough) {
		in.fault("by", "This makes %s of dough; at most %s are weighed out at once. Make it less.", w.Total, unit.Grams(mostDough))
	}
	if len(in.faults) > 0 {
		return nil, in.faults
	}
	return in.weighOut(b, base, w.Flour, step), nil
}

// weights are those of the way that was chosen.
func (in *scaling) weights(k schedule.Kitchen) dough.Weights {
	by := in.in.Get("by")
	if by != view.ByTin {
		in.each = in.piece()
	}
	switch by {
	case view.ByPieces:
		return in.formula.ForPieces(in.count("pieces", "pieces"), in.each)
	case view.ByFlour:
		return in.formula.ForFlour(unit.Grams(in.within("flour", "The flour", 1, heaviest, "g")))
	case view.ByTin:
		litres, perLitre := in.tin(k), in.within("per_litre", "The dough for a litre of "+in.tinWord, 50, 1000, "g")
		in.each = unit.Grams(litres) * unit.Grams(perLitre)
		return in.formula.ForTins(in.count("tins", in.tinWord+"s"), litres, unit.Grams(perLitre))
	case view.ByLeft:
		return in.left()
	}
	in.fault("by", "“%s” is no way to scale; choose one from the list.", by)
	return dough.Weights{}
}

// piece is the dough of one piece, reckoned back where its baked weight is given.
func (in *scaling) piece() unit.Grams {
	g := unit.Grams(in.within("each", "One piece", 1, heaviest, "g"))
	switch of := in.in.Get("of"); of {
	case view.AsDough:
		return g
	case view.AsBaked:
		return dough.BeforeBake(g, in.loss)
	default:
		in.fault("of", "“%s” is neither dough nor baked; choose one from the list.", of)
		return g
	}
}

// tin is the volume of one tin, told in one way of three.
func (in *scaling) tin(k schedule.Kitchen) unit.Litres {
	name := strings.TrimSpace(in.in.Get("tin"))
	measured := strings.TrimSpace(in.in.Get("long")+in.in.Get("wide")+in.in.Get("high")) != ""
	water := strings.TrimSpace(in.in.Get("water")) != ""
	switch t, ok := tinNamed(k, name); {
	case name != "" && !ok:
		in.fault("tin", "The kitchen has no %s called “%s”; choose one from the list.", in.tinWord, name)
	case measured && water || name != "" && (measured || water):
		in.fault("tin", "The %s is told in more than one way; keep one: the kitchen's, its inner measures, or the water it holds.", in.tinWord)
	case measured:
		litres := 1.0
		for _, side := range []string{"long", "wide", "high"} {
			litres *= in.within(side, "How "+side+" the "+in.tinWord+" is", 1, 200, "cm") / 10
		}
		return unit.Litres(litres)
	case water:
		return unit.Litres(in.within("water", "The water in the "+in.tinWord, 10, 1e5, "g") / waterPerLitre)
	case name == "":
		in.fault("tin", "No %s is told; choose one of the kitchen, or give its inner measures, or the water it holds.", in.tinWord)
	case !(t.Litres > 0):
		in.fault("tin", "The kitchen does not say how much “%s” holds; say so there, or give its inner measures here.", name)
	default:
		return t.Litres
	}
	return 0
}

// left makes the most of what is left of an ingredient.
func (in *scaling) left() dough.Weights {
	g := unit.Grams(in.within("left", "What is left", 0.1, heaviest, "g"))
	food := in.in.Get("food")
	w, ok := in.formula.ForRemaining(food, g)
	switch {
	case food == "":
		in.fault("food", "No ingredient is chosen; choose the one that is left.")
	case !ok:
		in.fault("food", "“%s” is not in this bread; choose one of its ingredients.", food)
	}
	return w
}

// within reads a figure that must be given.
func (in *decoder) within(field, what string, least, most float64, unit string) float64 {
	text, n := strings.TrimSpace(in.in.Get(field)), len(in.faults)
	if text == "" {
		in.fault(field, "%s is missing; give %g to %.0f %s.", what, least, most, unit)
		return 0
	}
	x := in.number(field, text)
	if len(in.faults) == n && !(x >= least && x <= most) {
		in.fault(field, "%s cannot be %s %s; give %g to %.0f %s.", what, text, unit, least, most, unit)
	}
	return x
}

// upTo reads a figure that may be nothing.
func (in *scaling) upTo(field, what string, most float64, unit string) float64 {
	if strings.TrimSpace(in.in.Get(field)) == "" {
		return 0
	}
	return in.within(field, what, 0, most, unit)
}

// count reads a number of pieces or tins.
func (in *scaling) count(field, of string) int {
	text, n := strings.TrimSpace(in.in.Get(field)), len(in.faults)
	if text == "" {
		in.fault(field, "The number of %s is missing; give 1 to %d.", of, mostPieces)
		return 0
	}
	x := in.whole(field, text)
	if len(in.faults) == n && (x < 1 || x > mostPieces) {
		in.fault(field, "%s %s cannot be; give 1 to %d.", text, of, mostPieces)
	}
	return x
}

// weighOut rounds to the scale and tells what comes of it.
func (in *scaling) weighOut(b schedule.Bread, base schedule.Base, flour, step unit.Grams) *view.Scaled {
	out := &view.Scaled{Flour: flour, Each: in.each, Loss: in.loss}
	exact := in.formula.ForFlour(flour)
	weighed := exact.Round(step)
	first := b.Formula
	if b.Base != "" {
		first = base.Formula
	}
	out.Parts = view.ScaledParts(first, flour, step, b.Base != "")
	if b.Base != "" {
		out.Parts = append(out.Parts, view.ScaledAdditions(b.Formula, flour, step)...)
	}
	out.Total = weighed.Total
	if in.each > 0 {
		out.Pieces = int(math.Floor(float64(exact.Total/in.each) + 1e-9))
		out.Over = max(0, exact.Total-unit.Grams(out.Pieces)*in.each)
	}
	if in.in.Get("by") == view.ByLeft {
		out.Short = in.short(weighed)
	}
	return out
}

// short is what rounding asks for of an ingredient that is not there; 0 for none.
func (in *scaling) short(w dough.Weights) unit.Grams {
	var asked unit.Grams
	for _, p := range w.Parts {
		for _, l := range p.Lines {
			if in.formula.Ingredients[l.Ingredient].Food == in.in.Get("food") {
				asked += l.Grams
			}
		}
	}
	return max(0, asked-unit.Grams(in.number("left", strings.TrimSpace(in.in.Get("left")))))
}
