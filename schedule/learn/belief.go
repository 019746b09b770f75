// Package learn corrects the model of the rise by what a kitchen has shown: how
// much faster or slower its doughs are than predicted, and how sure that is.
//
// The correction is a factor on the rate of the rise. Its logarithm is the sum
// of what the kitchen, the bread and the day add, each normal with a known
// spread, so that one bread's rises say something of all the others and a
// single day never says everything.
package learn

import (
	"math"
	"slices"
)

// Belief is a normal distribution: of the logarithm of the speed factor of a
// rise (positive is faster than the model), or of a temperature offset in K.
type Belief struct {
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`
}

// Factor is the speed factor below which the truth lies with probability q:
// 0.5 the best guess, 0.1 and 0.9 the ends of the 80 % range. A time scales
// with its inverse.
func Factor(b Belief, q float64) float64 { return math.Exp(b.Quantile(q)) }

// Quantile is the value below which the truth lies with probability q.
func (b Belief) Quantile(q float64) float64 {
	q = min(max(q, 0.001), 0.999)
	return b.Mean + b.SD*math.Sqrt2*math.Erfinv(2*q-1)
}

// Spread is the factor by which a time may be longer or shorter within the 80 %
// range: 1.47 for the 0.30 of a kitchen without observations.
func (b Belief) Spread() float64 { return Factor(Belief{SD: b.SD}, 0.9) }

// Running is the belief about a dough under way after what was seen of it so
// far; its day and its recipe are in b already. Observations that do not
// validate, and temperatures, are passed over.
func (b Belief) Running(seen ...Observation) Belief {
	var used []reading
	for _, o := range seen {
		if o.Validate() == nil && o.Kind != Temperature {
			r := o.reading()
			r.value -= b.Mean
			used = append(used, r)
		}
	}
	own := b.SD * b.SD
	p := infer(slices.Repeat([]float64{own}, len(used)*len(used)), used)
	mean, variance := p.predict(slices.Repeat([]float64{own}, len(used)), own)
	return Belief{clamp(b.Mean + mean), math.Sqrt(variance)}
}

// clamp keeps a log factor where a correction is still one: half to double. A
// dough further off has another cause than its kitchen.
func clamp(m float64) float64 { return min(max(m, -math.Ln2), math.Ln2) }
