package learn_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/learn"
)

// book enters observations.
func book(t testing.TB, seen ...learn.Observation) *learn.Book {
	t.Helper()
	b := new(learn.Book)
	for _, o := range seen {
		if err := b.Observe(o); err != nil {
			t.Fatal(err)
		}
	}
	return b
}

// ready is a rise predicted for 90 minutes that was as fast as factor says.
func ready(day int, bread string, factor float64) learn.Observation {
	return learn.Observation{Day: day, Bread: bread, Predicted: 90, Observed: 90 / factor}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.4f, want %.4f", what, got, want)
	}
}

// What is shown before any observation: errors of published rises, leaving
// sources out, and the allowance for a home kitchen.
func TestPrior(t *testing.T) {
	t.Parallel()
	f := new(learn.Book).Forecast(0)
	for regime, want := range map[learn.Regime]float64{learn.Plain: 0.30, learn.Cool: 0.45, learn.Cold: 0.60, learn.Scarce: 0.45} {
		b := f.Rise("loaf", regime)
		near(t, "mean", b.Mean, 0, 0)
		near(t, "sd", b.SD, want, 0.01)
	}
	near(t, "80 % range", learn.Belief{SD: 0.30}.Spread(), 1.47, 0.005)
	near(t, "80 % range", learn.Belief{SD: 0.60}.Spread(), 2.16, 0.005)
	near(t, "median", learn.Factor(learn.Belief{Mean: 0.2, SD: 0.3}, 0.5), math.Exp(0.2), 1e-12)
}

// Two rises on two days known to be even, by the textbook formula for a normal
// mean (Gelman et al., Bayesian Data Analysis, 2.5): the book's mixture over the
// spread of days must lie between its extremes.
func TestConjugate(t *testing.T) {
	t.Parallel()
	got := book(t, ready(0, "loaf", 1.2), ready(1, "loaf", 1.1)).Forecast(1).Rise("loaf", learn.Plain)
	prior := 0.21*0.21 + 0.20*0.20
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, day := range []float64{0.03, 0.06, 0.12, 0.24} {
		noise := 0.10*0.10 + day*day
		m := prior / (prior + noise/2) * math.Log(1.2*1.1) / 2
		lo, hi = min(lo, m), max(hi, m)
	}
	if got.Mean < lo || got.Mean > hi {
		t.Errorf("mean %.4f, want %.4f to %.4f", got.Mean, lo, hi)
	}
}

// A rise seen of one bread says something of another, much less of a cold one.
// After one rise of a different kind the spread is 0.25 to 0.28 still: published
// first rises say that little about later ones.
func TestTransfer(t *testing.T) {
	t.Parallel()
	f := book(t, ready(0, "loaf", 1.3)).Forecast(1)
	same, other, cold := f.Rise("loaf", learn.Plain), f.Rise("rolls", learn.Plain), f.Rise("loaf", learn.Cold)
	if !(same.Mean > other.Mean && other.Mean > 0.05) {
		t.Errorf("means: same bread %.3f, other %.3f", same.Mean, other.Mean)
	}
	near(t, "other bread", other.SD, 0.265, 0.015)
	if cold.SD < 0.5 {
		t.Errorf("cold: sd %.3f after one warm rise", cold.SD)
	}
	cool := book(t, learn.Observation{Regime: learn.Cold, Bread: "loaf", Predicted: 600, Observed: 400}).Forecast(1)
	if a, b := cool.Rise("rolls", learn.Cool), cool.Rise("rolls", learn.Plain); a.Mean < b.Mean+0.05 {
		t.Errorf("a fast night says %.3f of a cool rise and %.3f of a warm one", a.Mean, b.Mean)
	}
}

// A bound is worth what Bayes says: moments of the normal cut by a soft edge, by
// quadrature.
func TestBound(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind   learn.Kind
		factor float64
	}{{learn.NotYet, 1}, {learn.NotYet, 0.7}, {learn.Past, 1}, {learn.Past, 1.5}, {learn.NotYet, 2}} {
		belief := learn.Belief{Mean: 0.05, SD: 0.3}
		y := math.Log(c.factor)
		var p, m, s float64
		for x := -3.0; x < 3; x += 1e-4 {
			z := (y - x) / 0.10
			if c.kind == learn.Past {
				z = -z
			}
			w := math.Exp(-(x-0.05)*(x-0.05)/2/0.09) * math.Erfc(-z/math.Sqrt2)
			p, m, s = p+w, m+w*x, s+w*x*x
		}
		m, s = m/p, math.Sqrt(s/p-m*m/p/p)
		got := belief.Running(learn.Observation{Kind: c.kind, Predicted: 90, Observed: 90 / c.factor})
		near(t, "mean", got.Mean, m, 1e-4)
		near(t, "sd", got.SD, s, 1e-4)
	}
}

// The dough under way moves its own forecast at once, in the right direction.
func TestRunning(t *testing.T) {
	t.Parallel()
	b := learn.Belief{Mean: 0.1, SD: 0.3}
	if got := b.Running(); math.Abs(got.Mean-0.1) > 1e-12 || math.Abs(got.SD-0.3) > 1e-12 {
		t.Errorf("nothing seen, yet %+v", got)
	}
	got := b.Running(ready(0, "", 1.3))
	gain := 0.09 / (0.09 + 0.01)
	near(t, "mean", got.Mean, 0.1+gain*(math.Log(1.3)-0.1), 1e-9)
	near(t, "sd", got.SD, math.Sqrt(0.09*(1-gain)), 1e-9)
	if slow := b.Running(learn.Observation{Kind: learn.NotYet, Predicted: 60, Observed: 75}); slow.Mean > -0.1 || slow.SD > 0.3 {
		t.Errorf("late: %+v", slow)
	}
	if wild := b.Running(ready(0, "", 20)); math.Abs(wild.Mean-0.1) > 0.02 {
		t.Errorf("absurd: %+v", wild)
	}
}

// One absurd reading moves little and is named; two that agree are believed.
func TestAbsurd(t *testing.T) {
	t.Parallel()
	seen := []learn.Observation{ready(0, "loaf", 1.1), ready(1, "loaf", 1.15), ready(2, "loaf", 1.05)}
	before := book(t, seen...).Forecast(4).Rise("loaf", learn.Plain)
	for _, factor := range []float64{0.2, 0.4, 3, 10} {
		f := book(t, append(slices.Clone(seen), ready(3, "loaf", factor))...).Forecast(4)
		if after := f.Rise("loaf", learn.Plain); math.Abs(after.Mean-before.Mean) > 0.03 {
			t.Errorf("factor %v moves the mean from %.3f to %.3f", factor, before.Mean, after.Mean)
		}
		if diff := cmp.Diff([]learn.Observation{ready(3, "loaf", factor)}, f.Doubted()); diff != "" {
			t.Errorf("doubted: %s", diff)
		}
	}
	alone := book(t, ready(0, "loaf", 6)).Forecast(1).Rise("loaf", learn.Plain)
	near(t, "a first absurd rise", alone.Mean, 0, 0.05)
	twice := book(t, ready(0, "loaf", 2.6), ready(1, "loaf", 2.5)).Forecast(2).Rise("loaf", learn.Plain)
	near(t, "twice the same, clamped to double", twice.Mean, math.Ln2, 1e-9)
}

// Rises that agree never make the forecast less sure.
func TestNeverWidens(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(5, 6))
	for range 50 {
		b, last := new(learn.Book), 1.0
		factor := math.Exp(0.2 * rng.NormFloat64())
		for n := range 12 {
			got := b.Forecast(20).Rise("loaf", learn.Plain)
			if got.SD > last+1e-9 {
				t.Fatalf("factor %.2f: sd %.4f after %.4f at %d seen", factor, got.SD, last, n)
			}
			last = got.SD
			if err := b.Observe(ready(8+n, "loaf", factor)); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// The order of entries changes nothing, to the bit.
func TestOrder(t *testing.T) {
	t.Parallel()
	seen := []learn.Observation{
		ready(3, "loaf", 1.2), ready(3, "loaf", 1.3), ready(3, "rolls", 0.9), ready(1, "rolls", 0.5),
		{Day: 3, Bread: "loaf", Kind: learn.NotYet, Predicted: 60, Observed: 50},
		{Day: 3, Bread: "loaf", Kind: learn.Temperature, Predicted: 25, Observed: 26},
	}
	want := book(t, seen...)
	rng := rand.New(rand.NewPCG(8, 9))
	for range 20 {
		rng.Shuffle(len(seen), func(i, j int) { seen[i], seen[j] = seen[j], seen[i] })
		got := book(t, seen...)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatal(diff)
		}
		if a, b := got.Forecast(4).Rise("loaf", learn.Plain), want.Forecast(4).Rise("loaf", learn.Plain); a != b {
			t.Fatalf("%v and %v", a, b)
		}
	}
}

// Readings of one day share its chance: three loaves at once teach less than
// three days, and tell more of the rest of that day than of the next.
func TestDay(t *testing.T) {
	t.Parallel()
	once := book(t, ready(2, "loaf", 1.1), ready(2, "loaf", 1.15), ready(2, "loaf", 1.05))
	apart := book(t, ready(0, "loaf", 1.1), ready(1, "loaf", 1.15), ready(2, "loaf", 1.05)).Forecast(3).Rise("loaf", learn.Plain)
	today, tomorrow := once.Forecast(2).Rise("loaf", learn.Plain), once.Forecast(3).Rise("loaf", learn.Plain)
	if !(today.SD < tomorrow.SD && apart.SD < tomorrow.SD) {
		t.Errorf("sd: same day %.3f, next day %.3f, three days %.3f", today.SD, tomorrow.SD, apart.SD)
	}
}

// Old days fade: the forecast returns to the prior, and a new habit wins.
func TestMemory(t *testing.T) {
	t.Parallel()
	b := book(t, ready(0, "loaf", 1.3), ready(1, "loaf", 1.3), ready(2, "loaf", 1.3))
	if got := b.Forecast(400).Rise("loaf", learn.Plain); math.Abs(got.Mean) > 0.01 || got.SD < 0.29 {
		t.Errorf("a year later %+v", got)
	}
	for day := range 3 {
		if err := b.Observe(ready(150+day, "loaf", 0.8)); err != nil {
			t.Fatal(err)
		}
	}
	near(t, "new habit", b.Forecast(153).Rise("loaf", learn.Plain).Mean, math.Log(0.8), 0.06)
}

// A book keeps ten of a bread, eighty in all, and forgets a bread on demand.
func TestKeeping(t *testing.T) {
	t.Parallel()
	b := new(learn.Book)
	for day := range 300 {
		if err := b.Observe(ready(day, string(rune('a'+day%12)), 1.1)); err != nil {
			t.Fatal(err)
		}
	}
	if f := b.Forecast(300); len(b.Seen) != 80 || f.Seen("a") > 10 || f.Seen("a") < 5 || b.Seen[79].Day != 299 {
		t.Errorf("%d kept, %d of one bread", len(b.Seen), f.Seen("a"))
	}
	b.Forget("a")
	if n := b.Forecast(300).Seen("a"); n != 0 {
		t.Errorf("%d of a forgotten bread", n)
	}
}

// Doughs that come off the mixer two degrees warm are expected so, one reading
// of a thermometer left in the oven is not.
func TestTemperature(t *testing.T) {
	t.Parallel()
	warm := func(day int, bread string, observed float64) learn.Observation {
		return learn.Observation{Day: day, Bread: bread, Kind: learn.Temperature, Predicted: 25, Observed: observed}
	}
	b := book(t, warm(0, "loaf", 27.2), warm(1, "loaf", 26.8), warm(2, "rolls", 27))
	near(t, "offset", b.Forecast(3).Temperature("loaf", 0).Mean, 1.9, 0.2)
	if got := b.Forecast(3).Rise("loaf", learn.Plain); got.Mean != 0 {
		t.Errorf("temperatures moved the rise: %+v", got)
	}
	if err := b.Observe(warm(3, "loaf", 55)); err != nil {
		t.Fatal(err)
	}
	near(t, "offset", b.Forecast(4).Temperature("loaf", 0).Mean, 1.9, 0.2)
}

func TestJSON(t *testing.T) {
	t.Parallel()
	want := book(t, ready(1, "loaf", 1.2), learn.Observation{Day: 2, Bread: "rolls", Regime: learn.Cold, Kind: learn.Past, Predicted: 500, Observed: 610, SD: 0.2})
	want.Rise = learn.Prior{Kitchen: 0.3}
	text, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	got := new(learn.Book)
	if err := json.Unmarshal(text, got); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestBadObservation(t *testing.T) {
	t.Parallel()
	for want, o := range map[string]learn.Observation{
		"predicted is 0":      {Observed: 60},
		"observed is NaN":     {Predicted: 60, Observed: math.NaN()},
		"observed is -5":      {Predicted: 60, Observed: -5},
		"kind is 9":           {Kind: 9, Predicted: 60, Observed: 60},
		"regime is -1":        {Regime: -1, Predicted: 60, Observed: 60},
		"spread is -1":        {SD: -1, Predicted: 60, Observed: 60},
		"day is 1e+07":        {Day: 1e7, Predicted: 60, Observed: 60},
		"give -20 to 60 °C":   {Kind: learn.Temperature, Predicted: 25, Observed: 260},
		"predicted is 100000": {Predicted: 1e5, Observed: 60},
	} {
		b := new(learn.Book)
		if err := b.Observe(o); err == nil || !strings.Contains(err.Error(), want) || len(b.Seen) != 0 {
			t.Errorf("got %v, want %q", err, want)
		}
	}
}

// Whatever is entered, forecasts are numbers, and clamped.
func FuzzBook(f *testing.F) {
	f.Add(0, 1, 0, 0, 90.0, 80.0, 0.1, 0.21, 60.0)
	f.Add(-5, 9, 2, 1, 0.5, 20000.0, 5.0, 0.0, 0.0)
	f.Add(3, 3, 1, 2, math.NaN(), math.Inf(1), -1.0, math.NaN(), -1.0)
	f.Fuzz(func(t *testing.T, day, gap, kind, regime int, predicted, observed, sd, kitchen, memory float64) {
		b := learn.Book{Rise: learn.Prior{Kitchen: kitchen, Memory: memory}}
		o := learn.Observation{Day: day, Bread: "a", Kind: learn.Kind(kind), Regime: learn.Regime(regime), Predicted: predicted, Observed: observed, SD: sd, Allowed: kitchen}
		for i := range 4 {
			if b.Observe(o) != nil {
				b.Seen = append(b.Seen, o) // as if read from a file
			}
			o.Day, o.Kind, o.Observed = day+i*gap, learn.Kind(i%4), observed*float64(i+1)
		}
		fc := b.Forecast(day + gap)
		rise := fc.Rise("a", learn.Regime(regime))
		for _, x := range []learn.Belief{rise, fc.Temperature("a", 1), fc.Friction("a"), rise.Running(b.Seen...)} {
			if !(math.Abs(x.Mean) < 200 && x.SD > 0 && x.SD < 50) {
				t.Fatalf("%+v from %+v", x, b.Seen)
			}
		}
		if q := learn.Factor(rise, 0.5); !(q > 0.499 && q < 2.001) {
			t.Fatalf("factor %v", q)
		}
	})
}

// A forecast from a full book, as before every plan.
func BenchmarkForecast(b *testing.B) {
	kept := new(learn.Book)
	for day := range 80 {
		if err := kept.Observe(ready(day, string(rune('a'+day%8)), 1+0.1*math.Sin(float64(day)))); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if kept.Forecast(80).Rise("a", learn.Plain).SD == 0 {
			b.Fatal("no spread")
		}
	}
}
