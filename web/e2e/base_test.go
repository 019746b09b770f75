package e2e_test

import (
	"fmt"
	"strings"
	"testing"
)

// One base dough is written down, three breads are made from it, all three are
// ordered for one day, and the plan mixes them once.
func TestOneDoughThreeBreads(t *testing.T) {
	for _, l := range []look{phone, night} {
		t.Run(l.name, func(t *testing.T) {
			b := open(t, serve(t), l)
			b.visit("/bases/new")
			b.fill(`[name="name"]`, "Quay dough")
			for i, line := range [][2]string{{"bread flour", "100"}, {"water", "62"}, {"salt", "2"}, {"instant yeast", "0.8"}} {
				if i > 0 {
					b.submit(`button[value="add formula.ingredients"]`)
				}
				b.fill(fmt.Sprintf(`[name="formula.ingredients[%d].food"]`, i), line[0])
				b.fill(fmt.Sprintf(`[name="formula.ingredients[%d].percent"]`, i), line[1])
			}
			b.submit(`button[value="add method"]`) // a rise follows the mix
			b.submit(`form.bench button.main`)
			if said := b.text(".said"); !strings.Contains(said, "Quay dough is saved") {
				t.Fatalf("it says %q in\n%s", said, b.text("main"))
			}
			for _, bread := range [][2]string{{"Quay loaf", "600"}, {"Quay batch", "400"}, {"Quay roll", "90"}} {
				b.breadFrom("quay-dough", bread[0], bread[1])
			}
			b.visit("/days/1/plan")
			for n := b.count(`[name$="].pieces"]`); n > 3; n-- {
				b.submit(fmt.Sprintf(`button[value="del orders %d"]`, n-1))
			}
			for i, id := range []string{"quay-loaf", "quay-batch", "quay-roll"} {
				b.choose(fmt.Sprintf("orders[%d].bread", i), id)
				b.fill(fmt.Sprintf(`[name="orders[%d].pieces"]`, i), "4")
			}
			b.submit("#planform button.main:not([name])")
			if said := b.text(".said"); !strings.Contains(said, "Saved and planned") {
				t.Fatalf("it says %q in\n%s", said, b.text("main"))
			}
			b.visit("/days/1")
			rows := b.texts("#table tbody tr")
			mixes := 0
			for _, r := range rows {
				if strings.Contains(r, "Mix") && strings.Contains(r, "Quay dough") {
					mixes++
				}
			}
			table := strings.Join(rows, "\n")
			for _, want := range []string{"Quay loaf", "Quay batch", "Quay roll"} {
				if !strings.Contains(table, want) {
					t.Errorf("no %s in\n%s", want, table)
				}
			}
			if mixes != 1 {
				t.Errorf("%d mixes of the dough in\n%s", mixes, table)
			}
			b.picture("three-breads")
		})
	}
}

// breadFrom makes a bread of a base dough, from the parting to the cooling rack.
func (b *tab) breadFrom(base, name, grams string) {
	b.Helper()
	b.visit("/breads/new?base=" + base)
	b.fill(`[name="name"]`, name)
	b.fill(`[name="piece_grams"]`, grams)
	evaluate[bool](b, `(document.querySelectorAll("form.bench details").forEach(d => d.open = true), true)`)
	b.choose("method[0].kind", "divide")
	for range 5 { // rest, shape, proof, bake, cool
		b.submit(`button[value="add method"]`)
	}
	b.submit(`form.bench button.main`)
	if said := b.text(".said"); !strings.Contains(said, name+" is saved") {
		b.Fatalf("it says %q in\n%s", said, b.text("main"))
	}
}
