package heat_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"ovenward/schedule/heat"
	"ovenward/schedule/unit"
)

// Without exchange the dough's own heat warms it by exactly Q/(m cp), wherever
// in the body it is made and however it grows.
func TestEnergy(t *testing.T) {
	t.Parallel()
	for _, shape := range []heat.Shape{heat.Slab, heat.Cylinder, heat.Sphere, 4.2} {
		f, err := heat.NewField(heat.Body{Shape: shape, Mass: 800, Length: 0.05}, 0, 24)
		if err != nil {
			t.Fatal(err)
		}
		rng := rand.New(rand.NewPCG(1, uint64(shape)))
		source, want := make([]float64, len(f.Temps())), 24.0
		for range 200 {
			minutes := 10 * rng.Float64()
			for i, w := range f.Weights() {
				source[i] = 3 * rng.Float64()
				want += w * source[i] * minutes * 60 / heat.Dough.HeatCapacity
			}
			if err := f.Grow(1 + rng.Float64()); err != nil {
				t.Fatal(err)
			}
			if err := f.Step(4, 0, minutes, source); err != nil {
				t.Fatal(err)
			}
		}
		if got := float64(f.Mean()); math.Abs(got-want) > 1e-8 {
			t.Errorf("shape %v: mean %.9f, want %.9f", shape, got, want)
		}
	}
}

// A ball that makes heat evenly, long in one place: the core is Q R²/(6 k) above the surface, the surface Q R/(3 h) above the air
// (Incropera, table C.2).
func TestSteadySource(t *testing.T) {
	t.Parallel()
	b := sphere(1)
	f, err := heat.NewField(b, 0, 24)
	if err != nil {
		t.Fatal(err)
	}
	source := make([]float64, len(f.Temps()))
	for i := range source {
		source[i] = 1
	}
	for range 3000 {
		if err := f.Step(24, 6, 10, source); err != nil {
			t.Fatal(err)
		}
	}
	q := 1000.0 // W/m³
	surface, core := q*b.Length/(3*6), q*b.Length*b.Length/(6*0.30)
	if got := float64(f.Surface() - 24); math.Abs(got/surface-1) > 1e-6 {
		t.Errorf("surface %.4f above the air, want %.4f", got, surface)
	}
	if got := float64(f.Core() - f.Surface()); math.Abs(got/core-1) > 1e-6 {
		t.Errorf("core %.4f above the surface, want %.4f", got, core)
	}
}

// Nothing leaves the range of the temperatures the body and the air have had:
// at any length of step, through sudden changes of place.
func TestMaximumPrinciple(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(2, 3))
	for range 300 {
		body := heat.Body{
			Shape: heat.Shape(1 + 4*rng.Float64()), Mass: 500,
			Length: 0.002 * math.Pow(100, rng.Float64()), Wall: 0.02 * rng.Float64(),
		}
		start := 40 * rng.Float64()
		f, err := heat.NewField(body, 0, unit.Celsius(start))
		if err != nil {
			t.Fatal(err)
		}
		lo, hi := start, start
		for range 30 {
			air, h := -20+120*rng.Float64(), math.Pow(10, -1+4*rng.Float64())
			minutes := 0.1 * math.Pow(1e4, rng.Float64())
			lo, hi = min(lo, air), max(hi, air)
			if err := f.Step(unit.Celsius(air), h, minutes, nil); err != nil {
				t.Fatal(err)
			}
			if c, e := float64(f.Core()), (hi-lo)/1000; !(c >= lo-e && c <= hi+e) { // read off a parabola
				t.Fatalf("%+v: core %v, outside %v to %v", body, c, lo, hi)
			}
			for i, x := range append([]float64{float64(f.Mean()), float64(f.Surface())}, f.Temps()...) {
				if !(x >= lo-1e-6 && x <= hi+1e-6) {
					t.Fatalf("%+v, h %.1f, %.1f min: value %d is %v, outside %v to %v", body, h, minutes, i, x, lo, hi)
				}
			}
		}
	}
}

// Cooling steadily, the body is coldest at its skin, and every shell cools on.
func TestMonotone(t *testing.T) {
	t.Parallel()
	for _, minutes := range []float64{1, 10, 60} {
		f, err := heat.NewField(heat.Ball(1000), 0, 27)
		if err != nil {
			t.Fatal(err)
		}
		before := append([]float64(nil), f.Temps()...)
		for range 50 {
			if err := f.Step(4, 12, minutes, nil); err != nil {
				t.Fatal(err)
			}
			now := f.Temps()
			for i := range now {
				if now[i] > before[i]+1e-9 || i > 0 && now[i] > now[i-1]+1e-9 {
					t.Fatalf("steps of %v min: %.3f after %.3f", minutes, now, before)
				}
			}
			copy(before, now)
		}
	}
}

// A doubled dough lies further from its skin: with the same diffusivity it
// follows the place more slowly, as a body made of foam of that size does.
func TestGrow(t *testing.T) {
	t.Parallel()
	grown, err := heat.NewField(sphere(1), 0, 26)
	if err != nil {
		t.Fatal(err)
	}
	if err := grown.Grow(2); err != nil {
		t.Fatal(err)
	}
	foam := sphere(1)
	foam.Length *= math.Cbrt(2)
	foam.Material.Density /= 2
	want := stand(t, foam, 26, 4, 6, 120, 5)
	for range 24 {
		if err := grown.Step(4, 6, 5, nil); err != nil {
			t.Fatal(err)
		}
	}
	if math.Abs(float64(grown.Core()-want.Core())) > 1e-9 || math.Abs(float64(grown.Mean()-want.Mean())) > 1e-9 {
		t.Errorf("core %v mean %v, want %v and %v", grown.Core(), grown.Mean(), want.Core(), want.Mean())
	}
}

// Handling mixes: the mean stays, the profile goes. A copy lives on its own.
func TestReshape(t *testing.T) {
	t.Parallel()
	f := stand(t, heat.Ball(2000), 26, 4, 6, 120, 5)
	kept, mean := *f, f.Mean()
	if err := f.Reshape(heat.Flat(500, 0.03, true)); err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(f.Mean()-mean)) > 1e-9 || math.Abs(float64(f.Core()-mean)) > 1e-9 || f.Surface() != f.Core() {
		t.Errorf("reshaped: mean %v core %v surface %v, want %v", f.Mean(), f.Core(), f.Surface(), mean)
	}
	if err := f.Step(40, 100, 60, nil); err != nil {
		t.Fatal(err)
	}
	if kept.Mean() != mean || kept.Core() < mean+2 {
		t.Errorf("the copy moved: mean %v core %v", kept.Mean(), kept.Core())
	}
}

// What cannot be true is refused by name, and leaves the field as it was.
func TestBadInput(t *testing.T) {
	t.Parallel()
	nan := math.NaN()
	field := func(b heat.Body, shells int, from float64) error {
		_, err := heat.NewField(b, shells, unit.Celsius(from))
		return err
	}
	f := stand(t, heat.Ball(1000), 26, 4, 6, 60, 5)
	before := *f
	long := heat.Ball(1000)
	long.Wall = -1
	for _, c := range []struct {
		err  error
		want string
	}{
		{field(heat.Ball(-5), 0, 20), "mass is -5"},
		{field(heat.Ball(unit.Grams(nan)), 0, 20), "mass is NaN"},
		{field(heat.Flat(500, 0, true), 0, 20), "length is 0"},
		{field(heat.Tub(500, nan), 0, 20), "shape is NaN"},
		{field(heat.Tin(500, math.Inf(1), 0.1), 0, 20), "is"},
		{field(long, 0, 20), "wall is -1"},
		{field(heat.Ball(500), 3, 20), "3 shells"},
		{field(heat.Ball(500), 41, 20), "41 shells"},
		{field(heat.Ball(500), 0, nan), "dough temperature is NaN"},
		{f.Step(unit.Celsius(nan), 6, 5, nil), "air temperature is NaN"},
		{f.Step(4, -1, 5, nil), "h is -1"},
		{f.Step(4, math.Inf(1), 5, nil), "h is +Inf"},
		{f.Step(4, 6, -5, nil), "-5 minutes"},
		{f.Step(4, 6, 5, []float64{1, 2}), "heat for 2 shells"},
		{f.Step(4, 6, 5, append(make([]float64, 9), nan)), "heat of shell 9 is NaN"},
		{f.Grow(0), "volume ratio 0"},
		{f.Grow(nan), "volume ratio NaN"},
		{f.Reshape(heat.Ball(0)), "mass is 0"},
	} {
		if c.err == nil || !strings.Contains(c.err.Error(), c.want) {
			t.Errorf("got %v, want %q", c.err, c.want)
		}
	}
	if *f != before {
		t.Error("a refused change moved the field")
	}
}

// Whatever is fed in, a temperature comes out or an error, never NaN.
func FuzzField(f *testing.F) {
	f.Add(3.0, 1000.0, 0.06, 0.0, 26.0, 4.0, 6.0, 5.0, 1.0, 0.5)
	f.Add(1.0, 500.0, 1e-4, 1.0, -30.0, 300.0, 1e5, 1e5, 3.0, -20.0)
	f.Add(math.NaN(), -1.0, math.Inf(1), math.Copysign(0, -1), 1e308, -1e308, math.NaN(), 0.0, 0.0, math.Inf(-1))
	f.Fuzz(func(t *testing.T, shape, mass, length, wall, from, air, h, minutes, grow, q float64) {
		body := heat.Body{Shape: heat.Shape(shape), Mass: unit.Grams(mass), Length: length, Wall: wall}
		field, err := heat.NewField(body, 8, unit.Celsius(from))
		if err != nil {
			return
		}
		source := []float64{q, 0, q, 0, 0, 0, 0, q}
		for _, err := range []error{
			field.Grow(grow), field.Step(unit.Celsius(air), h, minutes, source),
			field.Reshape(heat.Tub(body.Mass, length)), field.Step(unit.Celsius(air), h, minutes, nil),
		} {
			if err != nil && err.Error() == "" {
				t.Error("an error without words")
			}
		}
		for _, v := range append([]float64{float64(field.Mean()), float64(field.Core()), float64(field.Surface())}, field.Temps()...) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%v from %+v", field.Temps(), body)
			}
		}
	})
}

// A day of a ball put into the fridge, in steps of 1, 5 and 10 minutes.
func BenchmarkDay(b *testing.B) {
	for name, minutes := range map[string]float64{"1min": 1, "5min": 5, "10min": 10} {
		b.Run(name, func(b *testing.B) {
			start, err := heat.NewField(heat.Ball(1000), 0, 26)
			if err != nil {
				b.Fatal(err)
			}
			source := make([]float64, len(start.Temps()))
			b.ReportAllocs()
			for b.Loop() {
				f := *start
				for range int(24 * 60 / minutes) {
					if err := f.Step(4, heat.FridgeStatic, minutes, source); err != nil {
						b.Fatal(err)
					}
				}
			}
		})
	}
}

func BenchmarkTin(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if heat.Tin(900, 0.24, 0.11).Length == 0 {
			b.Fatal("no length")
		}
	}
}
