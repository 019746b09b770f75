package heat_test

import (
	"math"

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

// theta sums 60 terms: centre, surface and mean.
func theta(s heat.Shape, bi, fo float64) [3]float64 {
	var sum [3]float64
	for _, z := range eigenvalues(s, bi, 60) {
		a := coefficient(s, z) * math.Exp(-z*z*fo)
		ps, pm := profile(s, z)
		sum[0], sum[1], sum[2] = sum[0]+a, sum[1]+a*ps, sum[2]+a*pm
	}
	return sum
}
