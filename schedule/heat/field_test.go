package heat_test

import (
	"math"
	"testing"

	"ovenward/schedule/heat"
)

// settle runs a body of 60 mm from theta 1 to Fo in air at 0 and gives its
// centre, surface and mean.
func settle(t *testing.T, s heat.Shape, bi, fo float64, shells, steps int) [3]float64 {
	t.Helper()
	const length = 0.06
	f, err := heat.NewField(heat.Body{Shape: s, Mass: 1000, Length: length}, shells, 1)
	if err != nil {
		t.Fatal(err)
	}
	k := heat.Dough.Diffusivity * heat.Dough.Density * heat.Dough.HeatCapacity
	minutes := fo * length * length / heat.Dough.Diffusivity / 60
	for range steps {
		if err := f.Step(0, bi*k/length, minutes/float64(steps), nil); err != nil {
			t.Fatal(err)
		}
	}
	return [3]float64{float64(f.Core()), float64(f.Surface()), float64(f.Mean())}
}

// gap is the largest difference of two triples.
func gap(a, b [3]float64) float64 {
	return max(math.Abs(a[0]-b[0]), math.Abs(a[1]-b[1]), math.Abs(a[2]-b[2]))
}

// Full series of 60 terms, centre, surface and mean of sphere and slab. The
// rows are printed values, so the series code of this test is checked too.
func TestAgainstSeries(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		bi, fo       float64
		sphere, slab [3]float64
	}{
		{0.5, 0.1, [3]float64{0.97253, 0.79327, 0.86991}, [3]float64{0.99632, 0.84390, 0.95538}},
		{0.5, 0.5, [3]float64{0.58004, 0.45735, 0.50498}, [3]float64{0.86411, 0.68688, 0.80433}},
		{1, 0.05, [3]float64{0.99687, 0.74769, 0.87523}, [3]float64{0.99975, 0.79038, 0.95731}},
		{1, 0.2, [3]float64{0.77231, 0.49591, 0.60181}, [3]float64{0.95064, 0.64339, 0.85160}},
		{1, 0.5, [3]float64{0.37078, 0.23605, 0.28700}, [3]float64{0.77253, 0.50452, 0.68110}},
		{1, 1.0, [3]float64{0.10798, 0.06874, 0.08358}, [3]float64{0.53386, 0.34818, 0.47040}},
		{2, 0.1, [3]float64{0.91239, 0.44716, 0.63516}, [3]float64{0.98778, 0.55360, 0.86637}},
		{2, 0.5, [3]float64{0.18893, 0.08353, 0.12177}, [3]float64{0.65962, 0.31313, 0.53962}},
		{2, 1.0, [3]float64{0.02413, 0.01067, 0.01555}, [3]float64{0.36956, 0.17520, 0.30216}},
	} {
		for s, want := range map[heat.Shape][3]float64{heat.Sphere: row.sphere, heat.Slab: row.slab} {
			if got := series(s, row.bi)(row.fo); gap(got, want) > 1e-5 {
				t.Errorf("series: shape %v Bi %v Fo %v: %.5f, printed %.5f", s, row.bi, row.fo, got, want)
			}
			for shells, tolerance := range map[int]float64{0: 0.003, 30: 0.0005, 40: 0.0005} {
				if got := settle(t, s, row.bi, row.fo, shells, 200); gap(got, want) > tolerance {
					t.Errorf("shape %v Bi %v Fo %v, %d shells: %.5f, want %.5f", s, row.bi, row.fo, shells, got, want)
				}
			}
		}
	}
}

// Second order in the shells and in the step: halving either divides the error
// by about four, and the mean is within 0.01 at five shells already.
func TestSecondOrder(t *testing.T) {
	t.Parallel()
	for _, s := range []heat.Shape{heat.Slab, heat.Cylinder, 2.4, heat.Sphere} {
		fine := settle(t, s, 1, 0.3, 40, 2000)
		coarse, half := gap(settle(t, s, 1, 0.3, 5, 2000), fine), gap(settle(t, s, 1, 0.3, 10, 2000), fine)
		if order := math.Log2(coarse / half); order < 1.7 || coarse > 0.01 {
			t.Errorf("shape %v: order %.2f in the shells, error %.5f at 5", s, order, coarse)
		}
		still := settle(t, s, 1, 0.3, 20, 4000)
		coarse, half = gap(settle(t, s, 1, 0.3, 20, 40), still), gap(settle(t, s, 1, 0.3, 20, 80), still)
		if order := math.Log2(coarse / half); order < 1.7 {
			t.Errorf("shape %v: order %.2f in time, errors %.6f %.6f", s, order, coarse, half)
		}
	}
}
