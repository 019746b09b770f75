package recipe

import (
	"math"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// What a method begins as, until the baker makes it their own: common practice,
// no source.
const (
	usualLoss = 12 // percent of the piece
	usualOven = unit.Celsius(220)
	richOven  = unit.Celsius(190) // sugar or fat browns sooner
	rich      = 8                 // percent of sugar or fat from which a dough is rich
)

// makeUp proposes what a recipe does not tell, or not reliably: trays, loss and
// the method.
func (d *Draft) makeUp(b *schedule.Bread) {
	b.Loss = usualLoss
	switch {
	case b.Piece >= 400:
		b.PerTray = 4
	case b.Piece >= 150:
		b.PerTray = 8
	default:
		b.PerTray = 12
	}
	yeasted := func(part string) bool {
		return slices.ContainsFunc(b.Formula.Ingredients, func(in dough.Ingredient) bool {
			return isA(d.library, in, dough.Yeast) && (part == "" || in.Part == part)
		})
	}
	var parts []string
	for _, in := range b.Formula.Ingredients {
		if in.Part == "" || slices.Contains(parts, in.Part) {
			continue
		}
		parts = append(parts, in.Part)
		if yeasted(in.Part) {
			b.Method = append(b.Method, schedule.Stage{Kind: schedule.Mix, Part: in.Part, Minutes: 5, Dough: 23},
				schedule.Stage{Kind: schedule.Rise, Part: in.Part, Until: schedule.Target{Word: schedule.Ripe}})
		} else {
			b.Method = append(b.Method, schedule.Stage{Kind: schedule.Prepare, Part: in.Part, Minutes: 5},
				schedule.Stage{Kind: schedule.Rest, Part: in.Part, Least: 30, Most: 12 * 60})
		}
	}
	rises := yeasted("")
	b.Method = append(b.Method, schedule.Stage{Kind: schedule.Mix, Minutes: 12, Dough: 26})
	if rises {
		b.Method = append(b.Method, schedule.Stage{Kind: schedule.Rise, Until: schedule.Target{Word: schedule.Doubled}})
	}
	if d.Pieces > 1 {
		b.Method = append(b.Method, schedule.Stage{Kind: schedule.Divide, Minutes: 2, PerPiece: 15})
	}
	b.Method = append(b.Method, schedule.Stage{Kind: schedule.Shape, Minutes: 1, PerPiece: 45})
	if rises {
		b.Method = append(b.Method, schedule.Stage{Kind: schedule.Proof, Until: schedule.Target{Word: schedule.ThreeQuarters}})
	}
	b.Method = append(b.Method,
		schedule.Stage{Kind: schedule.Bake, Steps: []schedule.BakeStep{{Celsius: d.heat(b.Formula), Minutes: d.baking(b.Piece)}}},
		schedule.Stage{Kind: schedule.Cool, Least: 30, Most: 480})
}

// heat is the oven's temperature: the recipe's where it names one.
func (d *Draft) heat(f dough.Formula) unit.Celsius {
	t := f.Totals()
	switch {
	case d.Oven > 0:
		return d.Oven
	case t.Sugar+t.Hexose >= rich || t.Fat >= rich:
		return richOven
	}
	return usualOven
}

// baking is how long a piece bakes: the recipe's where that can be, else by the
// cube root of its weight (60 g 16 min, 900 g 39 min: common practice, no
// source).
func (d *Draft) baking(piece unit.Grams) unit.Minutes {
	for _, t := range d.Times {
		if t.Of == "cookTime" && t.Length >= 5*time.Minute && t.Length <= 2*time.Hour {
			return unit.Minutes(math.Ceil(t.Length.Minutes()))
		}
	}
	return unit.Minutes(min(240, math.Round(4*math.Cbrt(float64(piece)))))
}
