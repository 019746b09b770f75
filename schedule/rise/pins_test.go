package rise_test

import (
	"math"
	"testing"

	"ovenward/schedule/rise"
	"ovenward/schedule/unit"
)

// lean is the dough of the pins: no sugar, no fat. The pins of this file were
// computed by an independent program (Python, 0.25 min Euler steps) from the
// equations and constants of package rise; accepted within 3 %, f within 0.5 %.
var lean = rise.Recipe{Yeast: 3, Salt: 1.8, Water: 62, DoughPerFlour: 1.65}

func work(r rise.Recipe) *rise.Kinetics { return rise.New(r, 0, rise.Default()) }

// until is the minutes from s to expansion e at constant t, in steps of step
// minutes, the last crossing on a straight line.
func until(k *rise.Kinetics, s *rise.State, e float64, t unit.Celsius, step float64) float64 {
	f := k.Speed(float64(t))
	before := s.Expansion(k, t)
	for m := 0.0; m < 100000; m += step {
		s.Step(k, step/60, f, t)
		now := s.Expansion(k, t)
		if now >= e {
			return m + step*(e-before)/(now-before)
		}
		before = now
	}
	return math.Inf(1)
}

func near(t *testing.T, what string, got, want, share float64) {
	t.Helper()
	if !(math.Abs(got-want) <= share*math.Abs(want)) {
		t.Errorf("%s: got %.4g, want %.4g ± %.1f %%", what, got, want, 100*share)
	}
}

func TestSpeedPins(t *testing.T) {
	t.Parallel()
	p := rise.Default()
	k := work(lean)
	for _, pin := range []struct{ t, f float64 }{
		{1, .018}, {4, .055}, {6, .090}, {8, .135}, {10, .188}, {13, .285}, {15, .361}, {18, .492}, {20, .590}, {22, .696}, {24, .812},
		{26, .935}, {27, 1}, {28, 1.066}, {30, 1.204}, {32, 1.344}, {35, 1.546}, {37, 1.655}, {40, 1.705}, {43, 1.424}, {45, .905},
	} {
		exact := p.Speed(pin.t)
		if math.Abs(exact-pin.f) > max(0.005*pin.f, 0.0005) { // the pins have three decimals
			t.Errorf("f(%v) = %.5f, want %.3f", pin.t, exact, pin.f)
		}
		near(t, "table against formula", k.Speed(pin.t), exact, 0.0005)
	}
	for _, c := range []struct {
		end  float64
		want []float64
	}{
		{rise.ColdFast, []float64{.045, .092, .133, .181, .236, .333, .406}},
		{rise.ColdSlow, []float64{.001, .022, .050, .088, .138, .233, .310}},
	} {
		p := rise.Default().Cold(c.end)
		for i, at := range []float64{1, 4, 6, 8, 10, 13, 15} {
			if got := p.Speed(at); math.Abs(got-c.want[i]) > 0.0006 {
				t.Errorf("cold end %v: f(%v) = %.4f, want %.3f", c.end, at, got, c.want[i])
			}
		}
	}
}

func TestSpeedTable(t *testing.T) {
	t.Parallel()
	p := rise.Default()
	k := work(lean)
	for c := -10.0; c < 55; c += 0.013 {
		if got, want := k.Speed(c), p.Speed(c); math.Abs(got-want) > 7e-4 {
			t.Errorf("%v °C: table %v, formula %v", c, got, want)
		}
	}
	for _, c := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 48, -3, 1e300} {
		if got := k.Speed(c); got != 0 {
			t.Errorf("speed at %v is %v, want 0", c, got)
		}
	}
}

func TestMinutesToDouble(t *testing.T) {
	t.Parallel()
	p := rise.Default()
	at := []unit.Celsius{4, 10, 15, 18, 20, 22, 24, 26, 27, 28, 30, 32, 35}
	first := []float64{1505, 402, 196, 139, 113, 94, 79, 67, 62, 57, 50, 44, 37}
	light := []float64{498, 141, 72, 52, 43, 37, 31, 27, 25, 23, 21, 18, 16}
	hard := []float64{712, 202, 104, 75, 62, 52, 45, 39, 36, 34, 30, 26, 23}
	byEye := []float64{1720, 463, 228, 162, 132, 109, 92, 78, 72, 67, 59, 51, 44}
	within := func(what string, c unit.Celsius, got, want float64) {
		if math.Abs(got-want) > max(0.03*want, 0.5) { // printed in whole minutes
			t.Errorf("%v %s: %.1f min, want %v", c, what, got, want)
		}
	}
	for i, c := range at {
		k := work(lean)
		var s rise.State
		within("first", c, until(k, &s, 2, c, 0.5), first[i])
		for h, want := range map[rise.Handling]float64{rise.Fold: light[i], rise.KnockBack: hard[i]} {
			again := s
			again.Handle(k, h, c)
			within(string(h), c, until(k, &again, 2, c, 0.5), want)
		}
		s = rise.State{}
		within("by eye", c, until(k, &s, rise.DoubledByEye, c, 0.5), byEye[i])
	}
	for _, c := range []struct {
		end float64
		min [3]float64
	}{{rise.ColdFast, [3]float64{175, 321, 892}}, {-3, [3]float64{196, 402, 1505}}, {rise.ColdSlow, [3]float64{229, 550, 3734}}} {
		k := rise.New(lean, 1, p.Cold(c.end))
		for i, at := range []unit.Celsius{15, 10, 4} {
			var s rise.State
			within("cold end", at, until(k, &s, 2, at, 1), c.min[i])
		}
	}
}

func TestDosePins(t *testing.T) {
	t.Parallel()
	for _, pin := range []struct{ y, hours float64 }{
		{.1, 8.83}, {.3, 5.65}, {.6, 4.12}, {1, 2.97}, {1.5, 2.20}, {2, 1.77}, {3, 1.31}, {4, 1.05}, {6, .78},
	} {
		r := lean
		r.Yeast = unit.Percent(pin.y)
		var s rise.State
		near(t, "hours at 24 °C", until(work(r), &s, 2, 24, 1)/60, pin.hours, 0.03)
	}
}

func TestSugarPins(t *testing.T) {
	t.Parallel()
	unstressed := lean
	unstressed.Salt = 0
	full := work(unstressed)
	for _, pin := range []struct{ sugar, factor, minutes float64 }{
		{0, .917, 62}, {5, .835, 69}, {10, .744, 79}, {15, .653, 92}, {20, .568, 108}, {30, .427, 149},
	} {
		r := lean
		r.Sugar, r.DoughPerFlour = unit.Percent(pin.sugar), 1.65+pin.sugar/100
		k := work(r)
		factor := k.Pace(&rise.State{}) * r.DoughPerFlour / (full.Pace(&rise.State{}) * 1.65)
		near(t, "osmotic factor", factor, pin.factor, 0.003)
		var s rise.State
		near(t, "minutes at 27 °C", until(k, &s, 2, 27, 0.5), pin.minutes, 0.03)
	}
}

func TestGasPins(t *testing.T) {
	t.Parallel()
	k := work(rise.Recipe{Yeast: 2.8, Salt: 2, Water: 60, DoughPerFlour: 1.65})
	var s rise.State
	for _, want := range []float64{2.02, 4.05, 6.18} {
		for range 60 {
			s.Step(k, 1.0/60, k.Speed(28.5), 28.5)
		}
		near(t, "gas per flour at 28.5 °C", s.GasPerFlour(k), want, 0.03)
	}
}

func TestLeanDefinitions(t *testing.T) {
	t.Parallel()
	k := work(lean)
	near(t, "dissolved at 27 °C", k.Dissolved(27), 0.368, 0.003)
	near(t, "dissolved at 4 °C", k.Dissolved(4), 0.71, 0.01)
	near(t, "gas to double at 27 °C", k.Needed(2, 27), 1.238, 0.01)
}
