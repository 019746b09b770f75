package e2e_test

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// pages is every page of the program on the example day.
var pages = []struct{ name, path string }{
	{"days", "/days"},
	{"now", "/days/1/now"},
	{"day", "/days/1"},
	{"sheet", "/days/1/sheet"},
	{"plan", "/days/1/plan"},
	{"week", "/week?from=2026-11-23"},
	{"week-totals", "/week/totals?from=2026-11-23"},
	{"totals", "/days/1/totals"},
	{"copy", "/days/1/copy"},
	{"standing", "/standing"},
	{"new-standing", "/standing/new"},
	{"breads", "/breads"},
	{"bread", "/breads/slipway"},
	{"scale", "/breads/currant-bun/scale"},
	{"scale-by-tin", "/breads/pan-loaf/scale?by=tin&tins=3&long=22&wide=10&high=9"},
	{"new-bread", "/breads/new"},
	{"base", "/bases/milk-dough"},
	{"kitchen", "/kitchen"},
	{"guide", "/guide"},
	{"first-bread", "/guide/bread"},
	{"foods", "/foods"},
	{"food", "/foods/bread-flour"},
	{"new-food", "/foods/new"},
	{"settings", "/settings"},
	{"labels", "/days/1/labels"},
	{"bench", "/days/1/bench"},
	{"inout", "/inout"},
	{"programs", "/programs"},
	{"api", "/api"},
	{"import-recipe", "/breads/import"},
	{"learned", "/learned"},
	{"happened", "/days/1/slip"},
	{"happened-to", "/days/1/slip?task=A.2"},
	{"choices", "/days/1/choices"},
}

// widths are those pages are looked at in, and whether they are judged by axe-core
// there and pictures are kept; between them only the room differs.
var widths = []struct {
	look
	judged bool
}{
	{look{name: "320", width: 320, height: 640}, false},
	{phone, true},
	{look{name: "820", width: 820, height: 1180}, false},
	{desktop, true},
}

// violation is what axe-core finds.
type violation struct {
	ID, Impact, Help string
	Nodes            []string
}

// axeRun runs every rule of WCAG 2.0 to 2.2, levels A and AA.
const axeRun = `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], resultTypes: ["violations"]}).then(r =>
	r.violations.map(v => ({ID: v.id, Impact: v.impact, Help: v.help, Nodes: v.nodes.map(n => n.html.slice(0, 200) + " " + (n.any[0]?.message ?? ""))})))`

// Every page: nothing scrolls sideways at any width but what may, axe-core finds
// nothing in light and dark, and the browser does not complain.
func TestEveryPage(t *testing.T) {
	script := axe(t)
	base := serve(t)
	b := open(t, base, desktop)
	for _, p := range pages {
		for _, w := range widths {
			b.set(w.look)
			b.visit(p.path)
			if wide := evaluate[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
				t.Errorf("%s at %s is %d px too wide", p.name, w.name, wide)
			}
			if !w.judged {
				continue
			}
			if script != "" {
				evaluate[int](b, script+";0")
			}
			for _, scheme := range []string{"light", "dark"} {
				w.dark = scheme == "dark"
				b.set(w.look)
				b.assess(p.name+" at "+w.name+", "+scheme, script)
				b.picture(fmt.Sprintf("%s-%s-%s", p.name, w.name, scheme))
			}
		}
	}
}

// assess runs axe-core, which must have been evaluated before, unless script is
// empty.
func (b *tab) assess(what, script string) {
	b.Helper()
	if script == "" {
		return
	}
	for _, v := range evaluate[[]violation](b, axeRun) {
		b.Errorf("%s: %s (%s): %s\n%s", what, v.ID, v.Impact, v.Help, strings.Join(v.Nodes, "\n"))
	}
}

// axe reads axe-core, whose path is in AXE_CORE; where checks must be complete
// it must be there.
func axe(t *testing.T) string {
	t.Helper()
	path := os.Getenv("AXE_CORE")
	if path == "" {
		if os.Getenv("CI") == "true" {
			t.Fatal("AXE_CORE does not say where axe.min.js is")
		}
		t.Log("SKIPPED: accessibility; set AXE_CORE to the path of axe.min.js")
		return ""
	}
	script, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(script)
}

// The pages can be read, and the day planned anew, without scripts.
func TestWithoutScript(t *testing.T) {
	base := serve(t)
	l := phone
	l.noScript = true
	b := open(t, base, l)
	for _, p := range pages {
		b.visit(p.path)
	}
}
