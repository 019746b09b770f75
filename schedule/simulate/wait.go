package simulate

import (
	"math"

	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/unit"
)

// mostWait bounds one wait: a month.
const mostWait = 31 * 24 * 60

// Wait lets the dough stand in air for minutes. Anything but a positive number
// does nothing.
func (s *State) Wait(air *Air, minutes float64) {
	if !(minutes > 0) {
		return
	}
	for left := min(minutes, mostWait); left > 0; {
		left -= s.advance(air, left, curves)
	}
}

// Strides in minutes. A change of place is followed closely at first; later the
// stride is bounded by what still happens in it: the dough taking the air's
// temperature, the yeast's work.
const (
	leastStride = 1.0
	mostStride  = 10.0
	calmStride  = 20.0 // the core within calm of the air
	calm        = 2.0  // K
	restStride  = 60.0 // the core at the air's temperature, which stays
	rest        = 0.5  // K
	mostWork    = 0.12 // h at 27 °C
	suddenly    = 1.5  // K between two strides that count as another place
)

// stride is how far the next step may go in air of t.
func (s *State) stride(air *Air, t, h float64) float64 {
	if math.Abs(t-s.felt) > suddenly || h != s.feltH {
		s.settled = 0
	}
	d := s.settled/3 + leastStride
	if f := s.speed[expected]; f > 0 {
		d = min(d, 60*mostWork/f)
	}
	return min(max(d, leastStride), s.mostStride(air, t))
}

// mostStride is the longest stride that follows the dough towards air of t.
func (s *State) mostStride(air *Air, t float64) float64 {
	switch away := math.Abs(t - s.field.Temps()[0]); {
	case away > calm:
		return mostStride
	case away < rest:
		if next, _ := air.over(s.Minute, restStride); math.Abs(next-t) < rest {
			return restStride
		}
	}
	return calmStride
}

// advance takes one step of at most left minutes with the first n curves and
// returns its length.
func (s *State) advance(air *Air, left float64, n int) float64 {
	t, ok := air.at(s.Minute)
	h := air.h()
	if !ok {
		t, h = float64(s.Mean()), 0
	}
	d := min(s.stride(air, t, h), left)
	if mean, ok := air.over(s.Minute, d); ok {
		t = mean
	}
	before := s.speed
	if math.IsInf(h, 1) {
		before = s.keep(t, n)
	} else {
		warmth := s.warmth()
		_ = s.field.Step(unit.Celsius(t), h, d, warmth[:]) // all arguments are within its bounds
	}
	s.burn(d)
	s.measure(n)
	mean := s.Mean()
	for c := range n {
		s.rise[c].Step(s.yeast[c], d/60, (before[c]+s.speed[c])/2, mean)
	}
	s.grow()
	s.felt, s.feltH = t, h
	s.settled += d
	s.Minute += d
	return d
}

// keep brings the dough to t at once and returns the speed there.
func (s *State) keep(t float64, n int) [curves]float64 {
	temps := s.field.Temps()
	if temps[0] != t || temps[shells-1] != t {
		if f, err := heat.NewField(s.field.Body(), shells, unit.Celsius(t)); err == nil {
			s.field = *f
		}
		s.measure(n)
	}
	return s.speed
}

// WaitUntil lets the dough stand in air until it has risen to expansion e, and
// says how many minutes that took. Not reached within limit, it has waited the
// limit.
func (s *State) WaitUntil(air *Air, e, limit float64) (minutes float64, reached bool) {
	if s.Expansion() >= e {
		return 0, true
	}
	limit = min(limit, mostWait)
	for minutes < limit {
		before, low := *s, s.Expansion()
		d := s.advance(air, limit-minutes, curves)
		if high := s.Expansion(); high >= e {
			part := d * share(low, high, e)
			*s = before
			s.Wait(air, part)
			return minutes + part, true
		}
		minutes += d
	}
	return max(minutes, 0), false
}

// warmth is the heat of fermentation by shell, W/kg.
func (s *State) warmth() (q [shells]float64) {
	k := s.yeast[expected]
	perSpeed := k.Heat(k.Pace(&s.rise[expected])) / 3600
	for i, f := range s.local {
		q[i] = perSpeed * f
		if s.hot {
			q[i] *= rise.Survival(s.logs[i])
		}
	}
	return q
}

// burn counts the yeast killed in the shells that are hot.
func (s *State) burn(minutes float64) {
	temps := s.field.Temps()
	if temps[shells-1] < rise.KillFrom && temps[0] < rise.KillFrom && !s.hot {
		return
	}
	dead := 0.0
	for i, w := range s.field.Weights() {
		s.logs[i] = min(s.logs[i]+s.yeast[expected].Kill(unit.Celsius(temps[i]), minutes), 2*rise.DeadLogs)
		s.hot = s.hot || s.logs[i] > 0
		dead += w * (1 - rise.Survival(s.logs[i]))
	}
	for c := range s.rise {
		s.rise[c].Dead = dead
	}
}
