package web_test

import (
	"slices"
	"strings"
	"testing"

	"ovenward/schedule/dough"
	"ovenward/web/webtest"
)

// A baker sees and types names; what is kept is what the foods are kept under.
// A name that may be several foods is asked about, one that is none too, with
// those like it as buttons; nothing is guessed, and what is typed stays.
func TestFoodsByName(t *testing.T) {
	t.Parallel()
	s := example(t)
	own := dough.Food{ID: "quay-mill-flour", Name: "Quay mill flour", Role: dough.Flour, Water: 14, Protein: 11}
	if err := s.store.SaveFood(t.Context(), own); err != nil {
		t.Fatal(err)
	}
	const at = "/breads/new"
	v := formula(s.page(at).Form(at), "600 g|Strong white flour", "400 g|Quay Mill Flour", "650 g|water", "20 g|fine sea salt", "9 g|Instant dry yeast", "50 g|butter")
	v.Set("name", "Named")
	v.Set("piece_grams", "500")
	for range 7 {
		v.Set("do", "add method")
		v = webtest.Parse(t, s.post(at, v).Body).Form(at)
	}
	v.Del("do")
	p := s.refused(at, v)
	const field = "formula.ingredients[5].food"
	if got := p.Text(p.Class("problem")[0]); !strings.Contains(got, "“butter” may be butter, unsalted or butter, salted; say which.") {
		t.Errorf("asked: %q", got)
	}
	if got := p.Form(at).Get(field); got != "butter" {
		t.Errorf("typed butter, now %q", got)
	}
	if got := answers(p); !slices.Equal(got, []string{"name " + field + " butter, unsalted", "name " + field + " butter, salted"}) {
		t.Errorf("answers %q", got)
	}
	v.Set("do", answers(p)[0])
	v = webtest.Parse(t, s.post(at, v).Body).Form(at)
	v.Del("do")
	s.sent(at, v)
	b, err := s.store.Bread(t.Context(), "named")
	if err != nil {
		t.Fatal(err)
	}
	var kept []string
	for _, in := range b.Formula.Ingredients {
		kept = append(kept, in.Food)
	}
	if want := []string{"bread-flour", "quay-mill-flour", "water", "salt", "instant-yeast", "butter"}; !slices.Equal(kept, want) {
		t.Errorf("kept %q, want %q", kept, want)
	}
	v = s.page("/breads/named").Form("/breads/named")
	var shown []string
	for i := range kept {
		shown = append(shown, v.Get(lineOf(i)))
	}
	if want := []string{"bread flour", "Quay mill flour", "water", "table salt", "instant yeast", "butter, unsalted"}; !slices.Equal(shown, want) {
		t.Errorf("shown %q, want %q", shown, want)
	}
	v.Set(lineOf(0), "bred flour")
	p = s.refused("/breads/named", v)
	if got := p.Text(p.Class("problem")[0]); !strings.Contains(got, "“bred flour” is not known; take bread flour") {
		t.Errorf("asked: %q", got)
	}
	if got := answers(p); len(got) == 0 || got[0] != "name "+lineOf(0)+" bread flour" {
		t.Errorf("answers %q", got)
	}
}

// Every food of the table is shown so that it is saved again as it was.
func TestEveryFoodIsSavedAsItWas(t *testing.T) {
	t.Parallel()
	s := example(t)
	b, err := s.store.Base(t.Context(), "milk-dough")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range dough.Foods() {
		if f.Role != dough.Flour && f.Role != dough.Yeast && f.Role != dough.Salt {
			b.Formula.Ingredients = append(b.Formula.Ingredients, dough.Ingredient{Food: f.ID, Percent: 0.1})
		}
	}
	if err := s.store.SaveBase(t.Context(), b); err != nil {
		t.Fatal(err)
	}
	s.sent("/bases/milk-dough", s.page("/bases/milk-dough").Form("/bases/milk-dough"))
	again, err := s.store.Base(t.Context(), "milk-dough")
	if err != nil {
		t.Fatal(err)
	}
	for i, in := range b.Formula.Ingredients {
		if again.Formula.Ingredients[i].Food != in.Food {
			t.Errorf("%s is now %s", in.Food, again.Formula.Ingredients[i].Food)
		}
	}
}

func lineOf(i int) string { return "formula.ingredients[" + string(rune('0'+i)) + "].food" }

// answers are the buttons beside questions.
func answers(p *webtest.Page) (out []string) {
	for _, n := range p.All("button") {
		if v := webtest.Attr(n, "value"); strings.HasPrefix(v, "name ") {
			out = append(out, v)
		}
	}
	return out
}
