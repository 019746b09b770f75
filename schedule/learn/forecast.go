package learn

import "math"

// Forecast is a book's view of one day.
type Forecast struct {
	day          int
	rise, warmth fit
}

// fit is the posterior under each spread of the day, and habit of the baker,
// weighted by how well they foretell the observations.
type fit struct {
	seen  []Observation
	parts []part
}

// evenness is how a kitchen's days may spread, relative to the prior, and how
// likely each is beforehand. At equal recipe and thermometer a dough's day adds
// half a kelvin to a whole one not measured (0.05 to 0.10 of its speed), the age
// of its yeast (0.05) and what the scales err (0.02): 0.03 to 0.15 in all, most
// often 0.06. Judgement.
var evenness = [...]struct{ day, weight float64 }{{0.5, 0.30}, {1, 0.45}, {1.5, 0.17}, {2.5, 0.08}}

// habits are whether the water is taken as the bench sheet asks, and how likely
// that is beforehand: nobody says so, but what allowing for warmth comes to
// does. Of rises there is one.
var (
	oneHabit   = []habit{{false, 1}}
	bothHabits = []habit{{true, 0.5}, {false, 0.5}}
)

type habit struct {
	follows bool
	weight  float64
}

type part struct {
	prior Prior
	habit
	posterior
}

func (p Prior) fit(seen []Observation, habits []habit) fit {
	f := fit{seen: seen}
	best := math.Inf(-1)
	for _, e := range evenness {
		q := p
		q.Day *= e.day
		cov := make([]float64, 0, len(seen)*len(seen))
		for _, a := range seen {
			for _, b := range seen {
				cov = append(cov, q.covariance(a, b))
			}
		}
		for _, h := range habits {
			readings := make([]reading, len(seen))
			for i, o := range seen {
				readings[i] = o.reading()
				readings[i].value += h.allowed(o)
			}
			x := part{q, habit{h.follows, h.weight * e.weight}, infer(cov, readings)}
			f.parts = append(f.parts, x)
			best = max(best, x.score)
		}
	}
	for k := range f.parts {
		f.parts[k].weight *= math.Exp(f.parts[k].score - best)
	}
	even(f.parts, func(p *part) *float64 { return &p.weight })
	return f
}

// even makes weights sum up to 1.
func even[T any](all []T, weight func(*T) *float64) {
	sum := 0.0
	for i := range all {
		sum += *weight(&all[i])
	}
	for i := range all {
		*weight(&all[i]) /= sum
	}
}

// allowed is by how much the water cooled the dough of o.
func (h habit) allowed(o Observation) float64 {
	if h.follows {
		return o.Allowed
	}
	return 0
}

// of is the belief about o, a rise or temperature not yet seen: the normal with
// the mean and the width of the 80 % range of the mixture of all parts that count.
// Its tails are longer, so that its standard deviation would make the range too
// wide.
func (f fit) of(o Observation, counts func(habit) bool) Belief {
	var m mixture
	middle := 0.0
	cov := make([]float64, len(f.seen))
	for k := range f.parts {
		p := &f.parts[k]
		if !counts(p.habit) {
			continue
		}
		for i, s := range f.seen {
			cov[i] = p.prior.covariance(o, s)
		}
		mean, variance := p.predict(cov, p.prior.covariance(o, o))
		m = append(m, weighted{p.weight, mean - p.allowed(o), math.Sqrt(variance)})
	}
	even(m, func(w *weighted) *float64 { return &w.weight })
	for _, w := range m {
		middle += w.weight * w.mean
	}
	return Belief{middle, (m.quantile(0.9) - m.quantile(0.1)) / (2 * z90)}
}

func all(habit) bool { return true }

func following(h habit) bool { return h.follows }

// doubted are the observations that were mostly set aside.
func (f fit) doubted() []Observation {
	var out []Observation
	for i, o := range f.seen {
		trust := 0.0
		for k := range f.parts {
			trust += f.parts[k].weight * f.parts[k].trust[i]
		}
		if trust < 0.5 {
			out = append(out, o)
		}
	}
	return out
}

// Rise is the belief about ln of the speed factor of a rise of the bread on
// the day, the day's own chance included; the mean within half to double.
func (f Forecast) Rise(bread string, r Regime) Belief {
	b := f.rise.of(Observation{Day: f.day, Bread: bread, Regime: r}, all)
	b.Mean = clamp(b.Mean)
	return b
}

// Temperature is the belief about how much warmer, in K, the bread's dough comes
// off the mixer than wanted, on a day for which the bench sheet's water allows
// for so many K; the mean within mostWarmer.
func (f Forecast) Temperature(bread string, allowed float64) Belief {
	return bounded(f.warmth.of(Observation{Day: f.day, Bread: bread, Kind: Temperature, Allowed: allowed}, all))
}

// Friction is the belief about how much warmer, in K, it would come if the water
// were as the bench sheet asks and that allowed for nothing.
func (f Forecast) Friction(bread string) Belief {
	return bounded(f.warmth.of(Observation{Day: f.day, Bread: bread, Kind: Temperature}, following))
}

// mostWarmer is the most, in K, that a dough is believed to differ from what is
// wanted of it: more has another cause than its kitchen.
const mostWarmer = 4

func bounded(b Belief) Belief {
	b.Mean = min(max(b.Mean, -mostWarmer), mostWarmer)
	return b
}

// Seen is the number of rises of the bread the forecast rests on.
func (f Forecast) Seen(bread string) int {
	n := 0
	for _, o := range f.rise.seen {
		if o.Bread == bread {
			n++
		}
	}
	return n
}

// Doubted are the observations so unlike all the others that they hardly
// count; two that agree are believed.
func (f Forecast) Doubted() []Observation { return append(f.rise.doubted(), f.warmth.doubted()...) }
