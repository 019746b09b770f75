package e2e_test

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"ovenward/schedule"
	"ovenward/static"
	"ovenward/store/storetest"
	"ovenward/web"
	"ovenward/web/cert"
	"ovenward/web/entry"
)

// examiner looks at whatever state a page is in.
type examiner struct {
	*tab
	script string // axe-core, "" for none
}

func examine(t *testing.T, base string) *examiner {
	t.Helper()
	return &examiner{open(t, base, desktop), axe(t)}
}

// narrow is the width to which a page of 1280 px shrinks at 400 % (WCAG 2.2,
// 1.4.10).
var narrow = look{name: "320", width: 320, height: 640}

// state looks at the page as it stands, narrow and light, wide and dark; nothing
// may stick out sideways. In colours a system forces it is only pictured: the
// browser tells axe the colours of the style sheet, not those it puts over them.
func (e *examiner) state(name string) {
	e.Helper()
	if e.script != "" {
		evaluate[int](e.tab, e.script+";0")
	}
	e.set(narrow)
	e.fits(name + " at " + narrow.name)
	e.assess(name+" at "+narrow.name, e.script, every)
	e.picture(name + "-" + narrow.name)
	dark := desktop
	dark.dark = true
	e.set(dark)
	e.fits(name)
	e.assess(name+", dark", e.script, every)
	e.forced()
	e.picture(name + "-forced")
	e.set(desktop)
}

func (b *tab) fits(what string) {
	b.Helper()
	if wide := evaluate[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
		b.Errorf("%s is %d px too wide", what, wide)
	}
}

// forced is the look of a system that forces its own few colours on pages.
func (b *tab) forced() {
	b.do(call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{
		{Name: "forced-colors", Value: "active"}, {Name: "prefers-color-scheme", Value: "dark"},
	}}))
}

// arrive goes where another answer than a page is expected.
func (b *tab) arrive(address string, status int64) {
	b.Helper()
	b.allow(status)
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	response, err := chromedp.Run(ctx, chromedp.NavigateResponse(address))
	if err != nil {
		b.Fatalf("%s: %v", address, err)
	}
	if response.Status != status {
		b.Errorf("%s answers %d, want %d", address, response.Status, status)
	}
}

// What goes wrong with what was typed, and pages that are not there.
func TestStatesOfFaults(t *testing.T) {
	k := runBakery(t)
	e := examine(t, k.base)
	e.arrive(k.base+"/nowhere", http.StatusNotFound)
	e.state("not-found")
	e.arrive(strings.Replace(k.base, "127.0.0.1", "evil.test", 1)+"/", http.StatusMisdirectedRequest)
	e.state("misdirected")
	e.allow(http.StatusUnprocessableEntity)
	for _, f := range []struct{ name, at, field, value, button string }{
		{"plan-fault", "/days/1/plan", "orders[0].pieces", "many", "#planform button.main:not([name])"},
		{"kitchen-fault", "/kitchen", "ovens[0].max_celsius", "hot", `form[action="/kitchen"] button.main`},
		{"bread-fault", "/breads/slipway", "piece_grams", "much", `form[action="/breads/slipway"] button.main`},
		{"first-bread-fault", "/guide/bread", "pieces", "many", `form[action="/guide/bread"] button.main`},
		{"slip-fault", "/days/1/slip", "room.celsius", "warm", `button[value="place"]`},
	} {
		e.visit(f.at)
		e.fill(fmt.Sprintf("[name=%q]", f.field), f.value)
		e.submit(f.button)
		if e.count(".problem") != 1 {
			t.Errorf("%s: no summary of what is wrong", f.name)
		}
		e.linked(f.name)
		e.state(f.name)
	}
	e.visit("/breads/import")
	e.fill(`[name="recipe"]`, `{"@type": "Recipe", "name": "Wharf loaf", "recipeYield": "2 loaves", "recipeIngredient": ["800 g bread flour", "1 pint water", "16 g herring roe meal"]}`)
	e.submit(`button[value="read"]`)
	if n := e.count(`[name^="lines["]`); n != 2 {
		t.Errorf("the preview of the import asks %d questions, want how much a pint is and what the meal is", n)
	}
	e.state("import-preview")
}

// A standing order that is kept, and one that was filled in wrong.
func TestStatesOfStanding(t *testing.T) {
	k := runBakery(t)
	e := examine(t, k.base)
	err := k.store.SaveStanding(t.Context(), schedule.Standing{ID: "noon", Bread: "currant-bun", Pieces: 12, Days: schedule.EveryDay, At: 12 * 60, From: "2026-11-28"}, k.clock())
	if err != nil {
		t.Fatal(err)
	}
	e.visit("/standing/noon")
	e.state("standing-order")
	e.allow(http.StatusUnprocessableEntity)
	e.fill("[name=pieces]", "many")
	e.submit("main button.main")
	e.state("standing-fault")
}

// linked wants the summary of faults to have the focus, a title that says there are
// some, and each fault to lead to a field that knows it is wrong and why (WCAG 2.2,
// 3.3.1 and 3.3.3).
func (e *examiner) linked(what string) {
	e.Helper()
	if loose := evaluate[[]string](e.tab, `[
		document.title.startsWith("Error: ") ? "" : "the title is " + document.title,
		document.activeElement.matches(".problem") || document.activeElement.matches("[aria-invalid]") ? "" : "the focus is at " + document.activeElement.tagName,
		...[...document.querySelectorAll(".problem a")].map(a => {
			const at = document.getElementById(decodeURIComponent(a.hash.slice(1)));
			const why = (at?.getAttribute("aria-describedby") ?? "").split(" ").map(id => document.getElementById(id)?.innerText ?? "").join("");
			return at?.matches("input,select,textarea") && at.ariaInvalid === "true" && why ? "" : a.hash + " leads to no field that is wrong";
		}),
		document.querySelector(".problem a") ? "" : "no fault leads anywhere"].filter(Boolean)`); len(loose) > 0 {
		e.Errorf("%s: %s", what, strings.Join(loose, "; "))
	}
}

// unwell is a store that does not answer.
type unwell struct{ web.Store }

var errUnwell = errors.New("the disk is on fire")

func (unwell) Kitchen(context.Context) (schedule.Kitchen, error) {
	return schedule.Kitchen{}, errUnwell
}

// Nothing entered yet, and a store that fails.
func TestStatesOfNothing(t *testing.T) {
	st := storetest.Open(t)
	h, err := web.New(web.Config{Store: st, Static: static.FS})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(h)
	t.Cleanup(srv.Close)
	e := examine(t, srv.URL)
	for name, path := range map[string]string{"no-days": "/days", "no-breads": "/breads", "no-kitchen": "/kitchen", "nothing-learnt": "/learned"} {
		e.visit(path)
		e.state(name)
	}
	if h, err = web.New(web.Config{Store: unwell{st}, Static: static.FS}); err != nil {
		t.Fatal(err)
	}
	bad := httptest.NewServer(h)
	t.Cleanup(bad.Close)
	e.arrive(bad.URL+"/kitchen", http.StatusInternalServerError)
	e.state("failed")
}

// Another machine at the door: log-in, a code, a helper's pages, the certificate.
func TestStatesOfTheDoor(t *testing.T) {
	k := runBakery(t)
	hash, err := entry.Hash("four loaves on a peel")
	if err != nil {
		t.Fatal(err)
	}
	if err := k.store.SetPassphrase(t.Context(), hash, k.clock()); err != nil {
		t.Fatal(err)
	}
	serve := func(a *cert.Authority) (here, there string) {
		h, err := web.New(web.Config{Store: k.store, Static: static.FS, Now: k.clock, Patience: patience, Hosts: []string{"bakery.test"},
			Addresses: func() []string { return []string{"https://bakery.test:4280"} }, Authority: a})
		if err != nil {
			t.Fatal(err)
		}
		srv := httptest.NewServer(h)
		t.Cleanup(srv.Close)
		u, _ := url.Parse(srv.URL)
		return srv.URL, "http://bakery.test:" + u.Port()
	}
	authority, err := cert.New("bench", k.clock())
	if err != nil {
		t.Fatal(err)
	}
	_, encrypted := serve(authority)
	e := examine(t, encrypted)
	e.visit("/certificate")
	e.state("certificate")

	here, there := serve(nil)
	e.base = here
	e.visit("/settings")
	e.submit(`form[action="/devices/code"] button`)
	e.state("code")
	code := e.text(".code")
	e.base = there
	e.visit("/days/1/now")
	if at := e.where(); !strings.HasPrefix(at, "/login") {
		t.Errorf("a stranger is at %s", at)
	}
	e.state("log-in")
	e.allow(http.StatusUnauthorized)
	e.fill("[name=passphrase]", "wrong")
	e.submit(`form:has([name=passphrase]) button`)
	e.state("log-in-wrong")
	e.fill("[name=code]", code)
	e.submit(`form:has([name=code]) button`)
	_, work := k.next()
	k.doneBefore(work.Start)
	for name, path := range map[string]string{"helper-now": "/days/1/now", "helper-plan": "/days/1/plan", "helper-kitchen": "/kitchen", "helper-bread": "/breads/slipway", "helper-settings": "/settings"} {
		e.visit(path)
		e.state(name)
	}
	e.arrive(there+"/breads/new", http.StatusForbidden)
	e.state("helper-refused")
	e.visit("/settings")
	e.submit(`form[action="/logout"] button`)
	if at := e.where(); at != "/login" {
		t.Errorf("logged out it is at %s", at)
	}
}
