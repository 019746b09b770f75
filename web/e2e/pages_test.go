package e2e_test

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"ovenward/web/webtest"
)

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

// every is every rule of WCAG 2.0 to 2.2, levels A and AA; colours those of them
// whose outcome hangs on colours, which is all that changes from light to dark.
const (
	every   = `["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]`
	colours = `["color-contrast", "link-in-text-block"]`
)

// axeRun runs some rules.
const axeRun = `axe.run(document, {runOnly: %s, resultTypes: ["violations"]}).then(r =>
	r.violations.map(v => ({ID: v.id, Impact: v.impact, Help: v.help, Nodes: v.nodes.map(n => n.html.slice(0, 200) + " " + (n.any[0]?.message ?? ""))})))`

// Every page: nothing scrolls sideways at any width but what may, nothing moves,
// whatever is tapped is large enough, axe-core finds nothing in light and dark, in
// forced colours buttons have edges and states words, and the browser does not
// complain.
func TestEveryPage(t *testing.T) {
	t.Parallel()
	script := axe(t)
	b := open(t, serve(t), desktop)
	for _, p := range webtest.Pages() {
		b.visit(p.Path)
		if script != "" {
			evaluate[int](b, script+";0")
		}
		for _, w := range widths {
			w.dark = false
			b.set(w.look)
			b.fits(p.Name + " at " + w.name)
			if !w.judged {
				continue
			}
			b.targets(p.Name + " at " + w.name)
			for _, rules := range []string{every, colours} {
				w.dark = rules == colours
				b.set(w.look)
				scheme := map[bool]string{false: "light", true: "dark"}[w.dark]
				b.assess(p.Name+" at "+w.name+", "+scheme, script, rules)
				b.picture(fmt.Sprintf("%s-%s-%s", p.Name, w.name, scheme))
			}
		}
		b.enlarged(p.Name)
		b.still(p.Name)
		b.forced()
		b.edged(p.Name)
	}
}

// enlarged wants nothing to scroll sideways on a phone whose owner doubles the size
// of text (WCAG 2.2, 1.4.4), either.
func (b *tab) enlarged(what string) {
	b.Helper()
	evaluate[bool](b, `(document.documentElement.style.fontSize = "200%", true)`)
	for _, l := range []look{narrow, phone} {
		b.set(l)
		b.fits(what + " at " + l.name + " with text of 200 %")
	}
	evaluate[bool](b, `(document.documentElement.style.fontSize = "", true)`)
}

// edged wants every button to have an edge, which is all that tells it from text
// where the system takes away its ground, and every state to be a word.
func (b *tab) edged(what string) {
	b.Helper()
	if bare := evaluate[[]string](b, `[...document.querySelectorAll("button,.button,input:not([type=hidden],[type=checkbox],[type=radio]),select,textarea")].filter(e => e.checkVisibility()).filter(e => {
		const s = getComputedStyle(e); return s.borderTopStyle === "none" || parseFloat(s.borderTopWidth) < 1 || s.borderTopColor === getComputedStyle(e.parentElement).backgroundColor }).map(e => e.outerHTML.slice(0, 120))`); len(bare) > 0 {
		b.Errorf("%s in forced colours has buttons without an edge:\n%s", what, strings.Join(bare, "\n"))
	}
	if mute := evaluate[[]string](b, `[...document.querySelectorAll(".state")].filter(e => !/\p{L}{2}/u.test(e.innerText)).map(e => e.outerHTML.slice(0, 120))`); len(mute) > 0 {
		b.Errorf("%s has states without a word:\n%s", what, strings.Join(mute, "\n"))
	}
}

// assess runs axe-core, which must have been evaluated before, unless script is
// empty.
func (b *tab) assess(what, script, rules string) {
	b.Helper()
	if script == "" {
		return
	}
	for _, v := range evaluate[[]violation](b, fmt.Sprintf(axeRun, rules)) {
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
	for _, p := range webtest.Pages() {
		b.visit(p.Path)
	}
}
