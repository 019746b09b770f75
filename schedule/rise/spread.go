package rise

import (
	"math"

	"ovenward/schedule/unit"
)

// z90 is the standard normal quantile of 0.9.
const z90 = 1.2815515655446004

// Spread is the standard deviation of ln(true minutes / forecast minutes) of a
// rise at mean temperature t. Observed says that a rise of the same dough has
// been observed and its speed corrected.
//
// Leaving out one source at a time, published rises were missed by 0.24; a home
// dough adds ±1.5 K (0.10) and the age of its yeast. Temperature ratios alone
// were missed by 0.48, hence the cold rows. Above 33 °C no case was fitted: as
// 10-18 °C, judgement.
func (k *Kinetics) Spread(t unit.Celsius, observed bool) float64 {
	switch {
	case t < 10:
		return 0.60
	case t < 18 || t > 33:
		return 0.45
	case observed:
		return 0.25
	case k.yeast < 0.5 || k.sweet > 15:
		return 0.45
	}
	return 0.30
}

// Range is where a forecast of minutes lies in eight cases of ten: the 10th and
// 90th percentile for a spread sd.
func Range(minutes, sd float64) (low, high float64) {
	f := math.Exp(z90 * sd)
	return minutes / f, minutes * f
}

// ThreeCurves says whether a rise at t must be run with all three cold ends.
func ThreeCurves(t unit.Celsius) bool { return t < 15 }
