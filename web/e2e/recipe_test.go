package e2e_test

import (
	"fmt"
	"strings"
	"testing"
)

// A recipe as other programs publish it (schema.org/Recipe as JSON-LD), pasted,
// becomes a bread; what can be read in two ways is asked, and nothing is saved
// before it is answered. The weights are those of TestGrams.
func TestRecipeBecomesABread(t *testing.T) {
	const pasted = `{"@context": "https://schema.org", "@type": "Recipe", "name": "Wharf loaf", "recipeYield": "2 loaves", ` +
		`"recipeIngredient": ["6 cups (822 g) bread flour", "1 pint water", "3 tsp salt", "2 tsp instant yeast", "2 tbsp honey", "60 g herring roe meal"], ` +
		`"recipeInstructions": ["Knead.", "Let it double.", "Shape into 2 loaves, let them rise and bake."]}`
	walks(t, func(t *testing.T, b *tab) {
		b.visit("/breads")
		b.submit(`a[href="/breads/import"]`)
		b.fill(`[name="recipe"]`, pasted)
		b.submit(`button[value="read"]`)
		main := strings.ReplaceAll(b.text("main"), "\u00a0", " ")
		for _, want := range []string{"822 g bread flour", "18 g table salt", "42 g honey", "it may mean US pint (473 ml) or imperial pint (568 ml)", "not known yet", "What it says to do"} {
			if !strings.Contains(main, want) {
				t.Errorf("%q is not in\n%s", want, main)
			}
		}
		b.picture("recipe-asked")
		b.allow(422)
		b.submit(`button[value="save"]`)
		if said := b.text("#faults"); !strings.Contains(said, "1 pint water") || !strings.Contains(said, "60 g herring roe meal") {
			t.Fatalf("it asks\n%s", said)
		}
		b.fill(`[name="lines[1].grams"]`, "568")
		evaluate[bool](b, `(s => { s.value = [...s.options].find(o => o.text.startsWith("something else that stays apart")).value; return true; })(document.getElementsByName("lines[5].food")[0])`)
		b.submit(`button[value="save"]`)
		if at := b.where(); !strings.HasPrefix(at, "/breads/wharf-loaf") {
			t.Fatalf("at %s: %s", at, b.text("main"))
		}
		for i, want := range []string{"100", "69.", "2.1", "0.7", "5.1", "7.29"} {
			if got := evaluateValue(b, fmt.Sprintf("formula.ingredients[%d].percent", i)); !strings.HasPrefix(got, want) {
				t.Errorf("line %d is %q percent, want %s", i+1, got, want)
			}
		}
		if notes := evaluateValue(b, "notes"); !strings.Contains(notes, "– 1 pint water\n") || !strings.Contains(notes, "\nLet it double.\n") {
			t.Errorf("of the recipe's own words it keeps %q", notes)
		}
		b.picture("recipe-bread")
	})
}
