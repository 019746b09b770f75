package web_test

import (
	"strings"
	"testing"

	"ovenward/web/webtest"
)

// Beside the form stands how the dough as typed would rise; the figures are those
// of the forecast's own page. Nothing is kept.
func TestRibbon(t *testing.T) {
	t.Parallel()
	s := example(t)
	const at = "/breads/slipway"
	page := s.page(at)
	if len(page.ID("ribbon").Attr) == 0 || !strings.Contains(page.Text(page.ID("ribbon")), "Check") {
		t.Error("the page does not say how to get a forecast")
	}
	said := func(v map[string][]string, to string) (string, *webtest.Page) {
		p := webtest.Parse(t, s.post(to, v).Body)
		return p.Text(p.ID("ribbon")), p
	}
	v := page.Form(at)
	live, p := said(v, "/ribbon")
	if len(p.Class("volume")) != 1 || len(p.Class("ready")) == 0 {
		t.Errorf("%d curves, %d ready windows", len(p.Class("volume")), len(p.Class("ready")))
	}
	full := s.page(at + "/forecast")
	for _, cell := range full.All("td") {
		text := full.Text(cell)
		if strings.Contains(text, " to ") && !strings.Contains(live, "("+text+")") {
			t.Errorf("the forecast has the range %q, beside the form stands %s", text, live)
		}
	}
	v.Set("do", "check")
	if checked, _ := said(v, at); checked != live {
		t.Errorf("“Check” says %s, while typing %s", checked, live)
	}
	v.Set("do", "")
	before := live
	v.Set("method[0].kind", v.Get("method[0].kind"))
	for k := range v {
		if strings.HasSuffix(k, ".dough_celsius") && v.Get(k) != "" {
			v.Set(k, "30")
		}
	}
	if warm, _ := said(v, "/ribbon"); warm == before || !strings.Contains(warm, "ready after") {
		t.Errorf("a dough at 30 °C rises as before: %s", warm)
	}
	if again := s.page(at).Form(at); again.Encode() != page.Form(at).Encode() {
		t.Error("asking has changed the bread")
	}
}

// What stops the forecast is named, with the way to its field.
func TestRibbonStops(t *testing.T) {
	t.Parallel()
	s := example(t)
	const at = "/breads/pan-loaf"
	for _, c := range []struct{ field, typed, want string }{
		{"method[2].least_minutes", "long", "“long” is not a number"},
		{"piece_grams", "", "A piece does not weigh 0 g"},
		{"method[5].kind", "cool", "does not belong"},
		{"base", "gone", "base"},
	} {
		v := s.page(at).Form(at)
		v.Set(c.field, c.typed)
		p := webtest.Parse(t, s.post("/ribbon", v).Body)
		text := strings.ReplaceAll(p.Text(p.ID("ribbon")), "\u00a0", " ")
		if !strings.Contains(text, "No forecast yet") || !strings.Contains(text, c.want) || len(p.All("svg")) != 0 {
			t.Errorf("%s %q: %s", c.field, c.typed, text)
		}
		if links := p.All("a"); len(links) != 1 || !strings.HasPrefix(webtest.Attr(links[0], "href"), "#") {
			t.Errorf("%s: no way to the field", c.field)
		}
	}
	// A new bread without a name yet is forecast like any other.
	v := s.page(at).Form(at)
	v.Set("id", "")
	v.Set("name", "")
	if p := webtest.Parse(t, s.post("/ribbon", v).Body); len(p.Class("volume")) != 1 {
		t.Errorf("a new bread: %s", p.Text(p.ID("ribbon")))
	}
}
