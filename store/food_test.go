package store_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/dough"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

func sampleFoods() dough.Library {
	return dough.Library{
		{ID: "bread-flour", Name: "Mill flour", Role: dough.Flour, Water: 14, Fat: 1.5, Protein: 13, Measures: []dough.Measure{{Name: "cup", Grams: 130}}, Allergens: []dough.Allergen{dough.AllergenWheat}},
		{ID: "seed-mix", Name: "Seed mix", Role: dough.Inclusion, Fat: 40, Protein: 20, Note: "from the co-op", Check: []dough.Allergen{dough.AllergenSesame}},
	}
}

// Own foods come back as they were, are what a day is planned from, and go
// without a trace unless something needs them.
func TestFoods(t *testing.T) {
	s := storetest.Open(t)
	ctx := t.Context()
	for _, f := range sampleFoods() {
		if err := s.SaveFood(ctx, f); err != nil {
			t.Fatal(err)
		}
	}
	got, err := s.Foods(ctx)
	if d := cmp.Diff(sampleFoods(), got); d != "" || err != nil {
		t.Fatal(d, err)
	}
	day := sampleDay()
	day.Breads[1].Formula.Ingredients = append(day.Breads[1].Formula.Ingredients, dough.Ingredient{Food: "seed-mix", Percent: 10})
	id, err := s.ImportDay(ctx, day)
	if err != nil {
		t.Fatal(err)
	}
	d, err := s.Day(ctx, id, clock(t, "04:00"))
	if err != nil {
		t.Fatal(err)
	}
	loaf, _ := d.Bread("loaf")
	for i, want := range map[int]*dough.Food{0: &sampleFoods()[0], 1: nil, 2: &sampleFoods()[1]} {
		if diff := cmp.Diff(want, loaf.Formula.Ingredients[i].Own); diff != "" {
			t.Errorf("ingredient %d: %s", i, diff)
		}
	}
	if b, err := s.Bread(ctx, "loaf"); err != nil || b.Formula.Ingredients[0].Own != nil {
		t.Errorf("the bread itself was changed: %+v, %v", b.Formula, err)
	}
	if err := s.DeleteFood(ctx, "seed-mix"); !errors.Is(err, record.ErrInUse) || !strings.Contains(err.Error(), "Bread loaf") {
		t.Errorf("a food in use: %v", err)
	}
	users := func() [2][]string {
		return [2][]string{must(s.FoodUsers(ctx, "seed-mix", false))(t), must(s.FoodUsers(ctx, "seed-mix", true))(t)}
	}
	if diff := cmp.Diff([2][]string{{"Bread loaf"}, nil}, users()); diff != "" {
		t.Errorf("what the food is in, now and before: %s", diff)
	}
	if err := s.DeleteBread(ctx, "loaf", clock(t, "04:00").AddDate(0, 0, 7)); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([2][]string{nil, {"Bread loaf"}}, users()); diff != "" {
		t.Errorf("what the food is in, now and before, the bread deleted: %s", diff)
	}
	if err := s.DeleteFood(ctx, "seed-mix"); !errors.Is(err, record.ErrInUse) || !strings.Contains(err.Error(), "Bread loaf, deleted since; delete the days") {
		t.Errorf("a food that a day's deleted bread is made of: %v", err)
	}
	if err := s.DeleteFood(ctx, "bread-flour"); err != nil {
		t.Error(err)
	}
	if d, err = s.Day(ctx, id, clock(t, "04:00")); err != nil || d.Breads[0].Formula.Ingredients[0].Own != nil {
		t.Errorf("the correction still holds: %v", err)
	}
	if err := s.DeleteFood(ctx, "moon-dust"); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("a food that is not there: %v", err)
	}
	if err := s.SaveFood(ctx, dough.Food{Name: "nameless"}); !errors.Is(err, record.ErrInvalid) {
		t.Errorf("a food without an ID: %v", err)
	}
}
