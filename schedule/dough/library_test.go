package dough_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/dough"
)

// The baker's own food goes before the table's, which stays; a formula is made of
// it without being changed.
func TestLibrary(t *testing.T) {
	t.Parallel()
	strong := dough.Food{ID: "bread-flour", Name: "Mill 12", Role: dough.Flour, Water: 14, Protein: 13}
	seeds := dough.Food{ID: "seed-mix", Name: "Seed mix", Role: dough.Inclusion, Fat: 40}
	l := dough.Library{strong, seeds}
	table, _ := dough.Find("bread-flour")
	for what, c := range map[string]struct {
		got  dough.Food
		want dough.Food
	}{
		"corrected": {found(l.Find("bread-flour")), strong},
		"own":       {found(l.Find("seed-mix")), seeds},
		"by name":   {found(l.Named("seed MIX")), seeds},
		"the table": {found(dough.Library(nil).Find("bread-flour")), table},
	} {
		if d := cmp.Diff(c.want, c.got); d != "" {
			t.Errorf("%s: %s", what, d)
		}
	}
	if n := len(l.All()); n != len(dough.Foods())+1 {
		t.Errorf("%d foods", n)
	}
	if _, ok := l.Named("moon dust"); ok {
		t.Error("what nobody knows was found")
	}
	mine := dough.Food{Name: "mine"}
	f := dough.Formula{Ingredients: []dough.Ingredient{{Food: "bread-flour", Percent: 100}, {Food: "seed-mix", Percent: 20}, {Food: "bread-flour", Own: &mine}, {Food: "water", Percent: 60}}}
	dressed := l.Dress(f)
	want := []dough.Ingredient{{Food: "bread-flour", Percent: 100, Own: &strong}, {Food: "seed-mix", Percent: 20, Own: &seeds}, {Food: "bread-flour", Own: &mine}, {Food: "water", Percent: 60}}
	if d := cmp.Diff(want, dressed.Ingredients); d != "" {
		t.Error(d)
	}
	if f.Ingredients[0].Own != nil {
		t.Error("the formula itself was changed")
	}
}

func found(f dough.Food, _ bool) dough.Food { return f }
