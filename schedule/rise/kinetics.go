package rise

import (
	"math"

	"ovenward/schedule/unit"
)

// Kinetics is a recipe worked out for speed: everything that does not change
// while the dough rises. Read-only after New, so states may share it.
//
//	dG/dt = χ r (y/2)^n f F_os F_fat N X     mL CO2 (27 °C, 1 atm) per g flour and h
//	F_os  = 1/(1+(Om/K)²)                    osmotic stress of salt and sugar
//	F_fat = max(0.85, 1-0.005 fat)
//	N     = 1 + 0.72/(y+0.32) · smoothstep((τ-1.8)/3.2)     growth of yeast
//	X     = 1 until G1, linear to 0.2 at G2  exhaustion of sugars
//	s(T)  = 0.80 w e^{-0.0285(T-27)}         CO2 dissolved in the dough's water, mL/g dough
type Kinetics struct {
	params   Params
	curve    curve
	rate     float64 // mL per g dough and h at f = N = X = 1, salt in
	saltOut  float64 // rate before late salt ÷ rate
	growth   float64 // gain of N in the end
	perFlour float64 // D, dough per flour
	store1   float64 // G1 as mL per g dough
	store2   float64 // G2 as mL per g dough
	pool     float64 // s(27 °C)
	yeast    float64 // y
	sweet    float64 // sugar and hexose, %
	late     bool
	narrow   bool
}

// New works out r with the speed correction chi, the dough's own measured
// speed over the model's; 0 means 1.
func New(r Recipe, chi float64, p Params) *Kinetics {
	if chi <= 0 || math.IsNaN(chi) {
		chi = 1
	}
	d, y := r.Ratio(), r.FreshYeast(&p)
	salty, plain := stress(r.osmolality(r.Salt), p.Osmotic), stress(r.osmolality(0), p.Osmotic)
	fat := max(p.FatFloor, 1-p.FatSlope*float64(r.Fat))
	sweet := float64(r.Sugar + r.Hexose)
	k := &Kinetics{
		params: p, curve: newCurve(&p),
		rate:    chi * p.Rate * math.Pow(y/2, p.Dose) * salty * fat / d,
		saltOut: 1, growth: p.Growth / (y + p.GrowthY), perFlour: d,
		store1: (p.Store + p.PerSugar*sweet) / d, store2: (p.StoreEnd + p.PerSugar*sweet) / d,
		pool:  p.Solubility * (float64(r.Water) + p.BoundWater) / (100 * d),
		yeast: y, sweet: sweet, late: r.LateSalt, narrow: r.narrow(),
	}
	if salty > 0 {
		k.saltOut = plain / salty
	}
	return k
}

func stress(osmolality, half float64) float64 {
	q := osmolality / half
	return 1 / (1 + q*q)
}

// Narrow says whether the dough forgives less than most: whole grain, more
// than 15 % fat, or weak flour.
func (k *Kinetics) Narrow() bool { return k.narrow }

// Speed is f(t) from the table, 1 at 27 °C; within 0.0007 of [Params.Speed].
func (k *Kinetics) Speed(t float64) float64 { return k.curve.at(t) }

// Dissolved is the CO2 the dough's water holds at t before any bubble grows,
// mL per g dough. The exponential is the fall of solubility with warmth.
func (k *Kinetics) Dissolved(t unit.Celsius) float64 {
	return k.pool * math.Exp(-k.params.SolubilitySlope*(float64(t)-reference))
}

// perGas is the expansion that 1 mL of free gas gives 1 g of dough at t.
func (k *Kinetics) perGas(t unit.Celsius) float64 {
	return (float64(t) + 273.15) / (reference + 273.15) / k.params.Volume
}

// Needed is the gas that must be in the dough to stand at expansion e at t, mL
// per g dough, dissolved gas included.
func (k *Kinetics) Needed(e float64, t unit.Celsius) float64 {
	return k.Dissolved(t) + (e-1)/k.perGas(t)
}

// produced is the gas that must be made to take the dough from held gas to
// expansion e at t. Beyond Holds some escapes: with x = E-Holds and retention
// 1-x/w, dx/dm = c(1-x/w), so m = -(w/c) ln(1-x/w). Infinite from Bursts.
func (k *Kinetics) produced(held, e float64, t unit.Celsius) float64 {
	p := &k.params
	if e >= p.Bursts {
		return math.Inf(1)
	}
	c, w := k.perGas(t), p.Bursts-p.Holds
	lost := func(e float64) float64 {
		if e <= p.Holds {
			return 0
		}
		x := min(e-p.Holds, 0.999*w)
		return -w/c*math.Log1p(-x/w) - x/c
	}
	from := 1 + max(0, held-k.Dissolved(t))*c
	return k.Needed(e, t) - held + lost(e) - lost(from)
}

// Pace is the gas made per hour at speed 1 by a dough in state s, mL per g
// dough.
func (k *Kinetics) Pace(s *State) float64 {
	return k.salted(s) * k.grown(s.Work) * k.fed(s.Made)
}

// salted is the rate before or after late salt.
func (k *Kinetics) salted(s *State) float64 {
	if k.late && !s.Salt {
		return k.rate * k.saltOut
	}
	return k.rate
}
