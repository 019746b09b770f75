package heat_test

import (
	"math"
	"testing"

	"ovenward/schedule/heat"
)

// Doughs of the trade by the Choi & Okos model at 20 °C: density, heat
// capacity, conductivity, diffusivity, computed by hand from the coefficients.
func TestComposition(t *testing.T) {
	t.Parallel()
	lean := heat.Composition{Water: 0.44, Protein: 0.07, Fat: 0.01, Carbohydrate: 0.465, Ash: 0.015}
	rich := heat.Composition{Water: 0.345, Protein: 0.07, Fat: 0.13, Carbohydrate: 0.44, Ash: 0.015}
	for _, c := range []struct {
		name             string
		dough            heat.Composition
		rho, cp, k, diff float64
	}{
		{"lean, 44 % water", lean, 1242, 2740, 0.43, 1.27e-7},
		{"rich, 34.5 % water, 13 % fat", rich, 1212, 2550, 0.375, 1.22e-7},
	} {
		got := c.dough.Material(20, 0)
		for _, p := range []struct {
			name      string
			got, want float64
		}{
			{"density", got.Density, c.rho}, {"heat capacity", got.HeatCapacity, c.cp},
			{"conductivity", got.Conductivity(), c.k}, {"diffusivity", got.Diffusivity, c.diff},
		} {
			if math.Abs(p.got/p.want-1) > 0.02 {
				t.Errorf("%s: %s %.4g, want %.4g", c.name, p.name, p.got, p.want)
			}
		}
	}
}

// Pure water at 20 °C: 998.2 kg/m³, 4182 J/(kg K), 0.598 W/(m K) (IAPWS, from
// memory); the model is for foods and is within 2 %.
func TestWater(t *testing.T) {
	t.Parallel()
	m := heat.Composition{Water: 1}.Material(20, 0)
	for _, p := range [][2]float64{{m.Density, 998.2}, {m.HeatCapacity, 4182}, {m.Conductivity(), 0.598}} {
		if math.Abs(p[0]/p[1]-1) > 0.02 {
			t.Errorf("%.4g, want %.4g", p[0], p[1])
		}
	}
}

// Conductivity of dough (0.40 without gas) by gas content, Maxwell-Eucken; the
// diffusivity stays between 1.0 and 1.12e-7 m²/s up to a doubled dough.
func TestFoam(t *testing.T) {
	t.Parallel()
	for gas, want := range map[float64]float64{0: 0.40, 0.08: 0.36, 0.30: 0.26, 0.50: 0.18, 0.65: 0.13, 1: 0.026} {
		got := heat.Foam(0.40, gas)
		if math.Abs(got-want) > 0.01 {
			t.Errorf("gas %v: k %.3f, want %.2f", gas, got, want)
		}
		if a := got / (1250 * (1 - gas) * 2800); gas < 0.6 && (a < 1.0e-7 || a > 1.15e-7) {
			t.Errorf("gas %v: diffusivity %.3g", gas, a)
		}
	}
}
