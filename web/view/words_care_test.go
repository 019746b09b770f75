package view_test

import (
	"strings"
	"testing"

	"ovenward/schedule"
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
	dough := map[string]string{} // of each batch
	for _, b := range p.Plan.Batches {
		dough[b.ID] = b.Dough
	}
	const burn, warm, core, cooling, syrup = "Hot oven", "above 21 °C, 4 h", "68 °C in the core", "from 57 to 21 °C within 2 h and to 5 °C within 6 h", "Hot syrup"
	seen := map[string]bool{}
	for i := range p.Plan.Tasks {
		x := &p.Plan.Tasks[i]
		said := strings.Join(m.Cautions(x), " ")
		egg, cooked := dough[x.Batch] == "milk-dough", dough[x.Batch] == "potato-loaf"
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
