package rise

import "ovenward/schedule/unit"

// State is where a dough stands. The zero value is a dough at the moment its
// yeast meets the flour. Volumes are mL CO2 at 27 °C and 1 atm per g of dough.
type State struct {
	Work  float64 // τ: hours at 27 °C that would have done the same work
	Made  float64 // all gas made so far
	Held  float64 // gas in the dough now, dissolved gas included
	Base  float64 // Held after the last handling
	Since float64 // gas made since the last handling
	Dead  float64 // share of the yeast killed by heat: kept by who follows the temperatures, for Step takes the speed of the living
	Salt  bool    // late salt has been added
}

// Step lets the dough work for hours at speed f, the mean of [Kinetics.Speed]
// over the living yeast of the whole body, while its mean temperature is t. It
// returns the gas made, mL per g dough. Midpoint rule in τ: error of third
// order in the step, below 0.1 % of a rise at 5 min (tested).
func (s *State) Step(k *Kinetics, hours, f float64, t unit.Celsius) float64 {
	return s.step(k, hours, f, k.Dissolved(t), k.perGas(t))
}

func (s *State) step(k *Kinetics, hours, f, dissolved, perGas float64) float64 {
	if !(hours > 0 && f > 0) {
		return 0
	}
	rate := k.salted(s)
	tau := f * hours
	half := rate * k.grown(s.Work) * k.fed(s.Made) * tau / 2
	made := rate * k.grown(s.Work+tau/2) * k.fed(s.Made+half) * tau
	mid := s.Held + half*k.kept(s.Held, dissolved, perGas)
	s.Held += made * k.kept(mid, dissolved, perGas)
	s.Work += tau
	s.Made += made
	s.Since += made
	return made
}

// grown is N, the yeast's growth after tau hours at 27 °C.
func (k *Kinetics) grown(tau float64) float64 {
	x := (tau - k.params.GrowthLag) / k.params.GrowthEnd
	switch {
	case x <= 0:
		return 1
	case x >= 1:
		return 1 + k.growth
	}
	return 1 + k.growth*x*x*(3-2*x)
}

// fed is X, the rate left as sugars run out.
func (k *Kinetics) fed(made float64) float64 {
	switch {
	case made <= k.store1:
		return 1
	case made >= k.store2:
		return k.params.StoreRest
	}
	return 1 - (1-k.params.StoreRest)*(made-k.store1)/(k.store2-k.store1)
}

// kept is Ret, the share of new gas that stays in the dough.
func (k *Kinetics) kept(held, dissolved, perGas float64) float64 {
	p := &k.params
	e := 1 + (held-dissolved)*perGas
	if e <= p.Holds {
		return 1
	}
	return max(0, (p.Bursts-e)/(p.Bursts-p.Holds))
}

// Expansion is E, the dough's volume over its volume when mixed:
//
//	E = 1 + max(0, n-s(T)) (T+273.15)/300.15 / 0.87
func (s *State) Expansion(k *Kinetics, t unit.Celsius) float64 {
	return 1 + max(0, s.Held-k.Dissolved(t))*k.perGas(t)
}

// leastNeed is the share of a target's free gas that a dose is at least
// measured against, so that a target below what handling left is not met by
// the first bubble. Judgement.
const leastNeed = 0.25

// Dose is the gas made since the last handling over the gas needed then to
// stand at expansion e; 1 where the target is reached at temperature t.
func (s *State) Dose(k *Kinetics, e float64, t unit.Celsius) float64 {
	need := max(k.produced(s.Base, e, t), leastNeed*(e-1)/k.perGas(t))
	return s.Since / need
}

// GasPerFlour is all gas made so far, mL per g of flour, as gas-production
// instruments print it.
func (s *State) GasPerFlour(k *Kinetics) float64 { return s.Made * k.perFlour }

// Heat is the warmth of making gas of made mL per g dough, J per kg dough.
func (k *Kinetics) Heat(made float64) float64 { return made * 1000 * k.params.Heat }
