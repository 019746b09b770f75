package heat

import (
	"fmt"
	"math"

	"ovenward/schedule/unit"
)

// gamma makes both stages of the step share one matrix: the L-stable singly
// diagonal scheme of second order (Alexander 1977, SIAM J. Numer. Anal. 14:1006).
const gamma = 1 - math.Sqrt2/2

// Step lets the body stand for the given minutes in air of one temperature with
// coefficient h in W/(m² K), 0 for perfect insulation. heat is the dough's own
// in W/kg by shell, nil for none. Any length of step is stable, 1 to 10 minutes
// are accurate; a step refused leaves the field as it was.
func (f *Field) Step(air unit.Celsius, h, minutes float64, heat []float64) error {
	if err := f.checkStep(float64(air), h, minutes, heat); err != nil {
		return err
	}
	length := f.body.Length * math.Pow(f.ratio, 1/float64(f.body.Shape))
	density := f.mat.Density / f.ratio
	inside := f.mesh.surface * length / (f.mat.Diffusivity * density * f.mat.HeatCapacity)
	resistance := 1/h + f.body.Wall + inside
	f.air, f.skin = float64(air), inside/resistance
	f.march(exchange{
		air:       float64(air),
		inner:     f.mat.Diffusivity / (length * length),
		outer:     float64(f.body.Shape) / (resistance * length * density * f.mat.HeatCapacity),
		perKelvin: 1 / f.mat.HeatCapacity,
		heat:      heat,
	}, minutes*60)
	return nil
}

func (f *Field) checkStep(air, h, minutes float64, heat []float64) error {
	if err := checkTemperature("air", air); err != nil {
		return err
	}
	if !(h >= 0 && h <= 1e5) {
		return fmt.Errorf("step: h is %g: give 0 to 1e5 W/(m² K)", h)
	}
	if !(minutes >= 0 && minutes <= 1e5) {
		return fmt.Errorf("step: %g minutes: give 0 to 1e5", minutes)
	}
	if heat != nil && len(heat) != f.n {
		return fmt.Errorf("step: heat for %d shells: give it for all %d, or none", len(heat), f.n)
	}
	for i, q := range heat {
		if !(math.Abs(q) <= 1000) {
			return fmt.Errorf("step: heat of shell %d is %g W/kg: give -1000 to 1000", i, q)
		}
	}
	return nil
}

// exchange is what drives a field during one step, per heat capacity of the
// whole body.
type exchange struct {
	air          float64
	inner, outer float64   // 1/s, between shells and to the air
	perKelvin    float64   // kg K/J
	heat         []float64 // W/kg
}

// march advances by dt seconds, in halves where one stride would overshoot: no
// linear scheme beyond first order keeps the maximum principle at every step
// length (Bolley & Crouzeix 1978), and the only rough moment is a sudden change
// of place, where short strides are wanted anyway.
func (f *Field) march(x exchange, dt float64) {
	lo, hi := f.bounds(x, dt)
	next := f.t
	f.stride(&next, x, dt)
	for _, t := range next[:f.n] {
		if t < lo || t > hi {
			f.march(x, dt/2)
			f.march(x, dt/2)
			return
		}
	}
	f.t = next
}

// bounds are the temperatures that nothing can leave within dt: those of body
// and air, and what the dough's own heat adds.
func (f *Field) bounds(x exchange, dt float64) (lo, hi float64) {
	const rounding = 1e-9
	lo, hi = x.air, x.air
	for _, t := range f.t[:f.n] {
		lo, hi = min(lo, t), max(hi, t)
	}
	cold, warm := 0.0, 0.0
	for _, q := range x.heat {
		cold, warm = min(cold, q), max(warm, q)
	}
	return lo + cold*dt*x.perKelvin - rounding, hi + warm*dt*x.perKelvin + rounding
}

// stride is one step of the scheme from f.t into next.
func (f *Field) stride(next *shells, x exchange, dt float64) {
	var m system
	m.factor(f.mesh, x, gamma*dt)
	var source shells
	for i, q := range x.heat {
		source[i] = gamma * dt * q * x.perKelvin
	}
	for i := range f.n {
		next[i] = f.t[i] + source[i]
	}
	m.solve(next, f.mesh.weight, x.air)
	for i := range f.n {
		next[i] = f.t[i] + (1-gamma)/gamma*(next[i]-f.t[i]) + source[i]
	}
	m.solve(next, f.mesh.weight, x.air)
}

// system is the symmetric three-band matrix weight + dt × conductance as LDLᵀ.
type system struct {
	lower, inverse shells
	toAir          float64
}

func (m *system) factor(grid *mesh, x exchange, dt float64) {
	n := len(grid.weight)
	m.toAir = dt * x.outer
	from, lower := 0.0, 0.0
	for i, w := range grid.weight {
		to := m.toAir
		if i < n-1 {
			to = dt * x.inner * grid.link[i]
		}
		m.lower[i] = lower
		m.inverse[i] = 1 / (w + from*(1-lower) + to)
		lower = to * m.inverse[i]
		from = to
	}
}

// solve replaces right-hand temperatures by the solution.
func (m *system) solve(t *shells, weight []float64, air float64) {
	n := len(weight)
	carry := 0.0
	for i, w := range weight {
		carry = w*t[i] + m.lower[i]*carry
		if i == n-1 {
			carry += m.toAir * air
		}
		t[i] = carry
	}
	t[n-1] *= m.inverse[n-1]
	for i := n - 2; i >= 0; i-- {
		t[i] = t[i]*m.inverse[i] + m.lower[i+1]*t[i+1]
	}
}
