package e2e_test

import (
	"fmt"
	"strings"
	"testing"
)

// An order that stands for every day becomes planned days, the week shows them,
// and from there it is a tap to what must be weighed, bought and taken out.
func TestStandingOrderToTotals(t *testing.T) {
	for _, l := range []look{phone, night, plain} {
		t.Run(l.name, func(t *testing.T) {
			b := open(t, runBakery(t).base, l)
			b.visit("/days")
			b.submit(`a[href="/standing"]`)
			b.submit(`a[href="/standing/new"]`)
			b.choose("bread", "plain-bun")
			b.fill(`[name="pieces"]`, "24")
			b.choose("at", "12:00")
			b.fill(`[name="for"]`, "the café")
			b.allow(422)
			b.submit(`main button.main`)
			if said := b.text("#faults"); !strings.Contains(said, "No weekday is chosen") {
				t.Fatalf("without a weekday it says %q", said)
			}
			for _, day := range []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"} {
				b.click(fmt.Sprintf(`input[name="days"][value=%q]`, day))
			}
			b.submit(`main button.main`)
			main := b.text("main")
			if !strings.Contains(main, "Made and planned:") || !strings.Contains(main, "Every day, out by 12:00, for the café") {
				t.Fatalf("it says\n%s", main)
			}
			b.picture("standing")
			b.submit(`a[href="/week"]`)
			b.submit(`nav[aria-label="Weeks"] a:nth-child(2)`) // one of the two weeks has most of the days
			if n := b.count(`.week a[href$="/totals"]`); n == 0 {
				b.visit("/week")
			}
			b.picture("week")
			if n := b.count(".week tbody"); n != 7 || !strings.Contains(b.text(".week"), "24\u00a0Plain bun") {
				t.Errorf("%d days in\n%s", n, b.text(".week"))
			}
			b.submit(`.week a[href$="/totals"]`)
			b.fill(`[name="allow"]`, "10")
			b.submit(`form[action$="/totals"] button`)
			b.picture("totals")
			main = b.text("main")
			for _, want := range []string{"bread flour", "To buy, 10\u00a0% more", "To take out of the cold", "A Milk dough"} {
				if !strings.Contains(main, want) {
					t.Errorf("%q is not in\n%s", want, main)
				}
			}
		})
	}
}

// choose gives a field of a form a value, as its picker does.
func (b *tab) choose(name, value string) {
	b.Helper()
	if got := evaluate[string](b, fmt.Sprintf(`document.getElementsByName(%q)[0].value = %q; document.getElementsByName(%q)[0].value`, name, value, name)); got != value {
		b.Fatalf("%s is %q", name, got)
	}
}
