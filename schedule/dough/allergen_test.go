package dough_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/dough"
)

// Nine groups by FALCPA 2004 with the FASTER Act 2021 (P.L. 117-11), fourteen by
// Regulation (EU) 1169/2011, Annex II; rye, barley, oats, sulphites, lupin,
// celery, mustard and molluscs are the European ones.
func TestRules(t *testing.T) {
	t.Parallel()
	us, eu := dough.US.Groups(), dough.EU.Groups()
	if len(us) != 9 || len(eu) != 14 {
		t.Errorf("%d and %d groups, want 9 and 14", len(us), len(eu))
	}
	var extra []dough.Allergen
	for _, a := range slices.Concat(eu...) {
		if !slices.Contains(slices.Concat(us...), a) {
			extra = append(extra, a)
		}
	}
	want := []dough.Allergen{dough.AllergenRye, dough.AllergenBarley, dough.AllergenOats, dough.AllergenCelery,
		dough.AllergenMustard, dough.AllergenSulphites, dough.AllergenLupin, dough.AllergenMolluscs}
	if diff := cmp.Diff(want, extra); diff != "" {
		t.Errorf("only European (-want +got):\n%s", diff)
	}
}

func TestAllergens(t *testing.T) {
	t.Parallel()
	f := formula("rye-flour", 40, "bread-flour", 60, "water", 50, "milk", 10, "butter", 5, "raisins", 10, "sesame", 3)
	f.Ingredients = append(f.Ingredients,
		dough.Ingredient{Food: "mystery", Percent: 1},
		dough.Ingredient{Food: "glaze", Name: "our glaze", Percent: 1, Own: &dough.Food{Name: "glaze"}})
	for rules, want := range map[dough.Rules]dough.Allergens{
		dough.US: {
			Contains: []dough.Declaration{{Allergen: dough.AllergenMilk, From: []string{"whole milk", "butter, unsalted"}},
				{Allergen: dough.AllergenWheat, From: []string{"bread flour"}}, {Allergen: dough.AllergenSesame, From: []string{"sesame seeds"}}},
			Check:   []dough.Declaration{{Allergen: dough.AllergenWheat, From: []string{"medium rye flour"}}},
			Unknown: []string{"mystery", "our glaze"},
		},
		dough.EU: {
			Contains: []dough.Declaration{{Allergen: dough.AllergenWheat, From: []string{"bread flour"}}, {Allergen: dough.AllergenRye, From: []string{"medium rye flour"}},
				{Allergen: dough.AllergenMilk, From: []string{"whole milk", "butter, unsalted"}}, {Allergen: dough.AllergenSesame, From: []string{"sesame seeds"}}},
			Check: []dough.Declaration{{Allergen: dough.AllergenWheat, From: []string{"medium rye flour"}}, {Allergen: dough.AllergenBarley, From: []string{"bread flour"}},
				{Allergen: dough.AllergenSulphites, From: []string{"raisins"}}},
			Unknown: []string{"mystery", "our glaze"},
		},
	} {
		if diff := cmp.Diff(want, f.Allergens(rules)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", rules, diff)
		}
	}
}

// Sections of the FDA Food Code as copied word for word by state codes (WAC
// 246-215-03525; Delaware 3-501.14; Wisconsin ATCP 3-501.19).
func TestCautions(t *testing.T) {
	t.Parallel()
	codes := func(f dough.Formula) map[string]string {
		got := map[string]string{}
		for _, c := range f.Cautions() {
			got[c.Code] = c.Section
		}
		return got
	}
	if diff := cmp.Diff(map[string]string{"raw-flour": "", "allergens": ""}, codes(formula("bread-flour", 100, "water", 60))); diff != "" {
		t.Errorf("lean (-want +got):\n%s", diff)
	}
	rich := formula("bread-flour", 100, "milk", 60, "boiled-potato", 30)
	rich.Ingredients = append(rich.Ingredients, dough.Ingredient{Food: "custard", Percent: 30,
		Own: &dough.Food{Name: "custard", Role: dough.Inclusion, Cooked: true, Allergens: []dough.Allergen{dough.AllergenMilk, dough.AllergenEgg}}})
	want := map[string]string{"raw-flour": "", "allergens": "", "egg-milk-warm": "3-501.19", "cooked-cooling": "3-501.14(A)",
		"filled-goods": "3-501.19(B)", "fridge": "3-501.16(A)"}
	if diff := cmp.Diff(want, codes(rich)); diff != "" {
		t.Errorf("rich (-want +got):\n%s", diff)
	}
}
