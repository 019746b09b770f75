package web_test

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"ovenward/schedule/dough"
	"ovenward/web/webtest"
)

// A correction counts at once in totals and plans, what is built in stays to be
// seen, and comes back.
func TestCorrectFood(t *testing.T) {
	t.Parallel()
	s := example(t)
	line := url.Values{"formula.ingredients[0].food": {"bread-flour"}, "formula.ingredients[0].percent": {"2 cups"}}
	tally := func() string {
		p := webtest.Parse(t, s.post("/tally", line).Body)
		return strings.ReplaceAll(p.Text(nil), "\u00a0", " ")
	}
	if got := tally(); !strings.Contains(got, "cup = 137 g") {
		t.Fatalf("built in: %s", got)
	}
	v := s.page("/foods/bread-flour").Form("/foods/bread-flour")
	v.Set("measures[0].grams", "125")
	v.Set("allergens", "wheat, lupin")
	p := s.sent("/foods/bread-flour", v)
	text := strings.ReplaceAll(p.Text(nil), "\u00a0", " ")
	for _, want := range []string{"bread flour is saved.", "Cup 137 g", "Yours counts instead", "Milk dough", "record 20083"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
	if got := tally(); !strings.Contains(got, "cup = 125 g") || !strings.Contains(got, "lupin") {
		t.Errorf("corrected: %s", got)
	}
	if got := s.page("/breads").Text(nil); !strings.Contains(got, "lupin") {
		t.Error("the list of breads does not know")
	}
	if got := s.page("/days/1/sheet").Text(nil); !strings.Contains(got, "lupin") {
		t.Error("the bench sheet does not know after planning again")
	}
	s.sent("/foods/bread-flour/reset", url.Values{})
	if got := tally(); !strings.Contains(got, "cup = 137 g") || strings.Contains(got, "lupin") {
		t.Errorf("taken back: %s", got)
	}
}

// Ingredients whose names have no Latin letter are kept side by side.
func TestFoodsOfAnotherScript(t *testing.T) {
	t.Parallel()
	s := example(t)
	names := []string{"Ржаная мука", "Солод", "麦芽"}
	for _, name := range names {
		v := s.page("/foods/new").Form("/foods/new")
		for k, x := range map[string]string{"name": name, "role": "inclusion", "allergens": "barley"} {
			v.Set(k, x)
		}
		s.sent("/foods/new", v)
	}
	text := s.page("/foods").Text(nil)
	for _, name := range names {
		if !strings.Contains(text, name) {
			t.Errorf("no %q in the list", name)
		}
	}
}

// An ingredient of the baker's own can be used by its name, and not deleted while
// it is.
func TestOwnFood(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/foods/new").Form("/foods/new")
	for k, x := range map[string]string{"name": "Malted flakes", "role": "inclusion", "water": "8", "fat": "2,5", "sugar": "4", "protein": "11", "allergens": "wheat, barley", "density": "0.4"} {
		v.Set(k, x)
	}
	s.sent("/foods/new", v)
	l, err := s.store.Foods(t.Context())
	if f, ok := l.Own("malted-flakes"); !ok || err != nil || f.Fat != 2.5 || len(f.Allergens) != 2 || f.Role != dough.Inclusion {
		t.Fatalf("%+v, %v", l, err)
	}
	at := "/bases/milk-dough"
	v = s.page(at).Form(at)
	n := 0
	for v.Has(fmt.Sprintf("formula.ingredients[%d].food", n)) {
		n++
	}
	v.Set(fmt.Sprintf("formula.ingredients[%d].food", n), "malted FLAKES")
	v.Set(fmt.Sprintf("formula.ingredients[%d].percent", n), "1 cup")
	v.Set("formula.flour", "1000")
	p := s.sent(at, v)
	b, err := s.store.Base(t.Context(), "milk-dough")
	in := b.Formula.Ingredients[n]
	if err != nil || in.Food != "malted-flakes" || in.Own != nil || in.Percent < 9.4 || in.Percent > 9.5 { // 236.6 ml x 0.4 g/ml
		t.Errorf("kept as %+v, %v", in, err)
	}
	if text := p.Text(p.ID("tally")); !strings.Contains(text, "barley") || strings.Contains(text, "Nothing is known") {
		t.Errorf("it says %s", text)
	}
	w := s.post("/foods/malted-flakes/reset", url.Values{})
	if w.Code != 409 || !strings.Contains(w.Body.String(), "Milk") {
		t.Errorf("deleted while in use: %d", w.Code)
	}
}

// Bad compositions: what is wrong, where, how to mend it; what was typed stays.
func TestBadFood(t *testing.T) {
	t.Parallel()
	s := example(t)
	for _, c := range []struct{ at, field, typed, want string }{
		{"/foods/butter", "water", "180", "180 g in 100 g cannot be; give 0 to 100."},
		{"/foods/butter", "fat", "lots", "“lots” is not a number; write it like 62.5."},
		{"/foods/butter", "protein", "60", "come to"},
		{"/foods/butter", "density", "11", "11 g/ml cannot be; give 0.05 to 2.5, or leave it empty."},
		{"/foods/butter", "measures[0].grams", "", "A measure does not weigh 0 g; weigh it, or remove it."},
		{"/foods/butter", "measures[0].name", "", "The measure has no name; give it one, such as cup, or remove it."},
		{"/foods/butter", "allergens", "gluten", `"gluten" is no allergen of the lists; choose from the list.`},
		{"/foods/butter", "name", "", "The ingredient has no name"},
		{"/foods/new", "name", "Butter, unsalted", "There is an ingredient of this name already"},
		{"/foods/fresh-yeast", "yeast", "", "The kind of yeast is not given"},
	} {
		v := s.page(c.at).Form(c.at)
		v.Set(c.field, c.typed)
		p := s.refused(c.at, v)
		if got := strings.ReplaceAll(p.Text(p.Class("problem")[0]), "\u00a0", " "); !strings.Contains(got, c.want) {
			t.Errorf("%s %q says %q, want %q", c.field, c.typed, got, c.want)
		}
		if got := p.Form(c.at).Get(c.field); got != c.typed {
			t.Errorf("%s: typed %q, now %q", c.field, c.typed, got)
		}
	}
	if l, _ := s.store.Foods(t.Context()); len(l) != 0 {
		t.Errorf("something was kept: %+v", l)
	}
	if w := s.get("/foods/moon-dust"); w.Code != 404 {
		t.Errorf("what is not there: %d", w.Code)
	}
}
