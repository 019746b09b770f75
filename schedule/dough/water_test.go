package dough_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// Published worked examples in °F, carried out in °C with friction as a
// difference; the published answer within 0.1 °F.
func TestWaterRule(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		source   string
		dough    float64
		friction float64
		others   []float64
		want     float64
	}{
		{source: "Pizza Today 6/2018 p. 29", dough: 80, friction: 35, others: []float64{65, 75}, want: 65},
		{source: "Cook's Illustrated how-to 5818 (four factors)", dough: 75, friction: 20, others: []float64{71, 71, 71}, want: 67},
		{source: "San Francisco Baking Institute notes, farine-mc.blogspot.com", dough: 75, friction: 8, others: []float64{65, 65}, want: 87},
		{source: "Treatise on Baking c. 1914, no friction, warm shop", dough: 78, others: []float64{85, 67}, want: 82},
		{source: "Treatise on Baking c. 1914, no friction, cool shop", dough: 78, others: []float64{72, 62}, want: 100},
	} {
		var others []unit.Celsius
		for _, o := range row.others {
			others = append(others, unit.FromFahrenheit(o))
		}
		want := unit.FromFahrenheit(row.dough)
		friction := unit.Kelvins(row.friction * 5 / 9)
		got := dough.WaterRule(want, friction, others...)
		if math.Abs(float64(got-unit.FromFahrenheit(row.want))) > 0.1*5/9 {
			t.Errorf("%s: %v, want %v °F", row.source, got, row.want)
		}
	}
}

// A room of 21 °C, flour of 20 °C and a friction of 9 K: 78 - 20 - 21 - 9.
func TestWaterRuleInCelsius(t *testing.T) {
	t.Parallel()
	if got := dough.WaterRule(26, 9, 20, 21); got != 28 {
		t.Errorf("rule %v, want 28 °C", got)
	}
}

// 1000 g flour at 20 °C and 650 g water for 26 °C with 3 K of mixing: 25.0 °C
// by the heat balance, worked by hand with c = 1.85 and 4.186:
// (4570.9 x 23 - 37000) / 2720.9. A preferment at the temperature of the dough
// before mixing changes nothing, and without water there is no answer.
func TestMixWater(t *testing.T) {
	t.Parallel()
	plain := formula("bread-flour", 100, "water", 65)
	at := func(part, food string) unit.Celsius {
		if part != "" {
			return 23
		}
		return 20
	}
	got, err := plain.MixWater(plain.ForFlour(1000), 26, 3, at)
	if err != nil || math.Abs(float64(got)-25.04) > 0.01 {
		t.Errorf("plain: %v, %v; want 25.04 °C", got, err)
	}
	sponge := plain
	sponge.Ingredients = append(sponge.Ingredients[:2:2],
		dough.Ingredient{Food: "rye-flour", Percent: 20, Part: "sponge"}, dough.Ingredient{Food: "water", Percent: 20, Part: "sponge"})
	with, err := sponge.MixWater(sponge.ForFlour(1000), 26, 3, at)
	if err != nil || math.Abs(float64(with-got)) > 1e-9 {
		t.Errorf("with sponge: %v, %v; want %v", with, err, got)
	}
	dry := formula("bread-flour", 100)
	if got, err := dry.MixWater(dry.ForFlour(1000), 26, 3, at); !errors.Is(err, dough.ErrNoWater) {
		t.Errorf("no water gave %v, %v", got, err)
	}
}

// What a baker pours: water where there is enough of it, else milk with it; what
// is in a preferment is poured already. Common practice, no source.
func TestPour(t *testing.T) {
	t.Parallel()
	sponge := formula("bread-flour", 100, "milk", 40)
	sponge.Ingredients = append(sponge.Ingredients, dough.Ingredient{Food: "water", Percent: 20, Part: "sponge"})
	for name, row := range map[string]struct {
		f     dough.Formula
		names []string
		mass  unit.Grams
		water bool
	}{
		"lean":       {formula("bread-flour", 100, "water", 65), []string{"water"}, 650, true},
		"mostly":     {formula("bread-flour", 100, "water", 35, "milk", 30, "cream", 20), []string{"water"}, 350, true},
		"milk":       {formula("bread-flour", 100, "milk", 50, "egg", 20), []string{"whole milk"}, 500, false},
		"both":       {formula("bread-flour", 100, "milk", 40, "water", 10), []string{"whole milk", "water"}, 500, false},
		"sponge":     {sponge, []string{"whole milk"}, 400, false},
		"only eggs":  {formula("bread-flour", 100, "egg", 50), nil, 0, true},
		"only cream": {formula("bread-flour", 100, "cream", 50), nil, 0, true},
	} {
		got := row.f.Pour(row.f.ForFlour(1000))
		if !slices.Equal(got.Names, row.names) || math.Abs(float64(got.Mass-row.mass)) > 1e-9 || got.Water != row.water {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

// A table of pounds of ice to a pound of water (koerner-co.com, °F), within 3 %,
// and the energy balance for 40 kg from 20 to 10 °C: 4.0 kg. An example in
// circulation prints 4.4 kg, forgetting that ice replaces warm water.
func TestIce(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ tap, wanted, share float64 }{
		{60, 50, 0.057}, {70, 40, 0.163}, {80, 40, 0.206}, {50, 40, 0.061},
	} {
		got := dough.Ice(1000, unit.FromFahrenheit(row.tap), unit.FromFahrenheit(row.wanted))
		if share := float64(got.Ice) / 1000; math.Abs(share-row.share) > 0.03*row.share {
			t.Errorf("%v to %v °F: %.4f of the water, want %v", row.tap, row.wanted, share, row.share)
		}
	}
	got := dough.Ice(40000, 20, 10)
	if math.Abs(float64(got.Ice)-4000) > 50 || got.Ice > 4200 {
		t.Errorf("40 kg from 20 to 10 °C: %v, want 4.0 kg", got.Ice)
	}
}

// Ice and water together are the water asked for, their mixture carries the
// energy of water at Reached (first law), and ice stays within its share.
func TestIceBalances(t *testing.T) {
	t.Parallel()
	for tap := unit.Celsius(-5); tap <= 40; tap += 2.5 {
		for wanted := unit.Celsius(-60); wanted <= 45; wanted += 2.5 {
			c := dough.Ice(1000, tap, wanted)
			if c.Ice < 0 || math.Abs(float64(c.Ice+c.Water)-1000) > 1e-6 || c.Ice > 1000*dough.MostIce+1e-9 {
				t.Fatalf("%v to %v: %+v", tap, wanted, c)
			}
			energy := float64(c.Water)*4.186*float64(tap) - float64(c.Ice)*333.6
			if tap > 0 && math.Abs(energy-1000*4.186*float64(c.Reached)) > 1e-6 {
				t.Fatalf("%v to %v: %v kJ against %v", tap, wanted, energy, c)
			}
			if c.Ice > 0 && c.Ice < 1000*dough.MostIce-1e-6 && math.Abs(float64(c.Reached-wanted)) > 1e-9 {
				t.Fatalf("%v to %v reaches %v", tap, wanted, c.Reached)
			}
		}
	}
}

// The limit of the yeast cards, 43 °C (US Army TM 10-412, D-G-2); 46 and 55 °C
// are this program's, below death at 60 °C (Reinhart 1991).
func TestYeastLiquid(t *testing.T) {
	t.Parallel()
	for c, want := range map[unit.Celsius]dough.Severity{4: dough.Fine, 43: dough.Fine, 43.1: dough.Care, 46: dough.Care, 46.1: dough.Warning, 55: dough.Warning, 55.1: dough.Wrong, 100: dough.Wrong} {
		if got := dough.YeastLiquid(c); got != want {
			t.Errorf("%v: %q, want %q", c, got, want)
		}
	}
}
