package e2e_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"

	"ovenward/schedule"
	"ovenward/store/record"
)

// What a screen reader is given of the day is the table: heading, how the plan
// stands, then the drawing as one picture with words of its own, then every row
// with its cells under their headings, by time.
func TestReadAloud(t *testing.T) {
	b := open(t, serve(t), desktop)
	b.visit("/days/1")
	tree, err := chromedp.Run(b.ctx, func(ctx context.Context, target *chromedp.Target) (accessibility.GetFullAXTreeResult, error) {
		return cdp.Call(ctx, target, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	})
	if err != nil {
		t.Fatal(err)
	}
	nodes := map[accessibility.NodeID]*accessibility.Node{}
	for _, n := range tree.Nodes {
		nodes[n.NodeID] = n
	}
	var roles, rows []string
	within := func(n *accessibility.Node, role string) bool {
		for p := nodes[n.ParentID]; p != nil; p = nodes[p.ParentID] {
			if word(p.Role) == role {
				return true
			}
		}
		return false
	}
	for _, n := range tree.Nodes {
		switch role := word(n.Role); {
		case n.Ignored:
		case role == "heading" || role == "image" && !within(n, "image") || role == "table":
			roles = append(roles, role+": "+word(n.Name))
		case role == "row":
			rows = append(rows, word(n.Name))
		case within(n, "image") && word(n.Name) != "":
			t.Errorf("the drawing is read out: %s %q", role, word(n.Name))
		}
	}
	order := strings.Join(roles, "\n")
	drawing, table := strings.Index(order, "image: Drawing of the day"), strings.Index(order, "table: ")
	if !strings.HasPrefix(order, "heading: ") || drawing < 0 || table < drawing {
		t.Errorf("it is read in the order\n%s", order)
	}
	if n := b.count("#table tbody tr"); len(rows) < n || n < 20 {
		t.Errorf("%d rows are read out of %d", len(rows), n)
	}
	times := b.texts("#table tbody tr:not(.break) time:first-child")
	stamps := evaluate[[]string](b, `[...document.querySelectorAll("#table tbody tr:not(.break) time:first-child")].map(t => t.dateTime)`)
	for i := 1; i < len(stamps); i++ {
		if stamps[i] < stamps[i-1] {
			t.Errorf("row %d at %s comes after %s", i, times[i], times[i-1])
		}
	}
	// every task drawn has its row
	if missing := evaluate[[]string](b, `[...new Set([...document.querySelectorAll(".lanes [data-t]")].map(e => e.dataset.t))].filter(t => !document.querySelector('#table [data-t="' + CSS.escape(t) + '"]'))`); len(missing) > 0 {
		t.Errorf("only in the drawing: %v", missing)
	}
}

// A call is read out when it comes and when something becomes of it, not when
// another thing is said and only minutes have gone by (WCAG 2.2, 4.1.3).
func TestCallIsReadOutOnce(t *testing.T) {
	k := runBakery(t)
	b := open(t, k.base, desktop)
	a := k.call(schedule.CallStart, k.clock(), func(a record.Alert) bool { return a.TooFar.Sub(a.Due) > 30*time.Minute })
	k.follow(a.Due)
	k.until(a.Due.Add(time.Minute))
	b.visit("/days/1/copy")
	shows := func(words, live string) {
		t.Helper()
		b.await(fmt.Sprintf(`document.querySelector("#calls .what")?.innerText.replace(/\s/g, " ").includes(%q)`, words))
		if got := evaluate[string](b, `document.querySelector("#calls").ariaLive`); got != live {
			t.Errorf("%q is told %q, want %q", b.texts("#calls .what"), got, live)
		}
	}
	shows("1 min late", "assertive")
	k.until(a.Due.Add(2 * time.Minute))
	k.tell()
	shows("2 min late", "off")
	b.tap("#calls form[data-kind=ack] button", `document.querySelector("#calls").innerText.includes("Somebody is on it")`)
	shows("Somebody is on it", "assertive")
}

// still wants nothing to move for whoever asked for less motion, as every look does.
func (b *tab) still(what string) {
	b.Helper()
	if moving := evaluate[[]string](b, `[...document.querySelectorAll("*")].filter(e => { const s = getComputedStyle(e);
		return parseFloat(s.transitionDuration) > 0 || s.animationName !== "none" || s.scrollBehavior === "smooth" }).map(e => e.outerHTML.slice(0, 80))`); len(moving) > 0 {
		b.Errorf("%s moves: %v", what, moving)
	}
}

// targets wants whatever is tapped to be at least 48 px high and 40 wide but for
// links in a sentence, and what is tapped most larger (WCAG 2.2, 2.5.8 asks for
// 24 px).
func (b *tab) targets(what string) {
	b.Helper()
	small := evaluate[[]string](b, `[...document.querySelectorAll("button,.button,summary,select,textarea,input:not([type=hidden],[type=checkbox],[type=radio]),label.check,nav a")].filter(e => e.checkVisibility()).filter(e => {
		const r = e.getBoundingClientRect(); const least = e.matches(".card:first-of-type form.main button") ? 96 : e.matches(".card form button") ? 64 : 48;
		return r.width && (r.height < least - 0.5 || r.width < 40) }).map(e => e.outerHTML.slice(0, 100) + " " + Math.round(e.getBoundingClientRect().height))`)
	if len(small) > 0 {
		b.Errorf("%s: too small for a finger:\n%s", what, strings.Join(small, "\n"))
	}
}

func word(v *accessibility.Value) string {
	if v == nil {
		return ""
	}
	return strings.Trim(string(v.Value), `"`)
}
