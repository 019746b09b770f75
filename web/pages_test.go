package web_test

import (
	"net/http"
	gopath "path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/go-chi/chi/v5"
	"golang.org/x/net/html"

	"ovenward/web"
	"ovenward/web/webtest"
)

// paths are all pages of the example, and some of them in another state.
func paths() []string {
	all := []string{"/days/1?zoom=4", "/breads/new?base=milk-dough", "/breads/pan-loaf", "/breads/currant-bun", "/breads/potato-loaf"}
	for _, p := range webtest.Pages() {
		all = append(all, p.Path)
	}
	return all
}

// Every page the router knows is among those that are looked at, or is named here
// with where else it is.
func TestNoPageForgotten(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	router := s.h.(*web.Site).Handler.(*chi.Mux)
	apart := map[string]string{
		"/login":            "TestStatesOfTheDoor",
		"/standing/{id}":    "TestStatesOfStanding",
		"/days/{day}/calls": "a piece of every page",
	}
	looked := map[string]bool{}
	for _, path := range paths() {
		at, _, _ := strings.Cut(path, "?")
		looked[router.Find(chi.NewRouteContext(), http.MethodGet, at)] = true
	}
	for _, r := range s.routes(http.MethodGet) {
		if looked[r.pattern] || apart[r.pattern] != "" {
			continue
		}
		answered := false
		for _, id := range []string{"1", "slipway", "milk-dough", "bread-flour"} {
			w := here(s, http.MethodGet, r.with(id), nil)
			if answered = answered || w.Code < 400; w.Code == http.StatusOK && strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
				t.Errorf("nobody looks at %s", r.pattern)
				break
			}
		}
		if !answered && r.pattern != "/feed/{secret}" && r.pattern != "/static/*" {
			t.Errorf("nobody knows whether %s is a page", r.pattern)
		}
	}
}

// Budgets of the project, for every page as it is sent, before compression: HTML
// at most 60 kB, script at most 30 kB, style at most 20 kB, all that it loads at
// most 150 kB. A manifest and an icon are no style, but are loaded.
func TestBudgets(t *testing.T) {
	t.Parallel()
	s := example(t)
	for _, path := range paths() {
		html := s.get(path).Body.Len()
		loads := map[string]int{}
		for _, n := range s.page(path).All("") {
			for _, a := range []string{"src", "href"} {
				if v := webtest.Attr(n, a); (n.Data == "link" || n.Data == "script") && v != "" {
					weigh(s, v, loads)
				}
			}
		}
		js, css, all := 0, 0, html
		for at, n := range loads {
			all += n
			switch at, _, _ = strings.Cut(at, "?"); gopath.Ext(at) {
			case ".js":
				js += n
			case ".css":
				css += n
			}
		}
		if html > 60_000 || js > 30_000 || css > 20_000 || all > 150_000 {
			t.Errorf("%s: %d bytes of HTML, %d of script, %d of style, %d in all", path, html, js, css, all)
		}
		if js < 10_000 || css < 8_000 {
			t.Errorf("%s: only %d bytes of script and %d of style were found", path, js, css)
		}
	}
}

var imports = regexp.MustCompile(`(?m)^import .* from '\./(.*)';$`)

// weigh notes what an address and the modules it imports are long.
func weigh(s *site, at string, loads map[string]int) {
	if _, known := loads[at]; known {
		return
	}
	body := s.get(at).Body.String()
	loads[at] = len(body)
	if gopath.Ext(at) == ".js" {
		for _, m := range imports.FindAllStringSubmatch(body, -1) {
			weigh(s, gopath.Dir(at)+"/"+m[1], loads)
		}
	}
}

// Structure that assistive technology stands on (WCAG 2.2: 1.3.1, 2.4.1, 2.4.2,
// 3.1.1, 4.1.2), and nothing the content policy would block.
func TestStructure(t *testing.T) {
	t.Parallel()
	s, titles := example(t), map[string]string{}
	for _, path := range paths() {
		t.Run(path, func(t *testing.T) {
			p := s.page(path)
			if n := len(p.All("h1")); n != 1 {
				t.Errorf("%d headings of the first level", n)
			}
			if n := len(p.All("main")); n != 1 {
				t.Errorf("%d main elements", n)
			}
			if webtest.Attr(p.All("html")[0], "lang") != "en" || p.Text(p.All("title")[0]) == "" {
				t.Error("no language or title")
			}
			title := p.Text(p.All("title")[0])
			if at, _, _ := strings.Cut(path, "?"); titles[title] != "" && titles[title] != at {
				t.Errorf("%q is the title of %s, too", title, titles[title])
			} else {
				titles[title] = at
			}
			levels(t, p)
			unique(t, p)
			labelled(t, p)
			inline(t, p)
		})
	}
}

// levels wants no heading to skip a level: who goes from one to the next would look
// for what is between.
func levels(t *testing.T, p *webtest.Page) {
	t.Helper()
	before := 0
	for _, n := range p.All("") {
		if len(n.Data) != 2 || n.Data[0] != 'h' || n.Data[1] < '1' || n.Data[1] > '6' {
			continue
		}
		if level := int(n.Data[1] - '0'); level > before+1 {
			t.Errorf("%q is a heading of level %d after one of level %d", p.Text(n), level, before)
		} else {
			before = level
		}
	}
}

func unique(t *testing.T, p *webtest.Page) {
	t.Helper()
	seen := map[string]bool{}
	for _, n := range p.All("") {
		id := webtest.Attr(n, "id")
		if id != "" && seen[id] {
			t.Errorf("id %q twice", id)
		}
		seen[id] = true
	}
	for _, n := range p.All("a") {
		if to, ok := strings.CutPrefix(webtest.Attr(n, "href"), "#"); ok && !seen[to] {
			t.Errorf("link to #%s leads nowhere", to)
		}
	}
	for _, n := range p.All("") {
		for _, a := range []string{"aria-describedby", "aria-labelledby", "list"} {
			for _, id := range strings.Fields(webtest.Attr(n, a)) {
				if !seen[id] {
					t.Errorf("%s of %s names %q, which is not there", a, n.Data, id)
				}
			}
		}
	}
}

func labelled(t *testing.T, p *webtest.Page) {
	t.Helper()
	var labels []string
	for _, l := range p.All("label") {
		labels = append(labels, webtest.Attr(l, "for"))
	}
	for _, tag := range []string{"input", "select"} {
		for _, n := range p.All(tag) {
			in := n.Parent != nil && n.Parent.Data == "label"
			if webtest.Attr(n, "type") != "hidden" && !in && !slices.Contains(labels, webtest.Attr(n, "id")) {
				t.Errorf("%s %q has no label", tag, webtest.Attr(n, "name"))
			}
		}
	}
	for _, b := range p.All("button") {
		if p.Text(b) == "" {
			t.Errorf("button %q says nothing", webtest.Attr(b, "value"))
		}
	}
}

func inline(t *testing.T, p *webtest.Page) {
	t.Helper()
	for _, n := range p.All("") {
		for _, a := range n.Attr {
			if a.Key == "style" || strings.HasPrefix(a.Key, "on") || strings.HasPrefix(a.Val, "javascript:") {
				t.Errorf("%s has %s=%q", n.Data, a.Key, a.Val)
			}
			if (a.Key == "src" || a.Key == "href") && strings.Contains(a.Val, "//") {
				t.Errorf("%s leads off this machine: %s", n.Data, a.Val)
			}
		}
		if n.Data == "style" || n.Data == "script" && n.FirstChild != nil {
			t.Errorf("inline %s", n.Data)
		}
	}
}

// The drawing is a picture of the table: every task with hands stands in both.
func TestDrawingAndTableAgree(t *testing.T) {
	t.Parallel()
	s := example(t)
	p := s.page("/days/1")
	plan, err := s.store.Plan(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	rows, shapes := map[string]bool{}, map[string]bool{}
	for _, n := range p.All("tr") {
		rows[webtest.Attr(n, "data-t")] = true
	}
	for _, n := range p.All("path") {
		shapes[webtest.Attr(n, "data-t")] = true
	}
	for _, task := range plan.Plan.Tasks {
		if !rows[task.ID] {
			t.Errorf("%s is not in the table", task.ID)
		}
		if len(task.Hands) > 0 && !shapes[task.ID] {
			t.Errorf("%s is not in the drawing", task.ID)
		}
	}
}

func TestEmptyHouse(t *testing.T) {
	t.Parallel()
	s := empty(t)
	if w := s.get("/"); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/days" {
		t.Errorf("start: %d to %s", w.Code, w.Header().Get("Location"))
	}
	for path, want := range map[string]string{
		"/days":    "No bake is planned. Begin with a date, then say what must be out of the oven, and when.",
		"/breads":  "No breads yet. A bread is a formula, a method and what becomes of the dough.",
		"/kitchen": "Places where dough waits",
	} {
		if got := s.page(path).Text(nil); !strings.Contains(got, want) {
			t.Errorf("%s does not say %q", path, want)
		}
	}
}

func TestErrorPageSaysWhatNext(t *testing.T) {
	t.Parallel()
	s := example(t)
	for path, next := range map[string][2]string{
		"/nowhere": {"choose from the menu", "/"}, "/days/999": {"Choose a day from the list", "/days"}, "/days/x": {"", ""},
		"/breads/none": {"list of breads", "/breads"}, "/bases/none": {"list of breads", "/breads"}, "/standing/none": {"Choose one from the list", "/standing"},
	} {
		w := s.get(path)
		p := webtest.Parse(t, w.Body)
		leads := slices.ContainsFunc(p.Class("button"), func(n *html.Node) bool {
			return p.Text(n) == "Go on" && (next[1] == "" || webtest.Attr(n, "href") == next[1])
		})
		if w.Code != http.StatusNotFound || len(p.All("h1")) != 1 || !strings.Contains(p.Text(nil), next[0]) || !leads {
			t.Errorf("%s: %d %s", path, w.Code, p.Text(nil))
		}
	}
}

func BenchmarkDayPage(b *testing.B) {
	s := example(b)
	s.get("/days/1")
	b.ReportAllocs()
	for b.Loop() {
		if w := s.get("/days/1"); w.Code != http.StatusOK {
			b.Fatal(w.Code)
		}
	}
}
