package web

import (
	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
	"ovenward/web/view"
)

// beginnings are breads to begin with: plain formulas of the trade's usual shares,
// common practice, no source. Mixing is by machine, and the night in the fridge
// possible, where the kitchen has one.
func beginnings() []view.Option {
	return []view.Option{
		{Value: "loaf", Word: "White loaf: flour, water, salt, yeast; risen twice, ready the same day"},
		{Value: "rolls", Word: "Soft rolls: with milk, butter and a little sugar"},
		{Value: "slow", Word: "Slow loaf: part whole wheat, little yeast; may spend the night in the fridge"},
	}
}

// beginning is one of them, made for a kitchen.
func beginning(id string, k schedule.Kitchen) (schedule.Bread, bool) {
	var b schedule.Bread
	switch id {
	case "loaf":
		b = schedule.Bread{Name: "White loaf", Piece: 800, PerTray: 2, Loss: 14,
			Formula: dough.Formula{Ingredients: []dough.Ingredient{{Food: "bread-flour", Percent: 100}, {Food: "water", Percent: 65}, {Food: "salt", Percent: 2}, {Food: "instant-yeast", Percent: 0.8}}},
			Method:  method(12, schedule.Doubled, 45, nil, schedule.BakeStep{Celsius: 230, Minutes: 12, Steam: true}, schedule.BakeStep{Celsius: 210, Minutes: 23}),
		}
	case "rolls":
		b = schedule.Bread{Name: "Soft rolls", Piece: 60, PerTray: 12, Loss: 12,
			Formula: dough.Formula{Ingredients: []dough.Ingredient{{Food: "bread-flour", Percent: 100}, {Food: "milk", Percent: 60}, {Food: "butter", Percent: 8}, {Food: "sugar", Percent: 6}, {Food: "salt", Percent: 1.8}, {Food: "instant-yeast", Percent: 1.2}}},
			Method:  method(12, schedule.Doubled, 15, nil, schedule.BakeStep{Celsius: 200, Minutes: 15}),
		}
	case "slow":
		b = schedule.Bread{Name: "Slow loaf", Piece: 850, PerTray: 2, Loss: 15,
			Formula: dough.Formula{Ingredients: []dough.Ingredient{{Food: "bread-flour", Percent: 85}, {Food: "whole-wheat-flour", Percent: 15}, {Food: "water", Percent: 70}, {Food: "salt", Percent: 2}, {Food: "instant-yeast", Percent: 0.35}}},
			Method:  method(10, schedule.HalfMore, 60, []float64{0.3, 0.6}, schedule.BakeStep{Celsius: 240, Minutes: 15, Steam: true}, schedule.BakeStep{Celsius: 215, Minutes: 27}),
		}
	default:
		return b, false
	}
	fit(&b, k)
	return b, true
}

// method is the way of a plain bread, risen twice.
func method(mix unit.Minutes, until schedule.TargetWord, shape float64, folds []float64, bake ...schedule.BakeStep) []schedule.Stage {
	return []schedule.Stage{
		{Kind: schedule.Mix, Minutes: mix, Dough: 25},
		{Kind: schedule.Rise, Until: schedule.Target{Word: until}, Folds: folds},
		{Kind: schedule.Divide, Minutes: 1, PerPiece: 15},
		{Kind: schedule.Rest, Least: 10, Most: 30},
		{Kind: schedule.Shape, Minutes: 1, PerPiece: shape},
		{Kind: schedule.Proof, Until: schedule.Target{Word: schedule.ThreeQuarters}},
		{Kind: schedule.Bake, Steps: bake},
		{Kind: schedule.Cool, Least: 45, Most: 600},
	}
}

// fit makes a bread one that can be made in a kitchen: with its mixer, in its
// fridge, no hotter than its oven.
func fit(b *schedule.Bread, k schedule.Kitchen) {
	var hottest unit.Celsius
	for _, o := range k.Ovens {
		hottest = max(hottest, o.Max)
	}
	for i := range b.Method {
		st := &b.Method[i]
		switch st.Kind {
		case schedule.Mix:
			st.Machine = len(k.Mixers) > 0
			st.Alone = st.Machine
		case schedule.Proof:
			for _, p := range k.Places {
				if p.Kind == schedule.Cold && st.Chill == nil {
					st.Chill = &schedule.Chill{Place: p.Name, Least: 8 * 60, Most: 16 * 60}
				}
			}
		case schedule.Bake:
			for j := range st.Steps {
				st.Steps[j].Celsius = min(st.Steps[j].Celsius, hottest)
			}
		}
	}
}
