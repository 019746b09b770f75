package e2e_test

import (
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/webtest"
)

// attempts are words that would run somewhere if they were not taken for words:
// as markup, out of an attribute, as an address, out of an element of raw text, in
// a template.
var attempts = []string{
	`<img src=x onerror=bad()>`,
	`"><script>bad()</script>`,
	`' onfocus=bad() autofocus tabindex=0 '`,
	`javascript:bad()`,
	`</title></textarea></style><svg onload=bad()>`,
	"`${bad()}` {{bad()}} \\u003cimg src=x onerror=bad()\\u003e",
}

// alarm complains when something of them runs; what the policy of the page stops,
// the browser complains of itself.
const alarm = `window.bad = window.alert = window.confirm = window.prompt = () => console.error("foreign words ran on " + location.pathname);`

// foreign is what such words would leave in a page.
const foreign = `[...document.querySelectorAll("*")].filter(e =>
	e.matches('img, iframe, object, embed, base, script:not([src^="/static/"])') || [...e.attributes].some(a => a.name.startsWith("on")) ||
	/^\s*javascript:/i.test(e.getAttribute("href") ?? e.getAttribute("action") ?? e.getAttribute("formaction") ?? "")).map(e => e.outerHTML.slice(0, 120))`

// harmless wants the page to be free of them.
func (b *tab) harmless(what string) {
	b.Helper()
	if found := evaluate[[]string](b, foreign); len(found) > 0 {
		b.Errorf("%s has\n%s", what, strings.Join(found, "\n"))
	}
}

// write puts the attempts into every field that matches, one after the other, past
// the browser's own checks.
func (b *tab) write(css string) {
	b.Helper()
	words, err := json.Marshal(attempts)
	if err != nil {
		b.Fatal(err)
	}
	if n := evaluate[int](b, fmt.Sprintf(`((fields, words) => { fields.forEach((f, i) => { f.form.noValidate = true; f.value = words[i %% words.length] + " " + location.pathname.split("/").pop() + i; }); return fields.length; })([...document.querySelectorAll(%q)], %s)`, css, words)); n == 0 {
		b.Errorf("no field %s on %s", css, b.where())
	}
}

// Words that are markup or script stay words in a real browser: in every name and
// note that is kept, on every page that shows it, in what is set in later by
// script, in what is refused and shown again, and in a file before it is taken in.
func TestWordsStayWords(t *testing.T) {
	k := runBakery(t)
	b := open(t, k.base, desktop)
	b.do(call(page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: alarm}))

	b.allow(http.StatusUnprocessableEntity)
	for _, f := range []struct{ at, fields, button string }{
		{"/kitchen", `form[action="/kitchen"] :is([name^=ovens],[name^=mixers],[name^=bakers])[name$=".name"]`, `form[action="/kitchen"] button.main`},
		{"/foods/bread-flour", `[name=name],[name=note]`, `form[action^="/foods/"] button.main`},
		{"/bases/milk-dough", `[name=name],[name$=".name"],[name$=".label"]`, "form.bench button.main"},
		{"/breads/slipway", `[name=name],[name$=".name"],[name$=".label"]`, "form.bench button.main"},
		{"/breads/currant-bun", `[name=name],[name$=".label"]`, "form.bench button.main"},
		{"/programs", `[name=name]`, `form[action="/programs"] button`},
		{"/days/1/plan", `#planform [name=name],#planform [name$=".for"]`, "#planform button.main:not([name])"},
	} {
		b.visit(f.at)
		b.write(f.fields)
		b.submit(f.button)
		if b.count(".problem") > 0 {
			t.Errorf("%s refuses: %s", f.at, b.text(".problem"))
		}
		b.harmless(f.at)
	}
	b.visit("/standing/new")
	b.write("[name=for]")
	b.choose("bread", "currant-bun")
	b.fill("[name=pieces]", "12")
	b.choose("at", "12:00")
	b.click(`[name=days][value=sat]`)
	b.submit("main button.main")
	b.harmless("standing order")

	first := k.call(schedule.CallStart, k.clock(), func(record.Alert) bool { return true })
	k.follow(first.Due)
	seen := 0
	pages := webtest.Pages()
	for _, p := range pages {
		if p.Name == "choices" { // with something to choose
			b.visit("/days/1/slip?task=" + first.Task)
			b.submit(`button[value="not-yet 40"]`)
		} else {
			b.visit(p.Path)
		}
		b.await(`!document.querySelector("[data-pending]")`)
		if strings.HasPrefix(p.Path, "/days/1/") {
			b.await(`document.querySelector("#calls-now")`)
		}
		b.harmless(p.Name)
		if strings.Contains(b.text("body"), "bad()") {
			seen++
		}
	}
	t.Logf("the words stand on %d of %d pages", seen, len(pages))
	if seen < len(pages)/2 {
		t.Error("hardly a page shows them: the test tests little")
	}
	b.visit("/days/1/now")
	evaluate[bool](b, fmt.Sprintf(`(e => { e.value = %q; e.dispatchEvent(new Event("change")); return true; })(document.querySelector("#screen-name"))`, attempts[0]))
	b.await(`document.querySelector("#screens").textContent.includes("onerror")`)
	b.harmless("the names of screens")

	for _, p := range []struct{ at, button string }{
		{"/kitchen", `form[action="/kitchen"] button.main`}, {"/days/1/plan", "#planform button.main:not([name])"},
		{"/breads/slipway", "form.bench button.main"}, {"/breads/new", "form.bench button.main"}, {"/bases/milk-dough", "form.bench button.main"},
		{"/foods/new", "main button.main"}, {"/standing/new", "main button.main"}, {"/guide", "main button.main"}, {"/guide/bread", "main button.main"},
		{"/days/1/slip", `button[value="place"]`}, {"/days", `form[action="/days"] button`}, {"/breads/import", "main button.main"},
	} {
		b.visit(p.at)
		b.write(`main :is(input:not([type]),input[type=text],textarea)`)
		b.submit(p.button)
		b.harmless(p.at + ", refused")
	}

	b.visit("/inout")
	b.do(chromedp.SetUploadFiles(chromedp.CSS("#file"), []string{k.exported()}))
	b.submit(`form[action="/inout"] button`)
	if !strings.Contains(b.text("main"), "bad()") {
		t.Errorf("the file says\n%s", b.text("main"))
	}
	b.harmless("the file before it is taken in")
}

// exported is everything, as a file.
func (k *bakery) exported() string {
	k.Helper()
	answer, err := http.Get(k.base + "/inout/ovenward.json")
	if err != nil {
		k.Fatal(err)
	}
	defer answer.Body.Close()
	all, err := io.ReadAll(answer.Body)
	if err != nil {
		k.Fatal(err)
	}
	path := filepath.Join(k.TempDir(), "ovenward.json")
	if err := os.WriteFile(path, all, 0o600); err != nil {
		k.Fatal(err)
	}
	return path
}
