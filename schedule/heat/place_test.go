package heat_test

import (
	"math"
	"testing"

	"ovenward/schedule/heat"
	"ovenward/schedule/unit"
)

// sphere is a ball of density 1000 and k 0.30, the body of the tables below.
func sphere(kilograms float64) heat.Body {
	return heat.Body{
		Shape: heat.Sphere, Mass: unit.Grams(1000 * kilograms),
		Length:   math.Cbrt(3 * kilograms / 1000 / (4 * math.Pi)),
		Material: heat.Material{Density: 1000, HeatCapacity: 2800, Diffusivity: 0.30 / (1000 * 2800)},
	}
}

// stand puts a new body at one temperature into a place.
func stand(t *testing.T, b heat.Body, from, air unit.Celsius, h, minutes, stride float64) *heat.Field {
	t.Helper()
	f, err := heat.NewField(b, 0, from)
	if err != nil {
		t.Fatal(err)
	}
	for range int(math.Round(minutes / stride)) {
		if err := f.Step(air, h, stride, nil); err != nil {
			t.Fatal(err)
		}
	}
	return f
}

// A ball at 26 °C put into a fridge of 4 °C, h 6: core and mean after hours,
// from a separate computation. Steps of ten minutes do.
func TestFridge(t *testing.T) {
	t.Parallel()
	hours := []float64{1, 2, 4, 8, 12, 24}
	for _, row := range []struct{ kg, core, mean []float64 }{
		{[]float64{0.5}, []float64{22.7, 16.9, 10.0, 5.3, 4.3, 4.0}, []float64{18.7, 14.0, 8.6, 5.0, 4.2, 4.0}},
		{[]float64{1}, []float64{24.6, 20.2, 13.1, 6.8, 4.9, 4.0}, []float64{20.1, 16.0, 10.7, 6.1, 4.6, 4.0}},
		{[]float64{2}, []float64{25.6, 23.1, 16.8, 9.3, 6.2, 4.2}, []float64{21.3, 17.8, 12.9, 7.7, 5.5, 4.1}},
	} {
		for i, h := range hours {
			for _, stride := range []float64{1, 5, 10} {
				f := stand(t, sphere(row.kg[0]), 26, 4, heat.FridgeStatic, 60*h, stride)
				for _, c := range []struct {
					name      string
					got, want float64
				}{{"core", float64(f.Core()), row.core[i]}, {"mean", float64(f.Mean()), row.mean[i]}} {
					if math.Abs(c.got-c.want) > max(0.15, 0.03*c.want)/2 {
						t.Errorf("%v kg after %v h, steps of %v min: %s %.2f, want %.1f", row.kg[0], h, stride, c.name, c.got, c.want)
					}
				}
			}
		}
	}
}

// Bread plants put dough at 27 °C into cabinets of 40 to 46 °C and take it out
// after 55 to 65 minutes at 33 to 36 °C (BAKERpedia, "The importance of
// proofing"). Accepted 32 to 37.5 °C for half a kilogram, h 12.
func TestProofCabinet(t *testing.T) {
	t.Parallel()
	for _, air := range []unit.Celsius{40, 43, 46} {
		for _, minutes := range []float64{55, 60, 65} {
			if got := stand(t, sphere(0.5), 27, air, 12, minutes, 1).Mean(); got < 32 || got > 37.5 {
				t.Errorf("%v for %v min: mean %v", air, minutes, got)
			}
		}
	}
}

// Çengel's boiled egg (Heat Transfer, example 4-1, from memory): a sphere of 5
// cm, k 0.627, diffusivity 0.151e-6, 5 °C into 95 °C with h 1200 has 70 °C in
// the middle after 865 s.
func TestBoiledEgg(t *testing.T) {
	t.Parallel()
	egg := heat.Body{
		Shape: heat.Sphere, Mass: 65, Length: 0.025,
		Material: heat.Material{Density: 1000, HeatCapacity: 0.627 / 0.151e-6 / 1000, Diffusivity: 0.151e-6},
	}
	if got := stand(t, egg, 5, 95, 1200, 865./60, 865./60/60).Core(); math.Abs(float64(got-70)) > 0.7 {
		t.Errorf("core %v, want 70", got)
	}
}

// Flattening helps when both faces are cooled. A sheet of 25 mm on a board,
// cooled from the top alone, is no faster than a ball of 1 kg.
func TestFlattening(t *testing.T) {
	t.Parallel()
	for _, minutes := range []float64{60, 120, 240} {
		ball := stand(t, heat.Ball(1000), 26, 4, heat.FridgeStatic, minutes, 5).Mean()
		top := stand(t, heat.Flat(1000, 0.025, false), 26, 4, heat.FridgeStatic, minutes, 5).Mean()
		both := stand(t, heat.Flat(1000, 0.025, true), 26, 4, heat.FridgeStatic, minutes, 5).Mean()
		if top < ball-0.3 || both > ball-2 {
			t.Errorf("after %v min: ball %v, top only %v, both faces %v", minutes, ball, top, both)
		}
	}
}

// A container's wall adds to the resistance at the surface: the same as a lower
// h, negligible for plastic in air, decisive for foam.
func TestWall(t *testing.T) {
	t.Parallel()
	walled := heat.Ball(1000)
	const foam = 1.1 // m² K/W: 30 mm, U about 0.9 W/(m² K)
	walled.Wall = foam
	want := stand(t, heat.Ball(1000), 26, 4, 1/(1.0/6+foam), 240, 5)
	if got := stand(t, walled, 26, 4, 6, 240, 5); math.Abs(float64(got.Mean()-want.Mean())) > 1e-9 || got.Mean() < 20 {
		t.Errorf("in foam after 4 h: %v, want %v and above 20", got.Mean(), want.Mean())
	}
	walled.Wall = heat.PlasticWall
	bare := stand(t, heat.Ball(1000), 26, 4, 6, 240, 5).Mean()
	if got := stand(t, walled, 26, 4, 6, 240, 5).Mean(); got < bare || got > bare+1 {
		t.Errorf("in plastic %v, bare %v", got, bare)
	}
}
