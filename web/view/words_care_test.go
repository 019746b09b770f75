package view_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/web/view"
	"ovenward/web/webtest"
)

// Each caution stands where its danger is, and nowhere else: the sections and
// figures are the model food code's (FDA Food Code 2022, 3-401.11(A), 3-501.14(A),
// 3-501.16(A), 3-501.19; 3-401.11 from memory).
func TestCautionsWhereTheyApply(t *testing.T) {
	t.Parallel()
	p, err := webtest.Example()
	if err != nil {
		t.Fatal(err)
	}
	m := &view.Picture{Day: &p.Day, Plan: &p.Plan}
	made := map[string]string{} // the dough of each batch
	for _, b := range p.Plan.Batches {
		made[b.ID] = b.Dough
	}
	const burn, warm, core, cooling, syrup = "Hot oven", "above 21 °C, 4 h", "68 °C in the core", "from 57 to 21 °C within 2 h and to 5 °C within 6 h", "Hot syrup"
	seen := map[string]bool{}
	for i := range p.Plan.Tasks {
		x := &p.Plan.Tasks[i]
		said := strings.Join(m.Cautions(x), " ")
		egg, cooked := made[x.Batch] == "milk-dough", made[x.Batch] == "potato-loaf"
		for words, want := range map[string]bool{
			burn:    x.Kind == schedule.Bake,
			core:    x.Kind == schedule.Bake && egg,
			warm:    x.Kind.Rises() && egg && !x.Chilled,
			cooling: cooked && (x.Kind == schedule.Prepare || x.Part != "" && x.Kind == schedule.Rest),
			syrup:   x.Kind == schedule.Finish,
		} {
			if got := strings.Contains(said, words); got != want {
				t.Errorf("%s, %s: %q said is %v", x.ID, x.Kind, words, got)
			}
			seen[words] = seen[words] || want
		}
		for section, of := range map[string]string{"3-501.19": warm, "3-401.11(A)": core, "3-501.14(A)": cooling} {
			if strings.Contains(said, of) && !strings.Contains(said, "(model food code "+section+")") {
				t.Errorf("%s: %q without its section", x.ID, said)
			}
		}
	}
	if len(seen) != 5 || !seen[syrup] || !seen[cooling] || !seen[core] || !seen[warm] {
		t.Errorf("the example has no task for some: %v", seen)
	}
}

// What a bread adds to a base dough is cared for as what the base has: a custard is
// a cooked filling (3-501.14(A), 3-501.19(B)), and its buns are kept cold.
func TestCautionsOfAdditions(t *testing.T) {
	t.Parallel()
	p, err := webtest.Example()
	if err != nil {
		t.Fatal(err)
	}
	day := p.Day
	day.Breads = slices.Clone(day.Breads)
	for i := range day.Breads {
		if b := &day.Breads[i]; b.ID == "currant-bun" {
			b.Formula.Ingredients = append(slices.Clone(b.Formula.Ingredients), dough.Ingredient{Food: "custard", Percent: 30,
				Own: &dough.Food{Name: "custard", Role: dough.Inclusion, Cooked: true, Allergens: []dough.Allergen{dough.AllergenMilk, dough.AllergenEgg}}})
		}
	}
	m := view.Picture{Day: &day, Plan: &p.Plan, Traces: p.Traces, Now: p.Plan.Tasks[0].Start, Zoom: 1}
	got := map[string]bool{}
	for i := range p.Plan.Tasks {
		if x := &p.Plan.Tasks[i]; x.Kind == schedule.Cool && strings.Contains(strings.Join(m.Cautions(x), " "), "Filled goods after baking: 4 h") {
			got[x.Name] = true
		}
	}
	if diff := cmp.Diff(map[string]bool{"Currant bun": true}, got); diff != "" {
		t.Errorf("filled goods (-want +got):\n%s", diff)
	}
	sheet := sheetOf(t, m, view.Bench{})
	for _, want := range []string{"Filled goods after baking: 4 h", "(model food code 3-501.19(B))", "cool from 57 to 21 °C within 2 h"} {
		if !strings.Contains(sheet, want) {
			t.Errorf("%q is not on the sheet", want)
		}
	}
}

// A dough with egg and milk says how long it is warm, and one that is warm longer
// than the guide of the code (4 h above 21 °C, 6 h above 5 °C; 3-501.19) says so.
// The traces are set by hand: 3 h, then 4 h 10.
func TestWarmthIsReckoned(t *testing.T) {
	t.Parallel()
	p, err := webtest.Example()
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		minutes   int
		want, not string
	}{
		{180, "is reckoned to be above 21 °C for about 3 h and above 5 °C for 3 h before it is baked (model food code 3-501.19).", "longer than the guide"},
		{250, "! A1 Plain bun, with egg or milk, is reckoned to be above 21 °C for about 4 h 10 and above 5 °C for 4 h 10 before it is baked, longer than the guide of 4 h and 6 h", "B1"},
	} {
		m := view.Picture{Day: &p.Day, Plan: &p.Plan, Now: p.Plan.Tasks[0].Start, Zoom: 1}
		for _, b := range []string{"A", "B"} {
			at := p.Plan.Tasks[0].Start
			m.Traces = append(m.Traces, schedule.Trace{Batch: b, Points: []schedule.TracePoint{{At: at, Mean: 26}, {At: at.Add(time.Duration(x.minutes) * time.Minute), Mean: 26}}})
		}
		_, care, _ := strings.Cut(sheetOf(t, m, view.Bench{}), "Oven, trays and steam burn")
		if !strings.Contains(care, x.want) || strings.Contains(care, x.not) {
			t.Errorf("%d min: %s", x.minutes, care)
		}
	}
}
