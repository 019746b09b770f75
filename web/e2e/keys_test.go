package e2e_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"ovenward/store/record"
	"ovenward/web/webtest"
)

// focusWatch judges, whenever Tab goes on, where the focus had come to rest:
// its ring must be there (WCAG 2.2, 2.4.7) and stand out from what is around it
// (1.4.11: 3 to 1), and nothing may lie over it (2.4.11, and more than that: the
// middle and most corners are seen; of something larger than the screen, some of
// it).
const focusWatch = `(() => {
	const rgb = (c) => c.match(/[\d.]+/g).map(Number);
	const light = (c) => rgb(c).slice(0, 3).map(v => v / 255).map(v => v <= .04045 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4)
		.reduce((sum, v, i) => sum + v * [.2126, .7152, .0722][i], 0);
	const ground = (e) => {
		for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if ((rgb(c)[3] ?? 1) > .5) return c; }
		return 'rgb(255, 255, 255)';
	};
	const told = new Set();
	window.judgeFocus = () => {
		const e = document.activeElement;
		if (!e || e === document.body || e === document.documentElement) return;
		const say = (what) => {
			const s = 'focus: ' + what + ': ' + e.outerHTML.slice(0, 160) + ' on ' + location.pathname + ' at ' + innerWidth;
			if (!told.has(s)) { told.add(s); console.error(s); }
		};
		const s = getComputedStyle(e);
		if (s.outlineStyle === 'none' || parseFloat(s.outlineWidth) < 2) return say('no ring');
		const [a, b] = [light(s.outlineColor), light(ground(e.parentElement))].sort();
		if ((b + .05) / (a + .05) < 3) say('the ring does not stand out, ' + ((b + .05) / (a + .05)).toFixed(2));
		const all = e.getClientRects()[0];
		if (!all || !all.width || !all.height) return say('nothing to see');
		const tall = all.height > innerHeight / 2 || all.width > innerWidth;
		const r = tall ? new DOMRect(Math.max(0, all.left), Math.max(0, all.top), Math.min(innerWidth, all.right) - Math.max(0, all.left), Math.min(innerHeight, all.bottom) - Math.max(0, all.top)) : all;
		const over = (x, y) => { const at = document.elementFromPoint(x, y); return at && (e.contains(at) || at.contains(e) && at.closest('label') ) ? null : at; };
		const points = [[.5, .5], [.1, .1], [.9, .1], [.1, .9], [.9, .9]].map(([x, y]) => [r.left + r.width * x, r.top + r.height * y]);
		const hidden = points.filter(([x, y]) => x < 0 || y < 0 || x > innerWidth || y > innerHeight || over(x, y));
		if (hidden.length > (tall ? points.length - 1 : 2) || !tall && hidden[0] === points[0]) {
			const [x, y] = hidden[0];
			say('hidden at ' + hidden.length + ' of 5 points, ' + Math.round(x) + ',' + Math.round(y) + ', by ' + (document.elementFromPoint(x, y)?.outerHTML.slice(0, 80) ?? 'the edge'));
		}
	};
	addEventListener('keydown', (e) => { if (e.key === 'Tab') judgeFocus(); }, true);
})()`

// keyboard opens a tab that is worked by keys alone.
func keyboard(t *testing.T, base string, l look) *tab {
	t.Helper()
	b := open(t, base, l)
	b.do(call(emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true}), // whatever other tabs do
		call(page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: focusWatch}))
	return b
}

// press presses keys, each by itself.
func (b *tab) press(keys string, with ...chromedp.Modifier) {
	b.Helper()
	b.do(chromedp.KeyEvent(keys, chromedp.KeyModifiers(with...)))
}

// reach goes on by Tab until something is focused.
func (b *tab) reach(css string) {
	b.Helper()
	for range 150 {
		if b.holds(fmt.Sprintf("document.activeElement.matches(%q)", css)) {
			evaluate[bool](b, "(judgeFocus(), true)")
			return
		}
		b.press(kb.Tab)
	}
	b.picture("failed")
	b.Fatalf("Tab does not reach %s on %s", css, b.where())
}

// enter presses Enter, which leads to another page.
func (b *tab) enter(css string) {
	b.Helper()
	b.reach(css)
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	response, err := chromedp.RunResponse(ctx, chromedp.KeyEvent(kb.Enter))
	if err != nil {
		b.picture("failed")
		b.Fatalf("Enter on %s: %v", css, err)
	}
	if response.Status != 200 && !b.allowed(response.Status) {
		b.Fatalf("Enter on %s answers %d", css, response.Status)
	}
}

// over types over what stands in the field.
func (b *tab) over(text string) {
	b.Helper()
	b.press("a", chromedp.ModifierCtrl)
	b.press(text)
}

// focused is what has the focus, as a person hears it.
func (b *tab) focused() string {
	b.Helper()
	return evaluate[string](b, `(({tagName, innerText, name}) => (tagName + " " + (name ?? "") + " " + innerText).replace(/\s+/g, " ").trim())(document.activeElement)`)
}

// A whole day by keys alone: an order is changed, the sound is tried, a task is
// done and taken back, a dough is not ready, a way on is chosen, every view is
// looked at, and a bread is saved. The focus is seen all the way.
func TestDayByKeys(t *testing.T) {
	for _, l := range []look{desktop, phone} {
		t.Run(l.name, func(t *testing.T) {
			k := runBakery(t)
			b := keyboard(t, k.base, l)
			b.visit("/")
			b.press(kb.Tab)
			if got := b.focused(); got != "A Skip to content" {
				t.Errorf("first is %q", got)
			}
			b.press(kb.Enter)
			b.press(kb.Tab)
			if !b.holds(`document.activeElement.closest("main") !== null`) {
				t.Errorf("after the skip it is at %q", b.focused())
			}

			b.enter(`nav a[href="/days/1/plan"]`)
			b.reach(`[name="orders[0].by"]`)
			was := evaluateValue(b, "orders[0].by") // the last of the two
			b.press(kb.ArrowUp)
			if is := evaluateValue(b, "orders[0].by"); is == was {
				t.Errorf("an arrow leaves the choice at %q", is)
			}
			b.press(kb.ArrowDown)
			b.press(kb.Tab, chromedp.ModifierShift)
			if got := b.focused(); got != "INPUT orders[0].pieces" {
				t.Fatalf("back is %q", got)
			}
			b.over("24")
			b.enter(`[name="orders[0].pieces"]`) // sends the form
			if said := b.text(".said"); !strings.Contains(said, "Saved and planned") {
				t.Fatalf("it says %q", said)
			}
			b.enter(`nav a[href="/days/1"]`)
			if table := b.text("#table"); !strings.Contains(table, "24\u00a0×\u00a070") {
				t.Errorf("the plan is\n%s", table)
			}
			b.reach("main .scroll")
			if evaluate[bool](b, `(e => e.scrollWidth > e.clientWidth)(document.activeElement)`) {
				b.press(kb.ArrowRight)
				b.await(`document.activeElement.scrollLeft > 0`)
			}

			k.until(k.coming().Start.Add(-30 * time.Minute)) // earlier it would be asked about
			b.enter(`nav a[href="/days/1/now"]`)
			b.reach("#arm")
			b.press(kb.Enter)
			b.await(`document.body.dataset.armed === '1'`)
			b.reach("[data-heard=yes]")
			b.press(" ")
			b.await(`document.querySelector('#heard').hidden`)
			task := b.attribute("article.card", "data-t")
			card := fmt.Sprintf("article.card[data-t=%q]", task)
			b.reach(card + " button.main")
			b.press(kb.Enter)
			b.await(fmt.Sprintf(`!document.querySelector(%q) && document.querySelector('.undo button')`, card))
			if at := b.focused(); strings.HasPrefix(at, "BODY") {
				t.Errorf("done, and the focus is lost")
			}
			b.reach(".undo button")
			b.press(" ")
			b.await(fmt.Sprintf(`document.querySelector(%q)`, card))
			if at := b.focused(); strings.HasPrefix(at, "BODY") {
				t.Errorf("taken back, and the focus is lost")
			}

			_, work := k.next()
			k.doneBefore(work.Start)
			b.visit("/days/1/now")
			card = fmt.Sprintf("article.card[data-t=%q]", work.ID)
			b.reach(card + ` form:has([name="minutes"][value="20"]) button`)
			b.press(kb.Enter)
			b.until(`location.pathname === "/days/1/choices" && document.readyState === "complete"`)
			b.reach("article[data-choice] summary")
			b.press(kb.Enter)
			b.await(`document.activeElement.parentElement.open`)
			b.enter("article[data-choice] button[name=pick]")
			if said := b.text(".said"); !strings.Contains(said, "Accepted") && !strings.Contains(said, "stay as they were") {
				t.Errorf("it says %q", said)
			}

			b.enter(`nav a[href="/days/1/sheet"]`)
			b.enter(`nav a[href="/breads"]`)
			b.enter(`main a[href="/breads/slipway"]`)
			b.reach("[name=piece_grams]")
			b.over("750")
			b.enter(`form.bench button.main`)
			if said := b.text(".said"); !strings.Contains(said, "is saved") || evaluateValue(b, "piece_grams") != "750" {
				t.Errorf("it says %q", said)
			}
		})
	}
}

// stops lists, in the order of the document, what Tab should come to; a group of
// radio buttons is one stop.
const stops = `[...document.querySelectorAll("a[href],button,input:not([type=hidden]),select,textarea,summary,[tabindex]")].filter((e, i, all) =>
	!e.disabled && e.tabIndex >= 0 && e.checkVisibility({visibilityProperty: true}) && !e.closest("[inert]") &&
	!(e.type === "radio" && (e.form?.querySelector('[name="' + e.name + '"]:checked') ?? all.find(x => x.name === e.name)) !== e))`

// On every page, however narrow, Tab comes to everything that can be used, in the
// order in which it stands, and out again; and wherever it comes, it is seen.
func TestEverythingByKeys(t *testing.T) {
	b := keyboard(t, serve(t), narrow)
	for _, p := range webtest.Pages() {
		b.visit(p.Path)
		b.await(`!document.querySelector("[data-pending]")`) // a forecast, which has links
		n := evaluate[int](b, fmt.Sprintf(`window.say = e => e.outerHTML.replace(/name="key" value="[^"]*"/g, "").slice(0, 200);
			const all = %s;
			window.want = all.map(say).filter((s, i, all) => s !== all[i - 1]);
			window.got = [];
			addEventListener("focusin", e => { if (got.at(-1) !== say(e.target)) got.push(say(e.target)); }); // again, when the page renews itself
			all.length + 7 * all.filter(e => /date|time|month/.test(e.type)).length`, stops))
		b.press(strings.Repeat(kb.Tab, n))
		evaluate[bool](b, "(judgeFocus(), true)")
		if diff := evaluate[[]string](b, `(() => {
			const i = want.findIndex((s, i) => s !== got[i]);
			return i < 0 ? [] : ["stop " + i, want[i], got[i] ?? "nothing"];
		})()`); len(diff) > 0 {
			b.picture("failed-" + p.Name)
			t.Errorf("%s, %s: there should be\n%s\nbut there is\n%s", p.Name, diff[0], diff[1], diff[2])
		}
	}
}

// What comes in by itself while somebody is at a button leaves the focus at that
// button; if the button is gone, the focus is still somewhere in the page.
func TestLiveUpdateKeepsFocus(t *testing.T) {
	k := runBakery(t)
	b := keyboard(t, k.base, phone)
	_, work := k.next()
	k.doneBefore(work.Start)
	b.visit("/days/1/now")
	b.await(`document.querySelector("#calls-now") && document.body.dataset.line === ""`)

	// other tells of something on another screen, and waits until it is here.
	other := func(shows string, change func()) {
		t.Helper()
		change()
		k.tell()
		b.await(shows)
	}
	note := func(id string, kind record.TapKind, task string, at time.Time) {
		t.Helper()
		if _, err := k.store.Tap(t.Context(), record.Tap{ID: id, Day: 1, Version: 1, Task: task, Kind: kind, At: at, Recorded: at}); err != nil {
			t.Fatal(err)
		}
	}
	card := fmt.Sprintf("article.card[data-t=%q]", work.ID)
	another := evaluate[string](b, fmt.Sprintf(`[...document.querySelectorAll("article.card")].find(e =>
		e.querySelector(".of").innerText !== document.querySelector('%s .of').innerText).dataset.t`, card)) // of another dough
	for i, css := range []string{
		card + " form.act:nth-of-type(2) button", card + " a.act", `nav a[href="/days/1/plan"]`, "#arm",
	} {
		b.reach(css)
		before := b.focused()
		if i == 0 {
			other(fmt.Sprintf(`!document.querySelector('article.card[data-t=%q]')`, another), func() { note("other", record.Finished, another, k.clock()) })
		} else {
			k.until(k.clock().Add(time.Minute))
			other(fmt.Sprintf(`document.querySelector(".clock").innerText === %q`, k.clock().Format("15:04")), func() {})
		}
		if after := b.focused(); after != before {
			t.Errorf("from %q the focus went to %q", before, after)
		}
		evaluate[bool](b, "(judgeFocus(), true)")
	}
	b.reach(card + " form.act button")
	other(fmt.Sprintf(`!document.querySelector(%q)`, card), func() { note("gone", record.Finished, work.ID, k.clock()) })
	if after := b.focused(); strings.HasPrefix(after, "BODY") {
		t.Error("the card is gone, and so is the focus")
	}

	// at the bar of calls, where another call joins the one somebody is at
	b.visit("/days/1/sheet")
	b.await(`document.querySelectorAll("#calls .what p").length === 1`)
	onIt := "#calls form[data-kind=ack] button"
	b.reach(onIt)
	k.until(k.coming().Start)
	other(`document.querySelectorAll("#calls .what p").length === 2`, func() {})
	if !b.holds(fmt.Sprintf(`document.activeElement.matches(%q)`, onIt)) {
		t.Errorf("in the bar of calls the focus went to %q", b.focused())
	}
	// a call that fills the screen gives way to whoever is at something behind it
	link := `nav a[href="/breads"]`
	b.reach(link)
	for range 60 {
		k.until(k.clock().Add(time.Minute))
	}
	other(`document.querySelector("#calls .choose")`, func() {})
	b.press(kb.Enter)
	if !b.holds(`!document.querySelector("#calls .choose") && location.pathname === "/days/1/sheet"`) {
		t.Error("a call still lies over what has the focus, or the key has set off what was hidden")
	}
	evaluate[bool](b, "(judgeFocus(), true)")
	b.enter(link)
}
