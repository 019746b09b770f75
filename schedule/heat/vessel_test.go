package heat_test

import (
	"math"
	"testing"

	"ovenward/schedule/heat"
	"ovenward/schedule/unit"
)

// A short cylinder and a brick cool as products of the solutions for the bodies
// they are cut from (Carslaw & Jaeger, 1.15; any textbook); tubs and tins are
// held against that at every tenth minute of a day.
func TestVesselsAgainstProducts(t *testing.T) {
	t.Parallel()
	litre := heat.Dough.Density // g
	for _, c := range []struct {
		name string
		body heat.Body
		from [3]cut
	}{
		{"tub as high as wide", heat.Tub(unit.Grams(math.Pi/4*litre), 0.1), [3]cut{{heat.Cylinder, 0.05}, {heat.Slab, 0.05}}},
		{"bucket twice as high", heat.Tub(unit.Grams(math.Pi*0.64*3.2*litre), 0.16), [3]cut{{heat.Cylinder, 0.08}, {heat.Slab, 0.16}}},
		{"wide bowl", heat.Tub(unit.Grams(math.Pi*litre), 0.2), [3]cut{{heat.Cylinder, 0.1}, {heat.Slab, 0.05}}},
		{"loaf tin", heat.Tin(unit.Grams(2.4*1.1*0.8*litre), 0.24, 0.11), [3]cut{{heat.Slab, 0.12}, {heat.Slab, 0.055}, {heat.Slab, 0.04}}},
		{"half-full box", heat.Tin(unit.Grams(4*3*0.6*litre), 0.4, 0.3), [3]cut{{heat.Slab, 0.2}, {heat.Slab, 0.15}, {heat.Slab, 0.03}}},
	} {
		for _, h := range []float64{heat.FridgeStatic, heat.FridgeFan} {
			c.body.Wall = 0 // the products have none
			f, err := heat.NewField(c.body, 0, 1)
			if err != nil {
				t.Fatal(c.name, err)
			}
			exact := product(c.from, h)
			var core, mean, sum, want float64
			for m := 10.0; m <= 24*60; m += 10 {
				if err := f.Step(0, h, 10, nil); err != nil {
					t.Fatal(err)
				}
				e := exact(60 * m)
				core = max(core, math.Abs(float64(f.Core())-e[0]))
				mean = max(mean, math.Abs(float64(f.Mean())-e[2]))
				sum, want = sum+float64(f.Mean()), want+e[2]
			}
			if core > 0.09 || mean > 0.02 || math.Abs(sum/want-1) > 0.065 {
				t.Errorf("%s, h %v: core off by %.3f, mean %.3f, over time %+.1f %%", c.name, h, core, mean, 100*(sum/want-1))
			}
		}
	}
}

// cut is one of the bodies a short cylinder or a brick is cut from.
type cut struct {
	shape  heat.Shape
	length float64
}

// product is theta of the cut body as a function of seconds.
func product(from [3]cut, h float64) func(seconds float64) [3]float64 {
	var parts []func(float64) [3]float64
	for _, c := range from {
		if c.shape != 0 {
			parts = append(parts, series(c.shape, h*c.length/conductivity(heat.Dough)))
		}
	}
	return func(seconds float64) [3]float64 {
		p := [3]float64{1, 1, 1}
		for i, f := range parts {
			x := f(heat.Dough.Diffusivity * seconds / (from[i].length * from[i].length))
			p[0], p[1], p[2] = p[0]*x[0], p[1]*x[1], p[2]*x[2]
		}
		return p
	}
}

// The reduction keeps the true surface, and finds the textbook bodies where a
// vessel is one.
func TestVesselLimits(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		body heat.Body
		want heat.Shape
		area float64
	}{
		{"sheet", heat.Tin(11500, 1, 1), heat.Slab, 2 + 4*0.01},
		{"rope", heat.Tub(unit.Grams(1150e3*math.Pi*0.02*0.02*4), 0.04), heat.Cylinder, 2*math.Pi*0.02*4 + 2*math.Pi*0.02*0.02},
		{"ball", heat.Ball(unit.Grams(1150e3 * 4 * math.Pi / 3 * 0.001)), heat.Sphere, 4 * math.Pi * 0.01},
		{"sheet on a rack", heat.Flat(1150, 0.01, true), heat.Slab, 0.2},
		{"sheet on a board", heat.Flat(1150, 0.01, false), heat.Slab, 0.1},
	} {
		area := float64(c.body.Shape) * float64(c.body.Mass) / 1000 / heat.Dough.Density / c.body.Length
		if math.Abs(float64(c.body.Shape-c.want)) > 0.05 || math.Abs(area/c.area-1) > 1e-9 {
			t.Errorf("%s: shape %v, area %v, want %v and %v", c.name, c.body.Shape, area, c.want, c.area)
		}
	}
}
