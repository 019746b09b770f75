package dough_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

func TestValidateGood(t *testing.T) {
	t.Parallel()
	for name, f := range map[string]dough.Formula{
		"lean":              formula("bread-flour", 100, "water", 60, "salt", 2, "fresh-yeast", 2),
		"milk":              formula("all-purpose-flour", 100, "milk", 65, "active-dry-yeast", 1.5, "salt", 1.8),
		"brioche":           formula("bread-flour", 100, "egg", 60, "butter", 75, "sugar", 15, "instant-yeast", 2, "salt", 2),
		"no yeast, no salt": formula("rye-flour", 33.3, "bread-flour", 66.7, "water", 80),
		"own": {Ingredients: []dough.Ingredient{{Food: "bread-flour", Percent: 100}, {Food: "whey", Percent: 70,
			Own: &dough.Food{Name: "whey", Role: dough.Dairy, Water: 93, Sugar: 5, Lactose: 5}}}},
	} {
		if got := f.Validate(); len(got) > 0 {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// Every fault at once, each where it is.
func TestValidateBad(t *testing.T) {
	t.Parallel()
	nan, inf := unit.Percent(math.NaN()), unit.Percent(math.Inf(1))
	with := func(in dough.Ingredient) dough.Formula {
		f := formula("bread-flour", 100, "water", 60)
		f.Ingredients = append(f.Ingredients, in)
		return f
	}
	for _, row := range []struct {
		name  string
		f     dough.Formula
		where []string
	}{
		{"empty", dough.Formula{}, []string{"ingredients"}},
		{"no flour", formula("water", 60), []string{"ingredients"}},
		{"no water", formula("bread-flour", 100, "salt", 2), []string{"ingredients"}},
		{"dry", formula("bread-flour", 100, "water", 12), []string{"ingredients"}},
		{"soup", formula("bread-flour", 100, "water", 400), []string{"ingredients"}},
		{"flour 90", formula("bread-flour", 90, "water", 60), []string{"ingredients"}},
		{"flour 100.2", formula("bread-flour", 100.2, "water", 60), []string{"ingredients"}},
		{"yeast 300", with(dough.Ingredient{Food: "fresh-yeast", Percent: 300}), []string{"ingredients", "ingredients"}}, // and its water,
		{"instant 6 is 18 fresh", with(dough.Ingredient{Food: "instant-yeast", Percent: 6}), []string{"ingredients"}},
		{"salt 20", with(dough.Ingredient{Food: "salt", Percent: 20}), []string{"ingredients"}},
		{"sugar 90", with(dough.Ingredient{Food: "sugar", Percent: 90}), []string{"ingredients"}},
		{"fat 150", with(dough.Ingredient{Food: "lard", Percent: 150}), []string{"ingredients"}},
		{"negative", with(dough.Ingredient{Food: "salt", Percent: -2}), []string{"ingredients[2].percent"}},
		{"zero", with(dough.Ingredient{Food: "salt"}), []string{"ingredients[2].percent"}},
		{"not a number", with(dough.Ingredient{Food: "salt", Percent: nan}), []string{"ingredients[2].percent"}},
		{"infinite", with(dough.Ingredient{Food: "salt", Percent: inf}), []string{"ingredients[2].percent"}},
		{"grams", with(dough.Ingredient{Food: "raisins", Percent: 1500}), []string{"ingredients[2].percent"}},
		{"unknown", with(dough.Ingredient{Food: "sawdust", Percent: 2}), []string{"ingredients[2].food"}},
		{"nameless", with(dough.Ingredient{Percent: 2}), []string{"ingredients[2].food"}},
		{"own", with(dough.Ingredient{Food: "x", Percent: 2, Own: &dough.Food{Role: dough.Yeast, Water: 120, Fat: math.NaN(), Sugar: 3, Hexose: 5}}),
			[]string{"ingredients[2].own.water", "ingredients[2].own.fat", "ingredients[2].own.hexose", "ingredients[2].own.yeast"}},
		{"own over 100", with(dough.Ingredient{Food: "x", Percent: 2, Own: &dough.Food{Water: 80, Fat: 40}}), []string{"ingredients[2].own.water"}},
		{"own role", with(dough.Ingredient{Food: "x", Percent: 2, Own: &dough.Food{Role: 99}}), []string{"ingredients[2].own.role"}},
		{"all at once", formula("sawdust", -1, "bread-flour", 50, "salt", 20),
			[]string{"ingredients[0].percent", "ingredients[0].food", "ingredients", "ingredients", "ingredients"}},
	} {
		var got []string
		for _, fault := range row.f.Validate() {
			got = append(got, fault.Where)
			if fault.What == "" || fault.Remedy == "" {
				t.Errorf("%s: %+v says nothing", row.name, fault)
			}
		}
		if diff := cmp.Diff(row.where, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", row.name, diff)
		}
	}
}

// Whatever is read from a file or a form, nothing panics and a formula without
// faults has finite totals.
func FuzzFormula(f *testing.F) {
	f.Add([]byte(`{"ingredients":[{"food":"bread-flour","percent":100},{"food":"water","percent":60}]}`))
	f.Add([]byte(`{"ingredients":[{"food":"x","percent":1e308,"part":"p","own":{"role":"yeast","water":-1}}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var formula dough.Formula
		if json.Unmarshal(data, &formula) != nil {
			return
		}
		faults := formula.Validate()
		total := formula.Totals()
		formula.ForDough(1000).Round(1)
		formula.Allergens(dough.EU)
		formula.Cautions()
		if len(faults) == 0 && (math.IsNaN(float64(total.Water+total.Sum)) || math.IsInf(float64(total.Water+total.Sum), 0)) {
			t.Errorf("no fault found, but %+v", total)
		}
	})
}
