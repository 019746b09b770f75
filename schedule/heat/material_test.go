package heat_test

import (
	"math"
	"testing"

	"ovenward/schedule/heat"
)

// composition is what a food consists of, in mass fractions of water, protein,
// fat, carbohydrate and ash. Its properties follow Choi & Okos 1986, as printed
// in the ASHRAE Handbook, Refrigeration, "Thermal properties of foods"
// (coefficients from memory), good from -40 to 150 °C.
type composition [5]float64

// polynomial is a property as a + bT + cT², T in °C.
type polynomial struct{ a, b, c float64 }

var (
	capacities = [5]polynomial{ // kJ/(kg K)
		{4.1289, -9.0864e-5, 5.4731e-6}, {2.0082, 1.2089e-3, 0}, {1.9842, 1.4733e-3, 0},
		{1.5488, 1.9625e-3, 0}, {1.0926, 1.8896e-3, 0},
	}
	conductivities = [5]polynomial{ // W/(m K)
		{0.57109, 1.7625e-3, 0}, {0.17881, 1.1958e-3, 0}, {0.18071, -2.76e-4, 0},
		{0.20141, 1.3874e-3, 0}, {0.32962, 1.4011e-3, 0},
	}
	densities = [5]polynomial{ // kg/m³
		{997.2, 0, -3.757e-3}, {1329.9, -0.518, 0}, {925.6, -0.418, 0},
		{1599.1, -0.310, 0}, {2423.8, -0.281, 0},
	}
)

// at20 gives the density in kg/m³, heat capacity in J/(kg K) and conductivity in
// W/(m K) at 20 °C with the given volume fraction of gas: volumes and heat
// capacities add, heat flows as if the parts lay side by side, which is the most
// that it can, and the gas lies in separate bubbles.
func (c composition) at20(gas float64) (density, capacity, conductivity float64) {
	at := func(p polynomial) float64 { return p.a + p.b*20 + p.c*20*20 }
	volume := 0.0
	for i, x := range c {
		v := x / at(densities[i])
		volume += v
		capacity += 1000 * x * at(capacities[i])
		conductivity += v * at(conductivities[i])
	}
	return (1 - gas) / volume, capacity, foam(conductivity/volume, gas)
}

// foam is the conductivity of a solid with conductivity k that holds a volume
// fraction of gas in separate bubbles, Maxwell-Eucken, with 0.026 W/(m K) for
// the gas.
func foam(k, gas float64) float64 {
	const bubble = 0.026
	return k * (2*k + bubble - 2*gas*(k-bubble)) / (2*k + bubble + gas*(k-bubble))
}

func conductivity(m heat.Material) float64 { return m.Diffusivity * m.Density * m.HeatCapacity }

// The dough of the program is near a lean one with 44 % of water and a rich
// one with 34.5 % and 13 % of fat, each with 8 % of gas (density within 4 %, heat
// capacity within 11 %), and
// conducts hardly better than either could at most.
func TestDough(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]composition{"lean": {0.44, 0.07, 0.01, 0.465, 0.015}, "rich": {0.345, 0.07, 0.13, 0.44, 0.015}} {
		rho, cp, most := c.at20(0.08)
		for _, p := range []struct {
			name              string
			got, want, within float64
		}{{"density", heat.Dough.Density, rho, 0.04}, {"heat capacity", heat.Dough.HeatCapacity, cp, 0.11}} {
			if math.Abs(p.got/p.want-1) > p.within {
				t.Errorf("%s: %s %v, composition gives %.0f", name, p.name, p.got, p.want)
			}
		}
		if k := conductivity(heat.Dough); k > 1.03*most || k < 0.8*most {
			t.Errorf("%s: conductivity %.3f, composition gives at most %.3f", name, k, most)
		}
	}
}

// The coefficients above, by pure water at 20 °C: 998.2 kg/m³, 4182 J/(kg K),
// 0.598 W/(m K) (IAPWS, from memory), within 2 %.
func TestCoefficients(t *testing.T) {
	t.Parallel()
	rho, cp, k := composition{1}.at20(0)
	for _, p := range [][2]float64{{rho, 998.2}, {cp, 4182}, {k, 0.598}} {
		if math.Abs(p[0]/p[1]-1) > 0.02 {
			t.Errorf("%.4g, want %.4g", p[0], p[1])
		}
	}
}

// One diffusivity serves from mixer to oven: it stays within 8 % of that of the
// program as gas is made, up to a doubled dough.
func TestDiffusivityAsGasIsMade(t *testing.T) {
	t.Parallel()
	const solid = 0.40 // W/(m K), without gas
	dense := heat.Dough.Density / (1 - 0.08)
	for _, gas := range []float64{0.08, 0.30, 0.50, 0.58} {
		a := foam(solid, gas) / (dense * (1 - gas) * heat.Dough.HeatCapacity)
		if math.Abs(a/heat.Dough.Diffusivity-1) > 0.08 {
			t.Errorf("gas %v: diffusivity %.3g, the program has %.3g", gas, a, heat.Dough.Diffusivity)
		}
	}
}
