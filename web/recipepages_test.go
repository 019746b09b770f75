package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/dough"
	"ovenward/web/recipe"
	"ovenward/web/webtest"
)

// An invented recipe that leaves some things open: a measure of flour, a food
// nobody knows, oil that may not be in the dough, servings.
const openRecipe = `{"@context":"https://schema.org","@graph":[{"@type":"WebPage"},{"@type":["Recipe"],"name":"Harbour <x>rolls</x>",
"recipeYield":"8 servings","recipeIngredient":["4 cups bread flour","300 g water","10 g salt","7 g instant yeast","20 g zanzig seed","oil for greasing"],
"recipeInstructions":[{"@type":"HowToStep","text":"Mix <script>alert(1)</script> all."}]}]}`

const plainRecipe = `{"@context":"https://schema.org","@type":"Recipe","name":"Pier loaf","recipeYield":"2 loaves",
"recipeIngredient":["1000 g bread flour","650 g water","20 g salt","10 g instant yeast"]}`

func pasted(text, do string) url.Values { return url.Values{"recipe": {text}, "do": {do}} }

// The recipe is asked about until nothing is open; then the bread is there with
// percentages of its weights.
func TestImportRecipe(t *testing.T) {
	s := example(t)
	w := s.post("/breads/import", pasted(openRecipe, "read"))
	if w.Code != http.StatusOK {
		t.Fatal(w.Code)
	}
	page := webtest.Parse(t, w.Body)
	text := page.Text(nil)
	for _, want := range []string{"4 cups bread flour", "300 g water", "oil for greasing", "Mix <script>alert(1)</script> all.", "it says “8 servings”"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	if len(page.All("script")) != 1 || len(page.All("x")) != 0 {
		t.Error("markup of the recipe is markup of the page")
	}
	form := page.Form("/breads/import")
	if form.Get("name") != "Harbour <x>rolls</x>" || form.Get("lines[0].grams") == "" {
		t.Errorf("the form holds %v", form)
	}
	form.Set("recipe", openRecipe)
	form.Set("do", "save")
	refused := s.refused("/breads/import", form)
	for _, id := range []string{"pieces", "lines[4].food", "lines[5].use"} {
		if refused.ID(id) == nil || !links(refused, id) {
			t.Errorf("nobody asks for %s", id)
		}
	}
	form = refused.Form("/breads/import")
	for k, v := range map[string]string{"recipe": openRecipe, "do": "save", "name": "Harbour rolls", "pieces": "12", "lines[0].grams": "500", "lines[4].food": "own-apart", "lines[5].use": "out"} {
		form.Set(k, v)
	}
	if got := s.sent("/breads/import", form).Text(nil); !strings.Contains(got, "Harbour rolls is saved") {
		t.Errorf("afterwards: %.200s", got)
	}
	b, err := s.store.Bread(t.Context(), "harbour-rolls")
	if err != nil {
		t.Fatal(err)
	}
	var percents []string
	for _, in := range b.Formula.Ingredients {
		percents = append(percents, fmt.Sprintf("%s %g", orOwn(in), float64(in.Percent)))
	}
	// 100 x weight / flour, by hand
	if got := strings.Join(percents, ", "); got != "bread-flour 100, water 60, salt 2, instant-yeast 1.4, zanzig-seed 4" {
		t.Errorf("formula %s", got)
	}
	if b.Piece != 70 { // 837 g in 12
		t.Errorf("a piece weighs %v", b.Piece)
	}
}

func orOwn(in dough.Ingredient) string {
	if in.Own != nil {
		return in.Own.ID
	}
	return in.Food
}

func links(p *webtest.Page, field string) bool {
	for _, a := range p.All("a") {
		if webtest.Attr(a, "href") == "#"+field {
			return true
		}
	}
	return false
}

// A recipe without questions becomes a bread, also from a file, and comes out
// again as one that can be read.
func TestRecipeInAndOut(t *testing.T) {
	s := example(t)
	w := s.upload("/breads/import", "file", []byte(plainRecipe), url.Values{"do": {"read"}, "recipe": {"not this"}})
	if got := webtest.Parse(t, w.Body).Text(nil); w.Code != http.StatusOK || !strings.Contains(got, "1000 g bread flour") {
		t.Fatalf("%d %s", w.Code, got)
	}
	s.sent("/breads/import", pasted(plainRecipe, "save"))
	s.sent("/breads/import", pasted(plainRecipe, "save")) // twice: two breads
	w = s.get("/breads/pier-loaf-2/recipe.json?pieces=3")
	if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "application/ld+json" {
		t.Fatalf("%d %v", w.Code, w.Header())
	}
	var doc map[string]any
	if err := json.Unmarshal(w.Body.Bytes(), &doc); err != nil || doc["@type"] != "Recipe" || doc["name"] != "Pier loaf" {
		t.Errorf("%v %v", doc, err)
	}
	d, err := recipe.Read(w.Body.Bytes(), nil, 0)
	if err != nil || len(d.Questions()) != 0 || d.Pieces != 3 {
		t.Fatalf("%+v %v", d, err)
	}
	if total := d.Lines[0].Low; total != 1500 {
		t.Errorf("flour for three %v, want 1500 g", total)
	}
	for _, id := range []string{"slipway", "none"} {
		if w := s.get("/breads/" + id + "/recipe.json"); (w.Code == http.StatusOK) != (id == "slipway") {
			t.Errorf("%s: %d", id, w.Code)
		}
	}
}

// What cannot be read, or is no answer, is said beside the field, and what was
// typed stays.
// Where there are several recipes any can be chosen; what was answered for another is
// not taken for it, and nothing is saved before it was seen.
func TestSeveralRecipes(t *testing.T) {
	t.Parallel()
	s := example(t)
	two := `<html><script type="application/ld+json">[` + strings.ReplaceAll(openRecipe, "script>", "x>") + "," + plainRecipe + "]</script></html>"
	form := webtest.Parse(t, s.post("/breads/import", pasted(two, "read")).Body).Form("/breads/import")
	if form.Get("name") != "Harbour <x>rolls</x>" || form.Get("which") != "0" {
		t.Errorf("the first is shown as %v", form)
	}
	form.Set("name", "Another name")
	form.Set("lines[0].grams", "999")
	form.Set("which", "1")
	form.Set("do", "save")
	w := s.post("/breads/import", form)
	form = webtest.Parse(t, w.Body).Form("/breads/import")
	if w.Code != http.StatusOK || form.Get("name") != "Pier loaf" || form.Get("pieces") != "2" {
		t.Errorf("the second, with status %d, is shown as %v", w.Code, form)
	}
	form.Set("do", "save")
	s.sent("/breads/import", form)
	if b, err := s.store.Bread(t.Context(), "pier-loaf"); err != nil || b.Formula.Ingredients[1].Percent != 65 {
		t.Errorf("%+v, %v", b, err)
	}
}

func TestBadRecipes(t *testing.T) {
	s := example(t)
	with := func(k, v string) url.Values { f := pasted(plainRecipe, "save"); f.Set(k, v); return f }
	for name, tt := range map[string]struct {
		form url.Values
		want string
	}{
		"nothing":        {pasted("  ", "read"), "There is nothing to read"},
		"not JSON":       {pasted("flour, water", "read"), "This is not JSON-LD"},
		"web page":       {pasted("<html><script>alert(1)</script>", "read"), "This is a web page"},
		"no recipe":      {pasted(`{"@type":"Person"}`, "read"), "There is no recipe in it"},
		"deep":           {pasted(strings.Repeat("[", 1e5), "read"), "more than 32 deep"},
		"no flour":       {pasted(`{"@type":"Recipe","name":"x","recipeYield":"2 loaves","recipeIngredient":["10 g salt"]}`, "save"), "There is no flour in it"},
		"no ingredients": {pasted(`{"@type":"Recipe","name":"x","recipeYield":"2 loaves"}`, "save"), "There is no flour in it"},
		"pieces":         {with("pieces", "-3"), "“-3” pieces cannot be"},
		"many pieces":    {with("pieces", "99999999999999999999"), "is not a whole number"},
		"grams":          {with("lines[0].grams", "1e9"), "is not a number"},
		"no grams":       {with("lines[0].grams", "0"), "“0” g cannot be"},
		"too heavy":      {with("lines[0].grams", "999999999"), "g cannot be"},
		"food":           {with("lines[0].food", "<script>alert(1)</script>"), "“<script>alert(1)</script>” is none of the foods"},
		"name":           {with("name", strings.Repeat("x", 201)), "The name is too long"},
	} {
		page := s.refused("/breads/import", tt.form)
		if got := page.Text(nil); !strings.Contains(got, tt.want) {
			t.Errorf("%s: %.400s does not say %q", name, got, tt.want)
		}
		if len(page.All("script")) != 1 {
			t.Errorf("%s: markup typed is markup of the page", name)
		}
		if area := page.ID("recipe"); page.Text(area) != strings.Join(strings.Fields(tt.form.Get("recipe")), " ") {
			t.Errorf("%s: what was pasted is lost", name)
		}
	}
	before, _ := s.store.Breads(t.Context())
	if w := s.upload("/breads/import", "file", make([]byte, 2<<20), nil); w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("2 MiB: %d", w.Code)
	}
	if after, _ := s.store.Breads(t.Context()); len(after) != len(before) || len(after) == 0 {
		t.Error("a bread was made of something that is none")
	}
}

// The form of something new goes to where something new is saved.
func TestNewForms(t *testing.T) {
	s := example(t)
	s.page("/breads/new").Form("/breads/new")
	s.page("/bases/new").Form("/bases/new")
}

// What the baker has called an ingredient of their own is known in a recipe, by
// that name and with its composition; the bread refers to it.
func TestImportKnowsOwnFoods(t *testing.T) {
	t.Parallel()
	s := example(t)
	for _, f := range []dough.Food{
		{ID: "mill-flour", Name: "Quay mill flour", Role: dough.Flour, Water: 13, Protein: 11},
		{ID: "flour", Name: "Flour", Role: dough.Flour, Water: 13, Protein: 12}, // else asked: which flour
	} {
		if err := s.store.SaveFood(t.Context(), f); err != nil {
			t.Fatal(err)
		}
	}
	text := strings.NewReplacer("Pier loaf", "Quay loaf", "1000 g bread flour", `750 g quay mill flour","250 g flour`).Replace(plainRecipe)
	s.sent("/breads/import", pasted(text, "save"))
	b, err := s.store.Bread(t.Context(), "quay-loaf")
	if err != nil {
		t.Fatal(err)
	}
	want := []dough.Ingredient{{Food: "mill-flour", Percent: 75}, {Food: "flour", Percent: 25}, {Food: "water", Percent: 65}, {Food: "salt", Name: "salt", Percent: 2}, {Food: "instant-yeast", Percent: 1}}
	if diff := cmp.Diff(want, b.Formula.Ingredients); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	var doc struct {
		Ingredients []string `json:"recipeIngredient"`
	}
	if err := json.Unmarshal(s.get("/breads/quay-loaf/recipe.json").Body.Bytes(), &doc); err != nil || !strings.Contains(doc.Ingredients[0], "Quay mill flour") {
		t.Errorf("written as %q, %v", doc.Ingredients, err)
	}
	unknown := s.refused("/breads/import", pasted(strings.Replace(text, "quay mill", "zanzig", 1), "save")).Text(nil)
	if !strings.Contains(unknown, "choose what it is") || !strings.Contains(unknown, "Quay mill flour") {
		t.Error("an own food cannot be chosen for a line that is not understood")
	}
}
