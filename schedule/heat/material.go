package heat

import "ovenward/schedule/unit"

// Composition is what a food consists of, in mass fractions that add to 1.
// Its properties follow Choi & Okos 1986, as printed in the ASHRAE Handbook,
// Refrigeration, "Thermal properties of foods" (coefficients from memory),
// good from -40 to 150 °C.
type Composition struct {
	Water, Protein, Fat, Carbohydrate, Ash float64
}

// polynomial is a property as a + bT + cT², T in °C.
type polynomial struct{ a, b, c float64 }

func (p polynomial) at(t unit.Celsius) float64 {
	return p.a + p.b*float64(t) + p.c*float64(t)*float64(t)
}

// The rows are water, protein, fat, carbohydrate, ash.
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

func (c Composition) fractions() [5]float64 {
	return [5]float64{c.Water, c.Protein, c.Fat, c.Carbohydrate, c.Ash}
}

// HeatCapacity is in J/(kg K): the mass mean of the parts.
func (c Composition) HeatCapacity(t unit.Celsius) float64 {
	sum := 0.0
	for i, x := range c.fractions() {
		sum += x * capacities[i].at(t)
	}
	return 1000 * sum
}

// Density is in kg/m³ without gas: the volumes of the parts add.
func (c Composition) Density(t unit.Celsius) float64 {
	sum := 0.0
	for i, x := range c.fractions() {
		sum += x / densities[i].at(t)
	}
	return 1 / sum
}

// Conductivity is in W/(m K) without gas: the volume mean of the parts as if
// they lay side by side, which is the upper bound.
func (c Composition) Conductivity(t unit.Celsius) float64 {
	sum := 0.0
	for i, x := range c.fractions() {
		sum += x / densities[i].at(t) * conductivities[i].at(t)
	}
	return c.Density(t) * sum
}

// Material is the dough with the given volume fraction of gas, 0.08 just mixed
// and about 0.5 doubled.
func (c Composition) Material(t unit.Celsius, gas float64) Material {
	m := Material{Density: c.Density(t) * (1 - gas), HeatCapacity: c.HeatCapacity(t)}
	m.Diffusivity = Foam(c.Conductivity(t), gas) / (m.Density * m.HeatCapacity)
	return m
}

// Foam is the conductivity of a solid with conductivity k in W/(m K) that holds
// a volume fraction of gas in separate bubbles: Maxwell-Eucken, with 0.026
// W/(m K) for the gas.
func Foam(k, gas float64) float64 {
	const bubble = 0.026
	return k * (2*k + bubble - 2*gas*(k-bubble)) / (2*k + bubble + gas*(k-bubble))
}

// Conductivity is in W/(m K).
func (m Material) Conductivity() float64 { return m.Diffusivity * m.Density * m.HeatCapacity }
