package learn_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"ovenward/schedule/learn"
)

// kitchens is a population of synthetic kitchens: the factor of each kitchen and
// of its breads is drawn from the book's prior, then a dough is read once a day.
// What is forecast is what the next rise really takes, its own day included.
type kitchens struct {
	name    string
	day     func(*rand.Rand) float64 // spread of the kitchen's days
	reading float64                  // spread of the baker's time of "ready"
	told    bool                     // the book is told that spread
	breads  int                      // read in turn; the forecast is for the first
	drift   float64                  // ln of speed per day, up or down
	lot     float64                  // spread of what another yeast lot changes, after half of the days
	absurd  float64                  // share of readings that are half to a third, or two to three times, the truth
}

// score is how well a forecast did.
type score struct{ median, covered, sd float64 }

// result is the book's score, the median error of who knows the kitchen's and
// the bread's factors exactly, and that of the best that can be done with the
// readings by who knows the spreads exactly (one bread, nothing else amiss).
type result struct {
	book           score
	oracle, versed float64
}

// steady and mixed are how kitchens' days spread.
func steady(sd float64) func(*rand.Rand) float64 { return func(*rand.Rand) float64 { return sd } }

// mixed is the population the book expects.
func mixed(r *rand.Rand) float64 {
	u := r.Float64()
	switch {
	case u < 0.30:
		return 0.03
	case u < 0.75:
		return 0.06
	case u < 0.92:
		return 0.09
	}
	return 0.15
}

// rougher is a population worse than the book expects: one in ten kitchens has
// days a quarter apart.
func rougher(r *rand.Rand) float64 {
	u := r.Float64()
	switch {
	case u < 0.25:
		return 0.03
	case u < 0.70:
		return 0.06
	case u < 0.90:
		return 0.12
	}
	return 0.24
}

// kitchen is one of them under way.
type kitchen struct {
	*kitchens
	rng    *rand.Rand
	sd     float64   // of its days
	breads []float64 // ln of speed
	drift  float64
	lot    float64
	half   int // the day from which lot counts

	sum, weight float64 // readings of the first bread
}

func (p *kitchens) open(rng *rand.Rand, days int) *kitchen {
	k := &kitchen{kitchens: p, rng: rng, half: (days + 1) / 2}
	shared := learn.RisePrior.Kitchen * rng.NormFloat64()
	for range p.breads {
		k.breads = append(k.breads, shared+learn.RisePrior.Bread*rng.NormFloat64())
	}
	k.sd = p.day(rng)
	k.drift = p.drift * float64(1-2*rng.IntN(2))
	k.lot = p.lot * rng.NormFloat64()
	return k
}

// speed is ln of the speed of a bread on a day, but for the day's own chance.
func (k *kitchen) speed(bread, day int) float64 {
	s := k.breads[bread] + k.drift*float64(day)
	if day >= k.half {
		s += k.lot
	}
	return s
}

// read is the day's reading.
func (k *kitchen) read(day int) learn.Observation {
	i := day % len(k.breads)
	y := k.speed(i, day) + k.sd*k.rng.NormFloat64() + k.reading*k.rng.NormFloat64()
	if k.rng.Float64() < k.absurd {
		y += (math.Ln2 + k.rng.Float64()*math.Log(1.5)) * float64(1-2*k.rng.IntN(2))
	}
	if i == 0 {
		k.sum, k.weight = k.sum+y, k.weight+1
	}
	o := learn.Observation{Day: day, Bread: fmt.Sprint(i), Predicted: 90, Observed: 90 * math.Exp(-y)}
	if k.told {
		o.SD = k.reading
	}
	return o
}

// versed is the posterior mean of who knows all spreads: Gelman et al., Bayesian
// Data Analysis, 2.5.
func (k *kitchen) versed() float64 {
	prior := learn.RisePrior.Kitchen*learn.RisePrior.Kitchen + learn.RisePrior.Bread*learn.RisePrior.Bread
	return k.sum / (k.weight + (k.sd*k.sd+k.reading*k.reading)/prior)
}

// after is how n readings serve over so many kitchens.
func (p kitchens) after(n, count int) result {
	rng := rand.New(rand.NewPCG(7, uint64(11+n)))
	var book, oracle, versed []float64
	var r result
	for range count {
		k := p.open(rng, n)
		var b learn.Book
		for day := range n {
			if err := b.Observe(k.read(day)); err != nil {
				panic(err)
			}
		}
		belief := b.Forecast(n).Rise("0", learn.Plain)
		own := k.speed(0, n)
		truth := own + k.sd*rng.NormFloat64()
		miss := func(m float64) float64 { return math.Abs(math.Expm1(m - truth)) }
		book, oracle, versed = append(book, miss(belief.Mean)), append(oracle, miss(own)), append(versed, miss(k.versed()))
		if x := math.Exp(truth); x > learn.Factor(belief, 0.1) && x < learn.Factor(belief, 0.9) {
			r.book.covered += 1 / float64(count)
		}
		r.book.sd += belief.SD / float64(count)
	}
	median := func(v []float64) float64 { slices.Sort(v); return v[len(v)/2] }
	r.book.median, r.oracle, r.versed = median(book), median(oracle), median(versed)
	return r
}

// Kitchens with a known truth, by number of rises seen. The goal is a median
// error of 10 % after one rise and of 5 % after five, with the 80 % range holding
// 75 to 85 %. Where days and readings scatter too much for that, nobody could
// reach it, and the book is held to what who knows the spreads would reach, as
// testdata/README.md has it. The tolerance of a median over 2000 kitchens is 4 %
// of it, that of a coverage 0.02 (two standard deviations).
func TestKitchens(t *testing.T) {
	t.Parallel()
	const count = 2000
	for _, c := range []struct {
		kitchens
		one, five score // the largest median error and the least coverage
		most      float64
	}{
		{kitchens{name: "even", day: steady(0.05), reading: 0.10, breads: 1}, score{0.10, 0.75, 0}, score{0.05, 0.75, 0}, 0.85},
		{kitchens{name: "mixed", day: mixed, reading: 0.10, breads: 1}, score{0.10, 0.75, 0}, score{0.053, 0.75, 0}, 0.85},
		{kitchens{name: "changeable", day: steady(0.10), reading: 0.10, breads: 1}, score{0.115, 0.65, 0}, score{0.08, 0.64, 0}, 0.85},
		{kitchens{name: "rougher than expected", day: rougher, reading: 0.10, breads: 1}, score{0.10, 0.70, 0}, score{0.06, 0.70, 0}, 0.85},
		{kitchens{name: "ready, tapped", day: mixed, reading: 0.15, told: true, breads: 1}, score{0.115, 0.75, 0}, score{0.07, 0.75, 0}, 0.85},
		{kitchens{name: "volumes, careful", day: mixed, reading: 0.06, told: true, breads: 1}, score{0.08, 0.75, 0}, score{0.046, 0.75, 0}, 0.85},
		{kitchens{name: "three breads in turn", day: mixed, reading: 0.10, breads: 3}, score{0.10, 0.75, 0}, score{0.08, 0.75, 0}, 0.85},
		{kitchens{name: "drifting", day: mixed, reading: 0.10, breads: 1, drift: 0.005}, score{0.10, 0.75, 0}, score{0.065, 0.72, 0}, 0.85},
		{kitchens{name: "another yeast lot", day: mixed, reading: 0.10, breads: 1, lot: 0.15}, score{0.14, 0.57, 0}, score{0.085, 0.64, 0}, 0.85},
		{kitchens{name: "one in ten absurd", day: mixed, reading: 0.10, breads: 1, absurd: 0.1}, score{0.11, 0.72, 0}, score{0.065, 0.70, 0}, 0.85},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			blind := c.after(0, count)
			for _, n := range []int{1, 5, 10} {
				got := c.after(n, count)
				t.Logf("%-21s %2d seen: median error %4.1f %%, spreads known %4.1f %%, oracle %4.1f %%; 80 %% range covers %.1f %%, sd %.3f",
					c.name, n, 100*got.book.median, 100*got.versed, 100*got.oracle, 100*got.book.covered, got.book.sd)
				want := c.one
				if n >= 5 {
					want = c.five
				}
				if got.book.median > 1.04*want.median || got.book.covered < want.covered-0.02 || got.book.covered > c.most+0.02 {
					t.Errorf("%d seen: median error %.3f, coverage %.3f", n, got.book.median, got.book.covered)
				}
				if n >= 5 && got.book.median > 0.7*blind.book.median {
					t.Errorf("%d rises help little: %.3f after %.3f", n, got.book.median, blind.book.median)
				}
			}
		})
	}
}

// Five rises of each of so many kitchens, as the check above takes them.
func BenchmarkKitchen(b *testing.B) {
	p := kitchens{day: mixed, reading: 0.10, breads: 1}
	b.ReportAllocs()
	for b.Loop() {
		if r := p.after(5, 1); !(r.book.median >= 0) {
			b.Fatal(r)
		}
	}
}
