package heat_test

import (
	"math"
	"testing"

	"ovenward/schedule/heat"
)

// The exact solution for a body at one temperature put into surroundings of
// another: separation of variables, as in Carslaw & Jaeger and every textbook.
// theta = (T - air)/(T0 - air), Bi = h L/k, Fo = alpha t/L².

// characteristic is the function whose roots are the eigenvalues, without poles.
func characteristic(s heat.Shape, bi, z float64) float64 {
	switch s {
	case heat.Slab:
		return z*math.Sin(z) - bi*math.Cos(z)
	case heat.Cylinder:
		return z*math.J1(z) - bi*math.J0(z)
	default:
		return (1-bi)*math.Sin(z) - z*math.Cos(z)
	}
}

// eigenvalues are the first n roots above 0, by scan and bisection.
func eigenvalues(s heat.Shape, bi float64, n int) []float64 {
	var roots []float64
	const stride = 0.02
	for lo := stride / 1000; len(roots) < n; lo += stride {
		a, b := lo, lo+stride
		fa := characteristic(s, bi, a)
		if (fa > 0) == (characteristic(s, bi, b) > 0) {
			continue
		}
		for range 60 {
			if m := (a + b) / 2; (characteristic(s, bi, m) > 0) == (fa > 0) {
				a = m
			} else {
				b = m
			}
		}
		roots = append(roots, (a+b)/2)
	}
	return roots
}

// coefficient is C_n of the series for the centre.
func coefficient(s heat.Shape, z float64) float64 {
	sin, cos := math.Sincos(z)
	switch s {
	case heat.Slab:
		return 4 * sin / (2*z + math.Sin(2*z))
	case heat.Cylinder:
		j0, j1 := math.J0(z), math.J1(z)
		return 2 / z * j1 / (j0*j0 + j1*j1)
	default:
		return 4 * (sin - z*cos) / (2*z - math.Sin(2*z))
	}
}

// profile is the shape of one term at the surface and its mean over the volume,
// both relative to the centre.
func profile(s heat.Shape, z float64) (surface, mean float64) {
	sin, cos := math.Sincos(z)
	switch s {
	case heat.Slab:
		return cos, sin / z
	case heat.Cylinder:
		return math.J0(z), 2 * math.J1(z) / z
	default:
		return sin / z, 3 * (sin - z*cos) / (z * z * z)
	}
}

// series is theta at centre, surface and in the mean as a function of Fo: 60
// terms.
func series(s heat.Shape, bi float64) func(fo float64) [3]float64 {
	roots := eigenvalues(s, bi, 60)
	return func(fo float64) (sum [3]float64) {
		for _, z := range roots {
			a := coefficient(s, z) * math.Exp(-z*z*fo)
			surface, mean := profile(s, z)
			sum[0], sum[1], sum[2] = sum[0]+a, sum[1]+a*surface, sum[2]+a*mean
		}
		return sum
	}
}

// First eigenvalue and coefficient for slab, cylinder and sphere: Çengel, Heat
// Transfer, table 4-2 (printed to four digits, here to five).
func TestEigenvalues(t *testing.T) {
	t.Parallel()
	for _, row := range [][7]float64{
		{0.01, 0.09983, 1.00166, 0.14124, 1.00250, 0.17303, 1.00300},
		{0.02, 0.14095, 1.00331, 0.19950, 1.00498, 0.24446, 1.00599},
		{0.05, 0.22176, 1.00819, 0.31426, 1.01240, 0.38537, 1.01495},
		{0.1, 0.31105, 1.01609, 0.44168, 1.02458, 0.54228, 1.02980},
		{0.2, 0.43284, 1.03109, 0.61697, 1.04830, 0.75931, 1.05915},
		{0.3, 0.52179, 1.04505, 0.74646, 1.07116, 0.92079, 1.08802},
		{0.4, 0.59324, 1.05804, 0.85158, 1.09314, 1.05279, 1.11635},
		{0.5, 0.65327, 1.07013, 0.94077, 1.11425, 1.16556, 1.14411},
		{0.6, 0.70507, 1.08138, 1.01844, 1.13450, 1.26440, 1.17125},
		{0.8, 0.79103, 1.10159, 1.14897, 1.17243, 1.43203, 1.22360},
		{1, 0.86033, 1.11913, 1.25578, 1.20709, 1.57080, 1.27324},
		{1.5, 0.98824, 1.15367, 1.45695, 1.28068, 1.83660, 1.38496},
		{2, 1.07687, 1.17846, 1.59945, 1.33838, 2.02876, 1.47932},
		{3, 1.19246, 1.21023, 1.78866, 1.41909, 2.28893, 1.62268},
		{4, 1.26459, 1.22871, 1.90808, 1.46980, 2.45564, 1.72017},
		{5, 1.31384, 1.24025, 1.98981, 1.50287, 2.57043, 1.78700},
		{10, 1.42887, 1.26196, 2.17950, 1.56769, 2.83630, 1.92491},
		{20, 1.49613, 1.26992, 2.28805, 1.59194, 2.98572, 1.97814},
		{100, 1.55525, 1.27309, 2.38090, 1.60152, 3.11019, 1.99903},
	} {
		for i, s := range []heat.Shape{heat.Slab, heat.Cylinder, heat.Sphere} {
			z := eigenvalues(s, row[0], 1)[0]
			if c := coefficient(s, z); math.Abs(z-row[1+2*i]) > 1e-4 || math.Abs(c-row[2+2*i]) > 1e-4 {
				t.Errorf("shape %v Bi %v: %.5f %.5f, want %v %v", s, row[0], z, c, row[1+2*i], row[2+2*i])
			}
		}
	}
}

// The decay a field settles into is that of the first eigenvalue, for every row
// of Çengel's table: the solver against the printed page directly.
func TestLateDecay(t *testing.T) {
	t.Parallel()
	for _, bi := range []float64{0.01, 0.1, 0.5, 1, 2, 5, 20, 100} {
		for _, s := range []heat.Shape{heat.Slab, heat.Cylinder, heat.Sphere} {
			z := eigenvalues(s, bi, 1)[0]
			fo := 1 / (z * z)
			a, b := settle(t, s, bi, 2*fo, 20, 200), settle(t, s, bi, 3*fo, 20, 300)
			if got := math.Log(a[2] / b[2]); math.Abs(got-1) > 0.004 {
				t.Errorf("shape %v Bi %v: the mean decays by %.4f of its rate", s, bi, got)
			}
		}
	}
}
