package simulate

import (
	"ovenward/schedule/rise"
	"ovenward/schedule/unit"
)

// Target is what a rise is waited for, and how carefully.
type Target struct {
	rise.Target
	// Folds on the way: the dough is folded when its rise first comes to these
	// shares of the target's, ascending, each between 0 and 1.
	Folds []float64
	// In the cold no source pins the curve. SlowReady has Ready and Best wait
	// for the slowest curve, FastTooFar has Late and TooFar come with the
	// fastest.
	SlowReady, FastTooFar bool
}

// Cautious is t with both guards for the cold: "ready" and "not too far" hold
// whichever of the three curves is true. Ready may then lie behind TooFar: no
// moment is safe on both counts.
func (t Target) Cautious() Target {
	t.SlowReady, t.FastTooFar = true, true
	return t
}

// Window is when a rise may be acted on, in minutes from its beginning. What is
// not reached within the limit stands at the limit.
type Window struct {
	Ready  float64 // from here ready
	Best   float64 // target reached
	Late   float64 // from here late
	TooFar float64 // from here too far

	Spread float64 // standard deviation of ln(true minutes / forecast), from the dough's mean temperature until Best

	Cold    bool // below 15 °C on the way: the curve is not known, see Target.Cautious
	Unready bool // not even Ready is reached within the limit
	Limited bool // TooFar is not reached within the limit
}

// Leg is a wait in one place on the way of a rise.
type Leg struct {
	Air     *Air
	Minutes float64 // in the last leg of a route it does not matter: to the end
}

// Window says when s will be ready if it waits in air from its minute on. Limit
// in minutes bounds the search, at most a month.
func (s State) Window(air *Air, t Target, limit float64) Window {
	return s.window([]Leg{{Air: air}}, t, limit)
}

// Along is Window for a rise that changes place on the way: an hour in the
// room, then the fridge.
func (s State) Along(route []Leg, t Target, limit float64) Window { return s.window(route, t, limit) }

// bestBy is the minutes to the best moment by one of the curves.
func (s State) bestBy(curve int, air *Air, t rise.Target) float64 {
	f := newSearch(Target{Target: t}, mostStep)
	f.n = curves
	for i := range f.curve {
		f.curve[i] = curve
	}
	return s.search(f, []Leg{{Air: air}}, mostStep).Best
}

// edges in the order they are crossed.
const (
	ready = iota
	best
	late
	tooFar
	edges
)

// search finds the crossings of one pass.
type search struct {
	target Target
	doses  [edges]float64
	most   float64
	curve  [edges]int // the curve an edge is read from
	at     [edges]float64
	last   [curves]float64 // dose a step ago
	lastE  float64
	n      int // curves run
	found  int // edges found: bit by bit

	warmth, span float64 // K min and min of the way to best
}

const all = 1<<edges - 1

func newSearch(t Target, limit float64) *search {
	e := t.Edges()
	f := &search{target: t, doses: [edges]float64{e.Ready, 1, e.Late, e.TooFar}, most: e.Most, n: 1}
	if t.SlowReady {
		f.curve[ready], f.curve[best] = slow, slow
	}
	if t.FastTooFar {
		f.curve[late], f.curve[tooFar] = fast, fast
	}
	if t.SlowReady || t.FastTooFar {
		f.n = curves
	}
	for i := range f.at {
		f.at[i] = limit
	}
	return f
}

// window runs one forward pass over a copy of the state.
func (s State) window(route []Leg, t Target, limit float64) Window {
	if !(limit > 0) || len(route) == 0 {
		return Window{Unready: true, Limited: true}
	}
	limit = min(limit, mostWait)
	return s.search(newSearch(t, limit), route, limit)
}

func (s State) search(f *search, route []Leg, limit float64) Window {
	t := f.target
	f.look(&s, 0, 0)
	begin, folds := s.Minute, t.Folds
	for i, leg := range route {
		end := limit
		if i < len(route)-1 {
			end = min(s.Minute-begin+max(0, leg.Minutes), limit)
		}
		for gone := s.Minute - begin; gone < end && f.found != all; {
			d := s.advance(leg.Air, end-gone, f.n)
			f.look(&s, gone, gone+d)
			gone += d
			if len(folds) > 0 && s.Expansion()-1 >= folds[0]*(t.Expansion-1) {
				s.Handle(rise.Fold)
				f.forget(&s)
				folds = folds[1:]
			}
		}
	}
	w := f.window()
	mean := f.mean(s.Mean())
	w.Spread, w.Cold = s.yeast[expected].Spread(mean, s.observed), rise.ThreeCurves(mean)
	return w
}

// look notes the edges crossed between minutes a and b, at the end of which the
// dough stands at s; where within is read off a straight line.
func (f *search) look(s *State, a, b float64) {
	mean := s.Mean()
	if f.found&(1<<best) == 0 {
		f.warmth += float64(mean) * (b - a)
		f.span += b - a
	}
	var dose [curves]float64
	for c := range f.n {
		dose[c] = s.rise[c].Dose(s.yeast[c], f.target.Expansion, mean)
	}
	for i := range edges {
		c := f.curve[i]
		if f.found&(1<<i) == 0 && dose[c] >= f.doses[i] {
			f.cross(i, a+(b-a)*share(f.last[c], dose[c], f.doses[i]))
		}
	}
	c := f.curve[tooFar]
	e := s.rise[c].Expansion(s.yeast[c], mean)
	if e >= f.most {
		at := a + (b-a)*share(f.lastE, e, f.most)
		f.cross(tooFar, min(at, f.at[tooFar]))
		if f.found&(1<<late) == 0 {
			f.cross(late, at)
		}
	}
	f.last, f.lastE = dose, e
}

func (f *search) cross(edge int, at float64) {
	f.at[edge] = at
	f.found |= 1 << edge
}

// forget takes doses anew after a fold.
func (f *search) forget(s *State) {
	mean := s.Mean()
	for c := range f.n {
		f.last[c] = s.rise[c].Dose(s.yeast[c], f.target.Expansion, mean)
	}
	c := f.curve[tooFar]
	f.lastE = s.rise[c].Expansion(s.yeast[c], mean)
}

// share is how far from a to b the value v lies.
func share(a, b, v float64) float64 {
	if b <= a {
		return 1
	}
	return min(max((v-a)/(b-a), 0), 1)
}

// mean is the dough's mean temperature on the way to best, now where it was
// there from the first.
func (f *search) mean(now unit.Celsius) unit.Celsius {
	if f.span == 0 {
		return now
	}
	return unit.Celsius(f.warmth / f.span)
}

func (f *search) window() Window {
	return Window{
		Ready: f.at[ready], Best: f.at[best], Late: f.at[late], TooFar: f.at[tooFar],
		Unready: f.found&(1<<ready) == 0, Limited: f.found&(1<<tooFar) == 0,
	}
}
