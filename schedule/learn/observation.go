package learn

import (
	"cmp"
	"fmt"
	"math"
)

// Kind is what an observation says.
type Kind int

const (
	Reached     Kind = iota // the dough was seen at a predicted state: ready, or a volume read off
	NotYet                  // it had not reached it
	Past                    // it had gone beyond it
	Temperature             // dough temperatures in °C instead of minutes
)

// Regime groups rises whose prediction errs together: one curve of yeast and
// temperature serves all doughs, and it is surest for a warm, plain one.
type Regime int

const (
	Plain  Regime = iota // 18 to 33 °C, ordinary yeast and sugar
	Cool                 // 10 to 18 °C
	Cold                 // below 10 °C
	Scarce               // yeast below 0.5 % fresh, or sugar above 15 % with ordinary yeast
)

// Observation compares a prediction with what happened. Minutes count from the
// start of the rise to the state seen; the prediction is the model's own,
// without any correction. A volume is compared by the time predicted for it. Of a
// Temperature the prediction is the dough as it was wanted off the mixer.
//
// Bread names what is alike from day to day: bulk and final proof of one loaf
// are two names, for they err apart (in 15 published pairs the error of the
// first said nothing of the second).
type Observation struct {
	Day       int     `json:"day"` // counted from any fixed day
	Bread     string  `json:"bread"`
	Regime    Regime  `json:"regime,omitempty"`
	Kind      Kind    `json:"kind,omitempty"`
	Predicted float64 `json:"predicted"`
	Observed  float64 `json:"observed"`
	SD        float64 `json:"sd,omitempty"` // of the reading, in ln or K; 0 for that of its kind
	// Speed is how fast a dough rises, against the model, that is seen when it was
	// seen as it was seen; 0 is Predicted over Observed. Of a rise in the cold the
	// minutes do not tell: most of it is done while the dough cools, so that one a
	// third slower takes more than twice as long.
	Speed float64 `json:"speed,omitempty"`
	// Allowed is by how many K the water that the bench sheet asked for had
	// cooled a dough wanted at Predicted; of a Temperature only.
	Allowed float64 `json:"allowed,omitempty"`
}

// Spread of one reading. The eye judges growth E-1 within 0.10 to 0.15 in ln,
// which is 0.08 to 0.12 of the time; a probe thermometer within half a kelvin.
// Common practice, no source.
const (
	eyeSD   = 0.10
	probeSD = 0.5
)

// Validate names the entry that cannot be true.
func (o Observation) Validate() error {
	lo, hi, unit := 0.5, 20000.0, "minutes"
	if o.Kind == Temperature {
		lo, hi, unit = -20, 60, "°C"
	}
	for _, c := range []struct {
		name      string
		v, lo, hi float64
		unit      string
	}{
		{"kind", float64(o.Kind), 0, float64(Temperature), "(reached, not yet, past, temperature)"},
		{"regime", float64(o.Regime), 0, float64(Scarce), "(plain, cool, cold, scarce)"},
		{"day", float64(o.Day), -1e6, 1e6, "days"},
		{"predicted", o.Predicted, lo, hi, unit},
		{"observed", o.Observed, lo, hi, unit},
		{"spread", o.SD, 0, 5, "(0 for the usual)"},
		{"speed", o.Speed, 0, 100, "(1 as the model, 0 for none)"},
		{"allowed", o.Allowed, -10, 10, "K"},
	} {
		if !(c.v >= c.lo && c.v <= c.hi) {
			return fmt.Errorf("observation: %s is %g: give %g to %g %s", c.name, c.v, c.lo, c.hi, c.unit)
		}
	}
	return nil
}

// reading is the observation as a bound or value of the log factor, or as an
// offset in K.
func (o Observation) reading() reading {
	r := reading{kind: o.Kind, value: math.Log(o.Predicted / o.Observed), sd: eyeSD}
	if o.Speed > 0 {
		r.value = math.Log(o.Speed)
	}
	if o.Kind == Temperature {
		r = reading{kind: Reached, value: o.Observed - o.Predicted, sd: probeSD}
	}
	if o.SD > 0 {
		r.sd = max(o.SD, 0.01)
	}
	return r
}

// compare orders observations completely, so that a book does not depend on the
// order of its entries.
func compare(a, b Observation) int {
	return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Bread, b.Bread), cmp.Compare(a.Regime, b.Regime),
		cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Predicted, b.Predicted), cmp.Compare(a.Observed, b.Observed),
		cmp.Compare(a.SD, b.SD), cmp.Compare(a.Speed, b.Speed), cmp.Compare(a.Allowed, b.Allowed))
}
