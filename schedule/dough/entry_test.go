package dough_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// enter reads lines of amount and food, "500 g|bread-flour".
func enter(flour unit.Grams, lines ...string) ([]dough.Entered, unit.Grams) {
	var in []dough.Entry
	for _, l := range lines {
		amount, id, _ := strings.Cut(l, "|")
		food, _ := dough.Find(id)
		in = append(in, dough.Entry{Amount: amount, Food: food})
	}
	return dough.Enter(in, flour)
}

// Baker's percentages of formulas by weight and by measure: flour 100 by
// definition (bakingbusiness.com dictionary, "Baker's percent"), measures by the
// USDA SR28 weights (cup of all-purpose flour 125 g, of water 237 g, teaspoon of
// salt 6 g, packet of active dry yeast 7.2 g, large egg 50 g, tablespoon of
// butter 14.2 g).
func TestEnter(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		flour unit.Grams
		lines []string
		want  []float64 // percent
		whole unit.Grams
	}{
		"percent":  {0, []string{"100|bread-flour", "62,5 %|water", "2%|salt"}, []float64{100, 62.5, 2}, 0},
		"weights":  {0, []string{"500 g|bread-flour", "310g|water", "10 g|salt"}, []float64{100, 62, 2}, 500},
		"measures": {0, []string{"4 cups|all-purpose-flour", "1 1/2 cups|water", "2 tsp|salt", "1 packet|active-dry-yeast"}, []float64{100, 71.1, 2.4, 1.44}, 500},
		"mixed":    {0, []string{"1 kg|bread-flour", "62 %|water", "3 eggs|egg", "2 tbsp|butter"}, []float64{100, 62, 15, 2.84}, 1000},
		"two ways of flour": {0, []string{"400 g|bread-flour", "20 %|rye-flour", "300 g|water"},
			[]float64{80, 20, 60}, 500},
		"flour said":          {2000, []string{"100 %|bread-flour", "1,25 kg|water"}, []float64{100, 62.5}, 2000},
		"flour by weight":     {2000, []string{"500 g|bread-flour", "310 g|water"}, []float64{100, 62}, 500},
		"a pound and a bit":   {0, []string{"1 lb 4 oz|bread-flour", "12 oz (340 g)|water"}, []float64{100, 100 * 340 / 566.9904625}, 566.9904625},
		"metric in brackets":  {0, []string{"2 cups (250 g)|bread-flour", "⅔ cup|water"}, []float64{100, 63.2}, 250},
		"more than a hundred": {0, []string{"400 g|bread-flour", "120 %|rye-flour"}, []float64{math.NaN(), 120}, 0},
	} {
		got, whole := enter(c.flour, c.lines...)
		if math.Abs(float64(whole-c.whole)) > 1e-9 {
			t.Errorf("%s: flour %v, want %v", name, whole, c.whole)
		}
		for i, e := range got {
			if (e.Err != nil) != math.IsNaN(c.want[i]) {
				t.Errorf("%s: %s: %v", name, c.lines[i], e.Err)
			}
			if e.Err == nil && math.Abs(float64(e.Percent)-c.want[i]) > 1e-9*c.want[i] {
				t.Errorf("%s: %s is %v %%, want %v", name, c.lines[i], float64(e.Percent), c.want[i])
			}
		}
	}
}

// What a measure rests on is told, and the baker's word goes before the table's.
func TestEnterBasis(t *testing.T) {
	t.Parallel()
	flour, _ := dough.Find("all-purpose-flour")
	egg, _ := dough.Find("egg")
	got, whole := dough.Enter([]dough.Entry{
		{Amount: "4 cups", Food: flour, Each: 140}, {Amount: "2 eggs", Food: egg}, {Amount: "1 cup", Food: dough.Food{}, Each: 160}, {Amount: "1 heaped tbsp", Food: flour},
	}, 0)
	want := []dough.Entered{
		{Percent: 100 * 560 / (560 + 125./16), Grams: 560, Measure: "cup", Basis: "cup = 140\u00a0g"},
		{Percent: 100 * 100 / (560 + 125./16), Grams: 100, Measure: "piece", Basis: "large = 50\u00a0g", Assumed: true},
		{Percent: 100 * 160 / (560 + 125./16), Grams: 160, Measure: "cup", Basis: "cup = 160\u00a0g"},
		{Percent: 100 * 125. / 16 / (560 + 125./16), Grams: 125. / 16, Measure: "tbsp", Basis: "cup = 125\u00a0g", Assumed: true},
	}
	unexported := cmp.FilterPath(func(p cmp.Path) bool { return p.Last().String() == ".weighed" }, cmp.Ignore())
	if d := cmp.Diff(want, got, near, unexported); d != "" {
		t.Error(d)
	}
	if math.Abs(float64(whole)-567.8125) > 1e-9 {
		t.Errorf("flour %v", float64(whole))
	}
}

// What cannot be an amount is asked about and leaves the other lines alone.
func TestEnterAsks(t *testing.T) {
	t.Parallel()
	for line, want := range map[string]string{
		"1,500 g|water":     `"1,500" can be read as 1500 or 1.500`,
		"1 pint|milk":       `"pint" can be read as US pint (473 ml) or imperial pint (568 ml)`,
		"1 cup|brown-sugar": `"cup brown sugar" can be read as cup packed (220` + "\u00a0g) or cup unpacked (145\u00a0g)",
		"2-3 tbsp|honey":    `"2-3 tbsp" is from 2 to 3`,
		"a pinch|salt":      "no amount is given",
		"to taste|salt":     "no amount is given",
		"|salt":             "nothing is written",
		"-5 g|salt":         `"-5 g" is less than nothing`,
		"2 cups|":           "nothing says what a cup of it weighs",
		"1e9|salt":          "nothing says what one table salt weighs",
		"2|":                "",
	} {
		got, _ := enter(0, "500 g|bread-flour", line)
		said := ""
		if got[1].Err != nil {
			said = got[1].Err.Error()
		}
		if said != want {
			t.Errorf("%q says %q, want %q", line, said, want)
		}
		if got[0].Err != nil || got[0].Percent != 100 {
			t.Errorf("%q spoils the flour: %+v", line, got[0])
		}
	}
	if got, _ := enter(0, "100 %|bread-flour", "300 g|water"); !errors.Is(got[1].Err, dough.ErrNoFlourWeight) {
		t.Errorf("a weight without flour: %+v", got[1])
	}
}

// Any text: no panic; percentages that are finite and not less than nothing.
func FuzzEnter(f *testing.F) {
	for _, s := range []string{"62 %", "1½ cups", "1 kg", "1e308", "0.1%", "%", "2 (7 g) packets", "99999999999"} {
		f.Add(s, "500 g")
	}
	flour, _ := dough.Find("bread-flour")
	water, _ := dough.Find("water")
	f.Fuzz(func(t *testing.T, a, b string) {
		got, whole := dough.Enter([]dough.Entry{{Amount: a, Food: flour}, {Amount: b, Food: water}}, 0)
		if !(whole >= 0) {
			t.Errorf("%q, %q: flour %v", a, b, whole)
		}
		for _, e := range got {
			if e.Err == nil && !(e.Percent >= 0 && e.Grams >= 0 && !math.IsInf(float64(e.Percent), 0)) {
				t.Errorf("%q, %q: %+v", a, b, e)
			}
		}
	})
}
