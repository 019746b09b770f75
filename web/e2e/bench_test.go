package e2e_test

import (
	"fmt"
	"strings"
	"testing"
)

// hands counts what a person does.
type hands struct {
	*tab
	clicks, typed int
}

func (h *hands) press(css string) {
	h.Helper()
	h.clicks++
	h.submit(css)
}

func (h *hands) write(name, text string) {
	h.Helper()
	h.typed++
	h.fill(fmt.Sprintf("[name=%q]", name), text)
}

// From the first start to the first planned day: five questions, a bread, an order.
// At three seconds a click and five a field it is under two minutes.
func TestFirstRunGuide(t *testing.T) {
	walks(t, func(t *testing.T, b *tab) {
		h := &hands{tab: b}
		h.visit("/")
		h.allow(404) // what other screens see of the day that is gone
		h.clicks++   // the page moves while it learns which screens ring
		h.tap(`.example a[href="/guide"]`, `location.pathname === "/guide" && document.readyState === "complete"`)
		h.write("day_celsius", "22")
		h.write("heat_minutes", "20")
		h.write("name", "Ana")
		h.press("main button.main")
		if at := h.where(); !strings.HasPrefix(at, "/guide/bread") {
			t.Fatalf("at %s: %s", at, h.text("main"))
		}
		h.press("main button.main")
		if h.count("svg.lanes path") == 0 || h.count("#table tbody tr") < 8 {
			t.Errorf("no plan: %s", h.text("main"))
		}
		if seconds := 3*h.clicks + 5*h.typed; seconds > 120 || h.clicks > 6 {
			t.Errorf("%d clicks and %d fields, about %d s", h.clicks, h.typed, seconds)
		}
		t.Logf("%d clicks, %d fields", h.clicks, h.typed)
		h.picture("first-day")
	})
}

// A formula typed in cups becomes weights and percents; with a script at once,
// without one at a press of “Check”.
func TestFormulaInCups(t *testing.T) {
	walks(t, func(t *testing.T, b *tab) {
		b.visit("/breads/new")
		lines := [][2]string{{"bread flour", "4 cups"}, {"water", "1 1/2 cups"}, {"salt", "2 tsp"}, {"instant yeast", "2 tsp"}}
		for i, l := range lines {
			if i > 0 {
				b.submit(`button[value="add formula.ingredients"]`)
			}
			b.fill(fmt.Sprintf(`[name="formula.ingredients[%d].food"]`, i), l[0])
			b.fill(fmt.Sprintf(`[name="formula.ingredients[%d].percent"]`, i), l[1])
		}
		if strings.Contains(t.Name(), "no_script") {
			b.submit(`button[value="check"]`)
		} else {
			b.until(`document.querySelector("#tally").innerText.includes("6.2")`)
		}
		said := strings.ReplaceAll(b.text("#tally"), "\u00a0", " ")
		for _, want := range []string{"cup = 137 g", "548 g", "64.87 %", "356 g", "12 g", "6.2 g"} {
			if !strings.Contains(said, want) {
				t.Errorf("no %q in\n%s", want, said)
			}
		}
		b.picture("cups")
		b.fill(`[name="name"]`, "Cup bread")
		b.fill(`[name="piece_grams"]`, "900")
		b.allow(422) // a method of one stage is none yet
		b.submit(`form.bench button.main`)
		if got := evaluateValue(b, "formula.ingredients[0].percent"); got != "4 cups" {
			t.Errorf("what was typed became %q", got)
		}
	})
}
