package web_test

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"ovenward/store/record"
	"ovenward/web/webtest"
)

// crowded is the example with many breads and days.
func crowded(t *testing.T) *site {
	s := example(t)
	b, err := s.store.Bread(t.Context(), "slipway")
	if err != nil {
		t.Fatal(err)
	}
	for i := range 70 {
		b.ID, b.Name = fmt.Sprintf("rye-%d", i), fmt.Sprintf("Rye %02d", i)
		if i == 69 {
			b.Name = "Rye 01" // a namesake
		}
		if err := s.store.SaveBread(t.Context(), b); err != nil {
			t.Fatal(err)
		}
		d := record.Day{Name: fmt.Sprintf("Market %02d", i), Date: "2026-10-01", Zone: "Europe/Dublin"}
		if _, err := s.store.CreateDay(t.Context(), d); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

func names(p *webtest.Page) (out []string) {
	for _, n := range p.All("a") {
		if webtest.Attr(n, "class") == "dayname" {
			out = append(out, p.Text(n))
		}
	}
	return out
}

func TestLongLists(t *testing.T) {
	t.Parallel()
	s := crowded(t)
	for path, want := range map[string]struct {
		n     int
		first string
		says  string
	}{
		"/breads":                               {51, "Currant bun", "1 to 50 of 75"},
		"/breads?from=50":                       {26, "Rye 45", "51 to 75 of 75"},
		"/breads?q=rye+0":                       {12, "Rye 00", "1 to 11 of 11 with “rye 0”"},
		"/breads?q=%3Cscript%3E":                {1, "Milk dough", "Nothing here is called “<script>”"},
		"/breads?from=-3":                       {51, "Currant bun", "1 to 50 of 75"},
		"/breads?from=999":                      {1, "Milk dough", "There are only 75."},
		"/breads?q=" + strings.Repeat("x", 500): {51, "Currant bun", "1 to 50 of 75"},
		"/days":                                 {50, "A morning at the Slipway tearoom", "1 to 50 of 71"},
		"/days?from=50&q=market":                {20, "Market 19", "51 to 70 of 70 with “market”"},
	} {
		p := s.page(path)
		if got := names(p); len(got) != want.n || got[0] != want.first || !strings.Contains(p.Text(nil), want.says) {
			t.Errorf("%s: %d, %q..., want %+v", path, len(got), got[:min(1, len(got))], want)
		}
	}
	next := slices.IndexFunc(s.page("/days?q=market").All("a"), func(a *html.Node) bool {
		return webtest.Attr(a, "rel") == "next" && webtest.Attr(a, "href") == "/days?from=50&q=market"
	})
	if next < 0 {
		t.Error("no way to the next page")
	}
	if p := example(t).page("/breads"); strings.Contains(p.Text(nil), "Find") {
		t.Error("a short list has a search")
	}
}

// Where breads are many their names are typed; what is typed finds its bread, and
// a namesake is not taken for another.
func TestBreadByName(t *testing.T) {
	t.Parallel()
	s := crowded(t)
	form := s.page("/days/1/plan").Form("/days/1/plan")
	if got := form.Get("orders[0].bread"); got != "Plain bun" {
		t.Errorf("the field has %q", got)
	}
	form.Set("orders[0].bread", " Rye 07 ")
	form.Set("orders[1].bread", "rye-69")
	form.Set("do", "add orders") // the form again
	w := s.post("/days/1/plan", form)
	again := webtest.Parse(t, w.Body).Form("/days/1/plan")
	if a, b := again.Get("orders[0].bread"), again.Get("orders[1].bread"); a != "Rye 07" || b != "rye-69" {
		t.Errorf("shown again: %q, %q", a, b)
	}
	form.Del("do")
	form.Set("orders[1].bread", "Rye 99")
	p := s.refused("/days/1/plan", form)
	if s := p.Text(nil); !strings.Contains(s, "No bread is chosen") {
		t.Error(s)
	}
	if got := p.Form("/days/1/plan").Get("orders[1].bread"); got != "Rye 99" {
		t.Errorf("what was typed is %q now", got)
	}
	if w := s.post("/days/1/slip", url.Values{"do": {"order-add"}, "new.bread": {"Rye 07"}, "new.pieces": {"2"}, "new.at": {"2026-11-28T13:00"}, "version": {"1"}, "key": {"k"}}); w.Code != 303 {
		t.Errorf("an order by name: %d %s", w.Code, webtest.Parse(t, w.Body).Text(nil))
	}
}
