package schedule_test

import (
	"math"

	"ovenward/schedule"
	"ovenward/schedule/heat"
	"ovenward/schedule/learn"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// vat is a dough, or one piece of it that stands for all, where and as it
// really is. With the zero nature it is the model's.
type vat struct {
	state  simulate.State
	dough  simulate.Dough
	nature nature
	ln     float64 // of the speed of what goes on at present
	air    *simulate.Air
}

// nature is what sets a kitchen's doughs apart from the model, in ln of speed:
// more where it is cool, and more still in the cold.
type nature struct{ cool, cold, scarce float64 }

// mixed is a dough off the mixer.
func mixed(d *simulate.Dough, minute int, body heat.Body, t unit.Celsius, air *simulate.Air, n nature) (*vat, error) {
	s, err := simulate.Start(d, float64(minute), body, t)
	v := &vat{state: s, dough: *d, nature: n, air: air}
	v.dough.Speed = 1
	return v, err
}

// to leaves the dough where it is until minute.
func (v *vat) to(minute int) {
	const step = 10
	for v.state.Minute < float64(minute) {
		v.pace()
		v.state.Wait(v.air, math.Min(step, float64(minute)-v.state.Minute))
	}
}

// pace gives the dough its speed at the temperature it has come to.
func (v *vat) pace() {
	ln := v.ln
	switch t := v.state.Mean(); {
	case t < 10:
		ln += v.nature.cool + v.nature.cold
	case t < 18 || t > 33:
		ln += v.nature.cool
	default:
		if r := &v.dough.Recipe; scarce(r) {
			ln += v.nature.scarce
		}
	}
	if speed := math.Exp(ln); math.Abs(speed/v.dough.Speed-1) > 1e-9 {
		v.dough.Speed = speed
		v.state.Become(&v.dough)
	}
}

// scarce says whether the forecast is less sure for want of yeast or for sugar.
func scarce(r *rise.Recipe) bool {
	return r.Yeast < 0.5 || r.Sugar+r.Hexose > 15
}

// become makes the dough what a portion adds to it.
func (v *vat) become(d *simulate.Dough) {
	v.dough = *d
	v.dough.Speed = 0 // set anew by pace
	v.pace()
}

func (v *vat) copy() *vat { c := *v; return &c }

// doneness is how a rise stands.
type doneness struct {
	dose, expansion float64
	ready, over     bool
}

func (v *vat) doneness(b *schedule.Beat) doneness {
	goal := b.Goal(v.state.Kinetics().Narrow())
	e := goal.Edges()
	d := doneness{dose: v.state.Dose(goal.Expansion), expansion: v.state.Expansion()}
	d.ready = d.dose >= e.Ready-0.005
	d.over = d.dose > e.TooFar+0.01 || d.expansion > e.Most+0.01
	return d
}

// risen says whether the dough has come near the share of the way at which it is
// folded: within the fifth of it that plans allow.
func (v *vat) risen(b *schedule.Beat) bool {
	way := b.Goal(v.state.Kinetics().Narrow()).Expansion - 1
	return v.state.Expansion()-1 >= 0.8*b.Share*way
}

// moment is what the model's own dough was like on the way of a rise.
type moment struct{ minute, dose, expansion float64 }

// predicted is after how many minutes the model has its dough at a value, by the
// story so far and, beyond it, by what is to come; false if not within a day.
func predicted(v *vat, b *schedule.Beat, story []moment, of func(moment) float64, value float64) (float64, bool) {
	const beyond = 24 * 60
	c := v.copy()
	goal := b.Goal(c.state.Kinetics().Narrow())
	begin, last := story[0].minute, story[0]
	cross := func(m moment) (float64, bool) {
		if of(m) < value {
			last = m
			return 0, false
		}
		share := 1.0
		if d := of(m) - of(last); d > 0 {
			share = math.Max(0, (value-of(last))/d)
		}
		return last.minute + share*(m.minute-last.minute) - begin, true
	}
	for _, m := range story {
		if at, ok := cross(m); ok {
			return at, at > 0.5
		}
	}
	for m := int(c.state.Minute); m < int(begin)+beyond; m += 5 {
		c.to(m + 5)
		if at, ok := cross(momentOf(c, goal)); ok {
			return at, at > 0.5
		}
	}
	return 0, false
}

func momentOf(v *vat, goal rise.Target) moment {
	return moment{v.state.Minute, v.state.Dose(goal.Expansion), v.state.Expansion()}
}

func doseOf(m moment) float64      { return m.dose }
func expansionOf(m moment) float64 { return m.expansion }

// regimeOf is what a rise's forecast errs together with.
func regimeOf(v *vat) learn.Regime {
	switch t := v.state.Mean(); {
	case t < 10:
		return learn.Cold
	case t < 18:
		return learn.Cool
	case scarce(&v.dough.Recipe):
		return learn.Scarce
	}
	return learn.Plain
}
