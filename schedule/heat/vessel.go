package heat

import (
	"math"

	"ovenward/schedule/unit"
)

// Tub is dough in a round tub or bucket of the given inner diameter in metres,
// cooled all around.
//
// It becomes the ball of whatever dimension has the same volume, the same
// surface and, with the surface held at the air's temperature, the same mean
// time for heat to leave: for a ball Length²/(d(d+2)) over the diffusivity. So
// the deviation of the mean summed over time, on which the rise depends, is
// exact for very small and very large h. With the h of kitchens the product
// solutions of short cylinders and bricks say: mean within 0.02 and core within
// 0.09 of the first difference at any moment, sum over time up to 6 % short.
func Tub(mass unit.Grams, diameter float64) Body {
	r := diameter / 2
	half := volume(mass) / (2 * math.Pi * r * r)
	still := []mode{{1, 0}}
	return stout(mass, PlasticWall, 1/(2/r+1/half), residence(round(r), across(half), still))
}

// Tin is dough in a rectangular tin or box of the given inner length and width
// in metres, cooled all around; reduced as [Tub].
func Tin(mass unit.Grams, length, width float64) Body {
	a, b := length/2, width/2
	c := volume(mass) / (8 * a * b)
	return stout(mass, MetalWall, 1/(1/a+1/b+1/c), residence(across(a), across(b), across(c)))
}

// stout is the ball with a volume per area of depth and the mean time for heat
// to leave of residence over diffusivity: depth = L/d, residence = L²/(d(d+2)).
func stout(mass unit.Grams, wall, depth, residence float64) Body {
	q := residence / (depth * depth)
	d := 2 * q / (1 - q)
	return Body{Shape: Shape(d), Mass: mass, Length: d * depth, Wall: wall}
}

// mode is one term of the mean temperature of a body whose surface is held:
// weight × exp(-rate × diffusivity × t).
type mode struct{ weight, rate float64 }

const modes = 15

// across are the modes of a slab of the given half thickness.
func across(half float64) []mode {
	m := make([]mode, modes)
	for i := range m {
		z := (float64(i) + 0.5) * math.Pi
		m[i] = mode{2 / (z * z), z * z / (half * half)}
	}
	return m
}

// round are the modes of a long cylinder; the zeros of J0 by McMahon's
// expansion (Abramowitz & Stegun 9.5.12).
func round(radius float64) []mode {
	m := make([]mode, modes)
	for i := range m {
		beta := (float64(i) + 0.75) * math.Pi
		e := 1 / (8 * beta)
		z := beta + e - 124.0/3*e*e*e
		m[i] = mode{4 / (z * z), z * z / (radius * radius)}
	}
	return m
}

// residence integrates the product of three mean temperatures over time; the
// mean temperature of a brick or short cylinder is such a product.
func residence(a, b, c []mode) float64 {
	sum := 0.0
	for _, x := range a {
		for _, y := range b {
			for _, z := range c {
				sum += x.weight * y.weight * z.weight / (x.rate + y.rate + z.rate)
			}
		}
	}
	return sum
}
