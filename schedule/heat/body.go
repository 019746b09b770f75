// Package heat follows the temperature inside a body of dough: conduction from
// the core to the surface, exchange with the place it stands in, the heat of
// its own fermentation.
//
// A real piece is reduced to one dimension, the way from core to surface, so
// that a day's history costs microseconds; [Shape] says how and how well.
package heat

import (
	"fmt"
	"math"

	"ovenward/schedule/unit"
)

// Shape is the dimension of the ball that stands for a body: the surface at
// distance r from its core grows as r^(Shape-1). Stout bodies (a full tub, a tin
// loaf) have values in between and above; see [Tub].
type Shape float64

// The three bodies of the textbooks. A slab cooled on one face alone is a Slab
// whose Length is the whole thickness.
const (
	Slab     Shape = 1
	Cylinder Shape = 2
	Sphere   Shape = 3
)

// Material is what conduction needs to know of a dough. Its conductivity is
// Diffusivity × Density × HeatCapacity. Zero fields take those of [Dough].
type Material struct {
	Density      float64 // kg/m³ at the volume the body is given for
	HeatCapacity float64 // J/(kg K)
	Diffusivity  float64 // m²/s
}

// Dough is a just mixed wheat dough with 8 % of air. Conductivity and density
// fall together as gas is made, so the diffusivity holds from mixer to oven.
// Rask 1989, J. Food Eng. 9:167-193, from memory: cp 2.8-2.9 kJ/(kg K), k
// 0.25-0.46 W/(m K).
var Dough = Material{Density: 1150, HeatCapacity: 2800, Diffusivity: 1.07e-7}

// Body is a piece of dough reduced to the way from its core to its surface.
type Body struct {
	Shape    Shape
	Mass     unit.Grams
	Length   float64 // m from the core, or the insulated face, to the surface
	Wall     float64 // m² K/W, resistance of the container; 0 without one
	Material Material
}

// Wall resistances in m² K/W: 3 mm of plastic or glass, and thin metal. Thickness
// over handbook conductivity.
const (
	PlasticWall = 0.015
	MetalWall   = 0.0001
)

// Ball is a round piece lying free.
func Ball(mass unit.Grams) Body {
	return Body{Shape: Sphere, Mass: mass, Length: math.Cbrt(3 * volume(mass) / (4 * math.Pi))}
}

// Flat is a sheet of the given thickness in metres whose edges are neglected.
// Both faces are cooled on a rack or a thin metal tray, one on a board.
func Flat(mass unit.Grams, thickness float64, bothFaces bool) Body {
	if bothFaces {
		thickness /= 2
	}
	return Body{Shape: Slab, Mass: mass, Length: thickness}
}

// volume is the volume in m³ of just mixed dough.
func volume(mass unit.Grams) float64 { return float64(mass) / 1000 / Dough.Density }

// material is the body's own with Dough for what is not given.
func (b Body) material() Material {
	m := b.Material
	if m.Density == 0 {
		m.Density = Dough.Density
	}
	if m.HeatCapacity == 0 {
		m.HeatCapacity = Dough.HeatCapacity
	}
	if m.Diffusivity == 0 {
		m.Diffusivity = Dough.Diffusivity
	}
	return m
}

// Validate says which measure cannot be true and what to give instead.
func (b Body) Validate() error {
	m := b.material()
	for _, c := range []struct {
		name      string
		v, lo, hi float64
		unit      string
	}{
		{"mass", float64(b.Mass), 0.1, 1e6, "g"},
		{"shape", float64(b.Shape), 1, 6, "(slab 1, cylinder 2, sphere 3)"},
		{"length", b.Length, 1e-4, 2, "m from core to surface"},
		{"wall", b.Wall, 0, 100, "m² K/W"},
		{"density", m.Density, 50, 3000, "kg/m³"},
		{"heat capacity", m.HeatCapacity, 500, 6000, "J/(kg K)"},
		{"diffusivity", m.Diffusivity, 1e-8, 1e-6, "m²/s"},
	} {
		if !(c.v >= c.lo && c.v <= c.hi) {
			return fmt.Errorf("body: %s is %g: give %g to %g %s", c.name, c.v, c.lo, c.hi, c.unit)
		}
	}
	return nil
}
