package schedule

import (
	"ovenward/schedule/dough"
	"ovenward/schedule/rise"
	"ovenward/schedule/unit"
)

// yeastly is a formula as its yeast sees it.
func yeastly(f dough.Formula) rise.Recipe {
	t := f.Totals()
	r := rise.Recipe{
		Yeast: t.Yeast, Kind: rise.Fresh, // counted as fresh already
		Salt: t.Salt, Sugar: t.Sugar, Hexose: t.Hexose, Fat: t.Fat, Water: t.Water,
		WholeGrain: t.WholeGrain, WeakFlour: t.FlourProtein > 0 && t.FlourProtein < 10,
	}
	if t.Flour > 0 {
		r.DoughPerFlour = float64(t.Sum / t.Flour)
	}
	return r
}

// combined is the dough of a portion: its base with the bread's additions.
func combined(whole dough.Formula, b *Bread) dough.Formula {
	if b.Base == "" {
		return whole
	}
	all := append(append([]dough.Ingredient{}, whole.Ingredients...), b.Formula.Ingredients...)
	return dough.Formula{Ingredients: all}
}

// partOf is the formula of a preferment or soaker alone, its own flour taken as
// 100 %, and its share of the whole dough's weight.
func partOf(f dough.Formula, part string) (dough.Formula, float64) {
	flour, weight, total := 0.0, 0.0, 0.0
	for _, in := range f.Ingredients {
		total += float64(in.Percent)
		if in.Part != part {
			continue
		}
		weight += float64(in.Percent)
		if food, ok := in.Resolve(); ok && food.Role == dough.Flour {
			flour += float64(in.Percent)
		}
	}
	var own dough.Formula
	for _, in := range f.Ingredients {
		if in.Part == part && flour > 0 {
			in.Percent = in.Percent * 100 / unit.Percent(flour)
			in.Part = ""
			own.Ingredients = append(own.Ingredients, in)
		}
	}
	if total == 0 {
		return own, 0
	}
	return own, weight / total
}
