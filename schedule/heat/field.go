package heat

import (
	"fmt"

	"ovenward/schedule/unit"
)

// MaxShells bounds the shells of a [Field]; DefaultShells is what 0 means.
const (
	MaxShells     = 40
	DefaultShells = 10
)

// Field is the temperature of a body by shells from the core outward. It is a
// plain value: an assignment copies it.
type Field struct {
	body  Body
	mat   Material
	mesh  *mesh
	n     int
	ratio float64 // volume now over the volume of body
	t     shells  // °C, mean of each shell

	air, skin float64 // last surroundings; share of the last resistance inside the dough
}

type shells [MaxShells]float64

// NewField is a body at one temperature throughout; shells 0 means
// [DefaultShells].
func NewField(b Body, shells int, t unit.Celsius) (*Field, error) {
	if shells == 0 {
		shells = DefaultShells
	}
	if shells < 4 || shells > MaxShells {
		return nil, fmt.Errorf("field: %d shells: give 4 to %d, or 0 for %d", shells, MaxShells, DefaultShells)
	}
	if err := checkTemperature("dough", float64(t)); err != nil {
		return nil, err
	}
	f := &Field{n: shells}
	f.fill(float64(t))
	if err := f.Reshape(b); err != nil {
		return nil, err
	}
	return f, nil
}

// Reshape gives the dough another form (divided, rounded, gathered, flattened).
// Handling mixes it, so it goes on from its mean temperature throughout. A body
// refused leaves the field as it was.
func (f *Field) Reshape(b Body) error {
	if err := b.Validate(); err != nil {
		return err
	}
	if f.mesh != nil {
		f.fill(float64(f.Mean()))
	}
	if f.mesh == nil || b.Shape != f.body.Shape {
		f.mesh = newMesh(b.Shape, f.n)
	}
	f.body, f.mat, f.ratio, f.skin = b, b.material(), 1, 0
	return nil
}

func (f *Field) fill(t float64) {
	for i := range f.n {
		f.t[i] = t
	}
}

// Grow sets the volume to ratio times that of the body as it was given: a
// doubled dough has 2. Diffusivity and heat capacity per kg stay, the way to
// the core and the surface get longer and larger.
func (f *Field) Grow(ratio float64) error {
	if !(ratio >= 0.2 && ratio <= 20) {
		return fmt.Errorf("field: volume ratio %g: give 0.2 to 20 times the volume of the body", ratio)
	}
	f.ratio = ratio
	return nil
}

// Body is the body as it was last given.
func (f *Field) Body() Body { return f.body }

// Temps are the mean temperatures of the shells in °C, core first: a view of
// the field, good until its next step.
func (f *Field) Temps() []float64 { return f.t[:f.n] }

// Weights are the shares of the shells in the volume and the mass; they add to
// 1 and must not be changed.
func (f *Field) Weights() []float64 { return f.mesh.weight }

// Mean is the temperature the dough would have if gathered and mixed.
func (f *Field) Mean() unit.Celsius {
	sum := 0.0
	for i, w := range f.mesh.weight {
		sum += w * f.t[i]
	}
	return unit.Celsius(sum)
}

// Core is the temperature in the middle, where a probe would read it: the
// parabola through the inner two shells.
func (f *Field) Core() unit.Celsius {
	q := f.mesh.square
	b := (f.t[1] - f.t[0]) / (q[1] - q[0])
	return unit.Celsius(f.t[0] - b*q[0])
}

// Surface is the temperature of the dough's skin, under the container's wall.
func (f *Field) Surface() unit.Celsius {
	last := f.t[f.n-1]
	return unit.Celsius(last + f.skin*(f.air-last))
}

func checkTemperature(name string, t float64) error {
	if !(t >= -60 && t <= 500) {
		return fmt.Errorf("%s temperature is %g °C: give -60 to 500 °C", name, t)
	}
	return nil
}
