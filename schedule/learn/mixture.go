package learn

import "math"

// z90 is the standard normal quantile of 0.9.
const z90 = 1.2815515655446004

// mixture is normals of which one is true.
type mixture []weighted

type weighted struct{ weight, mean, sd float64 }

// below is the probability of a value below x.
func (m mixture) below(x float64) (p float64) {
	for _, n := range m {
		p += n.weight * math.Erfc((n.mean-x)/(n.sd*math.Sqrt2)) / 2
	}
	return p
}

// quantile is the value below which the truth lies with probability q, by
// halving between the least and the largest of the parts'.
func (m mixture) quantile(q float64) float64 {
	z := math.Sqrt2 * math.Erfinv(2*q-1)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, n := range m {
		lo, hi = min(lo, n.mean+z*n.sd), max(hi, n.mean+z*n.sd)
	}
	for hi-lo > 1e-9*(1+math.Abs(hi)) {
		mid := lo + (hi-lo)/2
		if mid == lo || mid == hi {
			break
		}
		if m.below(mid) < q {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo + (hi-lo)/2
}
