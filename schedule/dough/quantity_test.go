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

// How amounts are written in cookery: common practice, no source.
func TestParseQuantity(t *testing.T) {
	t.Parallel()
	exact := func(v float64, unit, rest string) dough.Quantity {
		return dough.Quantity{Low: v, High: v, Unit: unit, Rest: rest}
	}
	span := func(low, high float64, unit, rest string) dough.Quantity {
		return dough.Quantity{Low: low, High: high, Unit: unit, Rest: rest}
	}
	none := func(rest string) dough.Quantity { return dough.Quantity{Unquantified: true, Rest: rest} }
	for text, want := range map[string]dough.Quantity{
		"400 g":                             exact(400, "g", ""),
		"400g Flour":                        exact(400, "g", "Flour"),
		"0.75 kg":                           exact(0.75, "kg", ""),
		"1,5 kg":                            exact(1.5, "kg", ""),
		".5 l":                              exact(0.5, "l", ""),
		"1.234,5 g":                         exact(1234.5, "g", ""),
		"1,234,567 g":                       exact(1234567, "g", ""),
		"3/4 cup":                           exact(0.75, "cup", ""),
		"1 1/2 cups flour":                  exact(1.5, "cup", "flour"),
		"1-1/2 cups":                        exact(1.5, "cup", ""),
		"1 and 1/2 cups":                    exact(1.5, "cup", ""),
		"2½ Tbsp. honey":                    exact(2.5, "tbsp", "honey"),
		"1 ¾ tsp":                           exact(1.75, "tsp", ""),
		"⅛ teaspoon":                        exact(0.125, "tsp", ""),
		"⅔ cup":                             exact(2./3, "cup", ""),
		"1⁄2 tsp salt":                      exact(0.5, "tsp", "salt"),
		"1 1⁄2 tsp":                         exact(1.5, "tsp", ""),
		"2\u00a0½\u00a0cups":                exact(2.5, "cup", ""),
		"2-3 tbsp honey":                    span(2, 3, "tbsp", "honey"),
		"½–¾ cup":                           span(0.5, 0.75, "cup", ""),
		"100 to 120 g":                      span(100, 120, "g", ""),
		"100 g - 0.12 kg":                   span(100, 120, "g", ""),
		"2 or 3 eggs":                       span(2, 3, "", "eggs"),
		"1 lb 4 oz flour":                   exact(566.9904625, "g", "flour"),
		"1 kg 200 g":                        exact(1200, "g", ""),
		"1 cup plus 2 tbsp":                 exact(266.161766062_5, "ml", ""),
		"1½ cups (180 g) flour":             exact(180, "g", "flour"),
		"1½ cups flour (180 g), sifted":     exact(180, "g", "flour, sifted"),
		"1 cup / 240 ml water":              exact(240, "ml", "water"),
		"200 g (7 oz) butter":               exact(200, "g", "butter"),
		"7 oz (about 200 g) butter":         exact(200, "g", "butter"),
		"1 pint (568 ml) milk":              exact(568, "ml", "milk"),
		"1 US pint milk":                    exact(1, "US pint", "milk"),
		"1 packet (7 g) yeast":              exact(7, "g", "yeast"),
		"8 fl. oz. milk":                    exact(8, "fl oz", "milk"),
		"two large eggs":                    exact(2, "large", "eggs"),
		"1 extra-large egg":                 exact(1, "extra large", "egg"),
		"half a cup of milk":                exact(0.5, "cup", "milk"),
		"one and a half cups":               exact(1.5, "cup", ""),
		"a dozen eggs":                      exact(12, "", "eggs"),
		"2 x 400 g":                         exact(800, "g", ""),
		"1 cup 2% milk":                     exact(1, "cup", "2% milk"),
		"1 cup whole wheat flour":           exact(1, "cup", "whole wheat flour"),
		"3 cups bread flour, spooned":       exact(3, "cup", "bread flour, spooned"),
		"1 cup packed brown sugar":          {Low: 1, High: 1, Unit: "cup", How: "packed", Rest: "brown sugar"},
		"1 cup (firmly packed) brown sugar": {Low: 1, High: 1, Unit: "cup", How: "packed", Rest: "brown sugar"},
		"about 200 g":                       {Low: 200, High: 200, Unit: "g", Loose: true},
		"1 heaped tbsp flour":               {Low: 1, High: 1, Unit: "tbsp", Loose: true, Rest: "flour"},
		"a pinch of salt":                   none("salt"),
		"2 pinches salt":                    none("salt"),
		"salt to taste":                     none("salt to taste"),
		"to taste":                          none(""),
		"some flour":                        none("flour"),
		"bread flour":                       none("bread flour"),
		"2 % milk":                          none("2 % milk"),
		"a few raisins":                     none("raisins"),
		"2 gooseberries":                    exact(2, "", "gooseberries"),
		"2 litres":                          exact(2, "l", ""),
		"three quarters cup sugar":          exact(0.75, "cup", "sugar"),
		"three-quarters of a cup":           exact(0.75, "cup", ""),
		"two thirds cup":                    exact(2./3, "cup", ""),
		"one-half cup":                      exact(0.5, "cup", ""),
		"one quarter cup oil":               exact(0.25, "cup", "oil"),
		"five eighths cup":                  exact(0.625, "cup", ""),
		"one and three quarter cups":        exact(1.75, "cup", ""),
		"2 and a half cups":                 exact(2.5, "cup", ""),
		"a cup and a half of flour":         exact(1.5, "cup", "flour"),
		"2 cups and a quarter":              exact(2.25, "cup", ""),
		"a cup and a half lemon":            exact(1, "cup", "and a half lemon"),
		"2/3rds cup":                        exact(2./3, "cup", ""),
		"1/4th tsp":                         exact(0.25, "tsp", ""),
		"2 halves":                          exact(2, "", "halves"),
		"half a dozen eggs":                 exact(6, "", "eggs"),
		"fifteen g":                         exact(15, "g", ""),
		"twenty five grams":                 exact(25, "g", ""),
		"thirty-two g":                      exact(32, "g", ""),
		"a hundred grams":                   exact(100, "g", ""),
		"two hundred and fifty grams flour": exact(250, "g", "flour"),
		"seventeen eggs":                    exact(17, "", "eggs"),
		"1 level tsp salt":                  exact(1, "tsp", "salt"),
		"1 packed cup brown sugar":          {Low: 1, High: 1, Unit: "cup", How: "packed", Rest: "brown sugar"},
		"1 firmly packed cup sugar":         {Low: 1, High: 1, Unit: "cup", How: "packed", Rest: "sugar"},
		"2 chopped onions":                  exact(2, "", "chopped onions"),
		"1 US cup milk":                     exact(1, "cup", "milk"),
		"2 metric cups flour":               exact(2, "metric cup", "flour"),
	} {
		got, err := dough.ParseQuantity(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if diff := cmp.Diff(want, got, near); diff != "" {
			t.Errorf("%q (-want +got):\n%s", text, diff)
		}
	}
}

// What has two readings is asked about, never guessed; both readings are named.
func TestParseQuantityAmbiguous(t *testing.T) {
	t.Parallel()
	for text, readings := range map[string][]string{
		"1,500 g":                    {"1500", "1.500"},
		"1.500 g":                    {"1500", "1.500"},
		"11/2 cups":                  {"1 1/2", "5.5"},
		"1 - 1/2 cups":               {"0.5 to 1", "1 and 0.5"},
		"5-3 g":                      {"3 to 5", "5 and 3"},
		"1 pint milk":                {"US pint (473 ml)", "imperial pint (568 ml)"},
		"2 T sugar":                  {"teaspoon", "tablespoon"},
		"2 (7 g) packets yeast":      {"7 g in all", "7 g each"},
		"2 7 g packets yeast":        {"7 g in all", "7 g each"},
		"3 eggs (150 g)":             {"150 g in all", "150 g each"},
		"1 1/4-ounce packages yeast": {"1.25 oz in all", "1 of 0.25 oz each"},
		"1 lb (100 g) flour":         {"1 lb", "100 g"},
	} {
		_, err := dough.ParseQuantity(text)
		var ambiguous *dough.AmbiguousError
		if !errors.As(err, &ambiguous) {
			t.Errorf("%q: %v, want a question", text, err)
			continue
		}
		if diff := cmp.Diff(readings, ambiguous.Readings); diff != "" {
			t.Errorf("%q (-want +got):\n%s", text, diff)
		}
	}
}

func TestParseQuantityBad(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"", "  ", "-5 g", "−5 g", "1/0 cup", "1.2.3 g", "99999999999999 g"} {
		got, err := dough.ParseQuantity(text)
		if err == nil {
			t.Errorf("%q was read as %+v", text, got)
		}
	}
}

// One of each unit of mass and volume of water against NIST Handbook 44,
// Appendix C, and the International System; imperial by the UK Units of
// Measurement Regulations 1995. Water with a density of 1.
func TestUnits(t *testing.T) {
	t.Parallel()
	plain := dough.Food{Name: "water", Density: 1}
	for text, want := range map[string]float64{
		"1 mg": 0.001, "1 g": 1, "1 dag": 10, "1 kg": 1000, "1 oz": 28.349523125, "1 lb": 453.59237,
		"1 ml": 1, "1 cl": 10, "1 dl": 100, "1 l": 1000, "1 tsp": 4.92892159375, "1 tbsp": 14.78676478125,
		"1 fl oz": 29.5735295625, "1 cup": 236.5882365, "1 US pint": 473.176473, "1 US quart": 946.352946,
		"1 US gallon": 3785.411784, "1 imperial pint": 568.26125, "1 imperial quart": 1136.5225, "1 imperial gallon": 4546.09,
		"3 tsp": 14.78676478125, "16 tbsp": 236.5882365, "8 fl oz": 236.5882365, "16 oz": 453.59237,
		"1 metric cup": 250, "1 metric tbsp": 15, "1 metric teaspoon": 5, // from memory
	} {
		q, err := dough.ParseQuantity(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		w, err := q.Grams(plain)
		if err != nil || math.Abs(float64(w.Low)-want) > 1e-9*want {
			t.Errorf("%q is %v g (%v), want %v", text, float64(w.Low), err, want)
		}
	}
}

// Household measures to grams by the USDA SR28 weights, a tablespoon without
// its own by the cup's 16.
func TestGrams(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		text, food string
		want       dough.Weighed
	}{
		{"1½ cups", "bread-flour", weighed(205.5, "cup = 137\u00a0g", false)},
		{"2 tbsp", "honey", weighed(42, "tbsp = 21\u00a0g", false)},
		{"2 tbsp", "bread-flour", weighed(137./8, "cup = 137\u00a0g", false)},
		{"2 large", "egg", weighed(100, "large = 50\u00a0g", false)},
		{"2 eggs", "egg", weighed(100, "large = 50\u00a0g", true)},
		{"1 cup packed", "brown-sugar", weighed(220, "cup packed = 220\u00a0g", false)},
		{"1 cup", "almonds", weighed(143, "cup whole = 143\u00a0g", true)},
		{"1 packet", "active-dry-yeast", weighed(7.2, "packet = 7.2\u00a0g", false)},
		{"1 stick", "butter", weighed(113, "stick = 113\u00a0g", false)},
		{"250 ml", "water", weighed(250, "1 g/ml", false)},
		{"1 metric cup", "bread-flour", weighed(137/236.5882365*250, "cup = 137\u00a0g", false)},
		{"1 metric cup packed", "brown-sugar", weighed(220/236.5882365*250, "cup packed = 220\u00a0g", false)},
		{"1 lb", "butter", weighed(453.59237, "", false)},
		{"100-150 g", "sugar", dough.Weighed{Low: 100, High: 150}},
	} {
		food, _ := dough.Find(row.food)
		q, err := dough.ParseQuantity(row.text)
		if err != nil {
			t.Fatal(err)
		}
		got, err := q.Grams(food)
		if err != nil {
			t.Errorf("%s of %s: %v", row.text, row.food, err)
		}
		if diff := cmp.Diff(row.want, got, near); diff != "" {
			t.Errorf("%s of %s (-want +got):\n%s", row.text, row.food, diff)
		}
	}
}

func weighed(g unit.Grams, basis string, assumed bool) dough.Weighed {
	return dough.Weighed{Low: g, High: g, Basis: basis, Assumed: assumed}
}

func TestGramsAsks(t *testing.T) {
	t.Parallel()
	for text, id := range map[string]string{"1 cup": "brown-sugar", "8 oz": "milk"} {
		food, _ := dough.Find(id)
		q, _ := dough.ParseQuantity(text)
		_, err := q.Grams(food)
		if ambiguous := (*dough.AmbiguousError)(nil); !errors.As(err, &ambiguous) || len(ambiguous.Readings) != 2 {
			t.Errorf("%s of %s: %v, want a question", text, id, err)
		}
	}
	for text, id := range map[string]string{"2": "butter", "1 stick": "water", "1 large": "bread-flour"} {
		food, _ := dough.Find(id)
		q, _ := dough.ParseQuantity(text)
		if w, err := q.Grams(food); err == nil {
			t.Errorf("%s of %s is %+v", text, id, w)
		}
	}
	if _, err := (dough.Quantity{Unquantified: true}).Grams(dough.Food{}); !errors.Is(err, dough.ErrUnquantified) {
		t.Errorf("a pinch: %v", err)
	}
}

// Any text: no panic, amounts finite, positive and in order, units that exist,
// and a rest that was in the text.
func FuzzParseQuantity(f *testing.F) {
	for _, s := range []string{"1½ cups (180 g) flour", "1 lb 4 oz", "2-3 tbsp", "1,5 kg", "11/2", "a dozen eggs", "2 x 400 g", "1 1/4-ounce packages",
		"one and a half", "1 pint (568 ml)", "½–¾ cup", "1⁄2", "\xff1 g", "İ1 g (2 g)", "1 cup / 240 ml", "~2 t.", "three quarters of a cup", "two hundred and five g", "a cup and a half of", "2/3rds", "one firmly packed cup"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		q, err := dough.ParseQuantity(text)
		if err != nil {
			return
		}
		if !(q.Low >= 0 && q.Low <= q.High) || math.IsInf(q.High, 0) {
			t.Errorf("%q: %+v", text, q)
		}
		if q.Unquantified && q.High > 0 {
			t.Errorf("%q: unquantified with an amount: %+v", text, q)
		}
		for _, word := range strings.Fields(q.Rest) {
			if !strings.Contains(strings.Join(strings.Fields(text), ""), word) {
				t.Errorf("%q: %q of the rest is not in it", text, word)
			}
		}
		for _, food := range dough.Foods() {
			if w, err := q.Grams(food); err == nil && !(w.Low >= 0 && w.Low <= w.High) {
				t.Errorf("%q of %s: %+v", text, food.ID, w)
			}
		}
	})
}

func BenchmarkParseQuantity(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := dough.ParseQuantity("1½ cups (180 g) bread flour, sifted"); err != nil {
			b.Fatal(err)
		}
	}
}
