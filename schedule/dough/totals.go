package dough

import "ovenward/schedule/unit"

// Totals is what a formula contains, in per cent of its flour.
//
// Water, Sugar, Hexose, Lactose and Fat leave out what the flour itself holds,
// as the trade does; inclusions stay apart from the dough and count in Sum,
// Protein and Moisture only.
type Totals struct {
	Flour        unit.Percent // 100 in a valid formula
	Water        unit.Percent // true hydration: also the water of milk, eggs, butter, honey, yeast
	Salt         unit.Percent // also the salt of butter, milk, eggs
	Sugar        unit.Percent // sucrose and maltose
	Hexose       unit.Percent // glucose and fructose
	Lactose      unit.Percent // does not ferment
	Fat          unit.Percent
	Protein      unit.Percent // with the flour's and the inclusions'
	Moisture     unit.Percent // all water, with the flour's and the inclusions'
	Yeast        unit.Percent // as fresh yeast
	YeastKind    YeastKind    // of the larger part, counted as fresh
	Sum          unit.Percent // dough for 100 of flour
	FlourProtein float64      // g per 100 g of the blended flour
	Prefermented unit.Percent // flour that goes into a part with yeast of its own
	WholeGrain   bool         // half of the flour or more is whole grain
}

// Totals adds up the formula. A food nobody knows counts in Sum only; Validate
// names it.
func (f Formula) Totals() Totals {
	var t Totals
	var whole, flourProtein float64
	byKind := map[YeastKind]unit.Percent{}
	for _, in := range f.Ingredients {
		t.Sum += in.Percent
		food, ok := in.Resolve()
		if !ok {
			continue
		}
		t.add(food, in.Percent)
		switch food.Role {
		case Flour:
			flourProtein += float64(in.Percent) * food.Protein / 100
			if food.WholeGrain {
				whole += float64(in.Percent)
			}
			if f.leavened(in.Part) {
				t.Prefermented += in.Percent
			}
		case Yeast:
			byKind[food.Yeast] += in.Percent * unit.Percent(food.Yeast.Fresh())
		}
	}
	if t.Flour > 0 {
		t.FlourProtein = flourProtein / float64(t.Flour) * 100
		t.WholeGrain = whole >= float64(t.Flour)/2
	}
	for _, k := range []YeastKind{FreshYeast, ActiveDry, Instant} {
		t.Yeast += byKind[k]
		if byKind[k] > byKind[t.YeastKind] {
			t.YeastKind = k
		}
	}
	return t
}

// add counts p of a food.
func (t *Totals) add(food Food, p unit.Percent) {
	of := func(per100 float64) unit.Percent { return p * unit.Percent(per100/100) }
	t.Protein += of(food.Protein)
	t.Moisture += of(food.Water)
	switch food.Role {
	case Flour:
		t.Flour += p
	case Inclusion:
	default:
		t.Water += of(food.Water)
		t.Salt += of(food.Salt)
		t.Sugar += of(food.Sugar - food.Hexose - food.Lactose)
		t.Hexose += of(food.Hexose)
		t.Lactose += of(food.Lactose)
		t.Fat += of(food.Fat)
	}
}

// leavened tells whether a part is a preferment: a bowl with yeast of its own
// that waits for the final mix.
func (f Formula) leavened(part string) bool {
	if part == "" {
		return false
	}
	for _, in := range f.Ingredients {
		if in.Part != part {
			continue
		}
		if food, ok := in.Resolve(); ok && food.Role == Yeast {
			return true
		}
	}
	return false
}
