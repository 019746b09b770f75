package simulate_test

import (
	"math"
	"testing"

	"ovenward/schedule/heat"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

func within(t *testing.T, what string, got, want, far float64) {
	t.Helper()
	if !(math.Abs(got-want) <= far) {
		t.Errorf("%s: got %.4g, want %.4g ± %.2g", what, got, want, far)
	}
}

// TestFridge: a sphere of dough, k 0.30 W/(m K), 1000 kg/m³, 2800 J/(kg K), at
// 26 °C into a fridge of 4 °C, h 6. Core, mean and work were computed by an
// independent program (40 shells, constant radius, no heat of fermentation),
// the expansions for 1 % fresh yeast. Here the living dough also grows and warms
// itself, which its expansion is allowed 5 % for.
func TestFridge(t *testing.T) {
	t.Parallel()
	material := heat.Material{Density: 1000, HeatCapacity: 2800, Diffusivity: 0.30 / (1000 * 2800)}
	hours := []float64{1, 2, 4, 8, 12, 24}
	for _, c := range []struct {
		mass unit.Grams
		want [6][4]float64 // core, mean, hours at 27 °C, expansion
	}{
		{500, [6][4]float64{{22.7, 18.7, .71, 1.00}, {16.9, 14.0, 1.12, 1.07}, {10.0, 8.6, 1.57, 1.22}, {5.3, 5.0, 1.96, 1.37}, {4.3, 4.2, 2.21, 1.50}, {4.0, 4.0, 2.88, 1.89}}},
		{1000, [6][4]float64{{24.6, 20.1, .75, 1.00}, {20.2, 16.0, 1.25, 1.17}, {13.1, 10.7, 1.83, 1.41}, {6.8, 6.1, 2.37, 1.63}, {4.9, 4.6, 2.68, 1.78}, {4.0, 4.0, 3.37, 2.22}}},
		{2000, [6][4]float64{{25.6, 21.3, .79, 1.00}, {23.1, 17.8, 1.35, 1.26}, {16.8, 12.9, 2.10, 1.61}, {9.3, 7.7, 2.86, 1.97}, {6.2, 5.5, 3.26, 2.19}, {4.2, 4.1, 4.03, 2.71}}},
	} {
		ball := heat.Body{Shape: heat.Sphere, Mass: c.mass, Length: math.Cbrt(3 * float64(c.mass) / 1e6 / (4 * math.Pi)), Material: material}
		fridge := simulate.Steady(4, heat.FridgeStatic)
		rigid := mustStart(t, lean(1e-6), 0, ball, 26) // no yeast to speak of: neither grows nor warms itself
		alive := mustStart(t, lean(1), 0, ball, 26)
		for i, h := range hours {
			rigid.Wait(fridge, 60*h-rigid.Minute)
			alive.Wait(fridge, 60*h-alive.Minute)
			within(t, "core", float64(rigid.Core()), c.want[i][0], 0.15)
			within(t, "mean", float64(rigid.Mean()), c.want[i][1], 0.1)
			within(t, "work", rigid.Yeast().Work, c.want[i][2], 0.03*c.want[i][2])
			within(t, "expansion", alive.Expansion(), c.want[i][3], 0.05*c.want[i][3])
		}
	}
}
