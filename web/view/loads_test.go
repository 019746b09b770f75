package view_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"ovenward/schedule"
	"ovenward/web/view"
	"ovenward/web/webtest"
)

// The loads of a kitchen that tells its decks apart say what goes on which, as the
// plan has it, and the drawing has a block for each deck that a bake lies on.
func TestDecksInWordsAndDrawing(t *testing.T) {
	t.Parallel()
	m, ok := days(t)["tins-and-trays.json"]
	if !ok {
		t.Fatal("no such day")
	}
	var b bytes.Buffer
	if err := view.SheetPage(view.Page{Title: "t", Day: &view.DayHead{ID: 1}, Now: m.Now}, m, view.Bench{}).Render(t.Context(), &b); err != nil {
		t.Fatal(err)
	}
	p := webtest.Parse(t, &b)
	loads := strings.ReplaceAll(p.Text(p.Class("sheet")[1]), "\u00a0", " ")
	for _, want := range []string{"Deck oven; deck 1: 8 × Large tin, deck 2: 2 × Large tin", "Deck oven; deck 2: 4 × Half tin", "Deck oven; deck 2: 1 × Long tray"} {
		if !strings.Contains(loads, want) {
			t.Errorf("the loads do not say %q: %s", want, loads)
		}
	}
	for _, k := range m.Plan.Tasks {
		if k.Kind == schedule.Bake && len(k.Decks) > 1 {
			m.Now = k.Start
		}
	}
	now, _ := view.Cards(&m)
	load := slices.IndexFunc(now, func(c view.Card) bool { return c.Title == "Load" })
	if load < 0 || !strings.HasSuffix(strings.ReplaceAll(now[load].Much, "\u00a0", " "), "; deck 1: 8 × Large tin, deck 2: 2 × Large tin") {
		t.Errorf("what to do next does not say which deck: %+v", now)
	}
	lies := 0
	for _, k := range m.Plan.Tasks {
		if k.Kind == schedule.Bake {
			lies += len(k.Decks)
		}
	}
	page := drawn(t, m)
	blocks := 0
	for _, n := range page.Class("block") {
		if strings.Contains(webtest.Attr(n, "class"), "f-heat") {
			blocks++
		}
	}
	if struck := len(page.Class("clash")); lies < 5 || blocks != 2*lies || struck > 0 { // for a desk and for a hand
		t.Errorf("%d blocks for %d decks lain on, %d struck", blocks, lies, struck)
	}
}
