package learn

import "math"

// Forecast is a book's view of one day.
type Forecast struct {
	day          int
	rise, warmth fit
}

// fit is the posterior under each of four spreads of the day, weighted by how
// well each foretells the observations.
type fit struct {
	seen  []Observation
	parts [len(evenness)]part
}

// evenness is how a kitchen's days may spread, relative to the prior, and how
// likely each is beforehand. At equal recipe and thermometer a dough's day adds
// half a kelvin to a whole one not measured (0.05 to 0.10 of its speed), the age
// of its yeast (0.05) and what the scales err (0.02): 0.03 to 0.15 in all, most
// often 0.06. Judgement.
var evenness = [...]struct{ day, weight float64 }{{0.5, 0.30}, {1, 0.45}, {1.5, 0.17}, {2.5, 0.08}}

type part struct {
	prior  Prior
	weight float64
	posterior
}

func (p Prior) fit(seen []Observation) fit {
	f := fit{seen: seen}
	readings := make([]reading, len(seen))
	for i, o := range seen {
		readings[i] = o.reading()
	}
	best := math.Inf(-1)
	for k, e := range evenness {
		q := p
		q.Day *= e.day
		cov := make([]float64, 0, len(seen)*len(seen))
		for _, a := range seen {
			for _, b := range seen {
				cov = append(cov, q.covariance(a, b))
			}
		}
		f.parts[k] = part{q, e.weight, infer(cov, readings)}
		best = max(best, f.parts[k].score)
	}
	sum := 0.0
	for k := range f.parts {
		f.parts[k].weight *= math.Exp(f.parts[k].score - best)
		sum += f.parts[k].weight
	}
	for k := range f.parts {
		f.parts[k].weight /= sum
	}
	return f
}

// of is the belief about o, a rise or temperature not yet seen: the normal with
// the median and the 80 % range of the mixture. Its tails are longer, so that
// its standard deviation would make the range too wide.
func (f fit) of(o Observation) Belief {
	var m mixture
	cov := make([]float64, len(f.seen))
	for k := range f.parts {
		p := &f.parts[k]
		for i, s := range f.seen {
			cov[i] = p.prior.covariance(o, s)
		}
		mean, variance := p.predict(cov, p.prior.covariance(o, o))
		m[k] = weighted{p.weight, mean, math.Sqrt(variance)}
	}
	low, high := m.quantile(0.1), m.quantile(0.9)
	return Belief{m.quantile(0.5), (high - low) / (2 * z90)}
}

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
	b := f.rise.of(Observation{Day: f.day, Bread: bread, Regime: r})
	b.Mean = clamp(b.Mean)
	return b
}

// Temperature is the belief about how much warmer, in K, the bread's dough
// comes off the mixer than computed.
func (f Forecast) Temperature(bread string) Belief {
	return f.warmth.of(Observation{Day: f.day, Bread: bread, Kind: Temperature})
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
