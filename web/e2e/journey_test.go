package e2e_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// walks is a journey on a phone by day, on a desktop by night, and on a phone
// without scripts.
func walks(t *testing.T, journey func(t *testing.T, b *tab)) {
	t.Helper()
	for _, l := range []look{phone, night, plain} {
		t.Run(l.name, func(t *testing.T) {
			b := open(t, serve(t), l)
			journey(t, b)
		})
	}
}

// A baker opens the program and looks around the example.
func TestFirstMinute(t *testing.T) {
	walks(t, func(t *testing.T, b *tab) {
		b.visit("/")
		if at := b.where(); at != "/days/1/now" {
			t.Errorf("the start is at %s", at)
		}
		if !strings.Contains(b.text("main"), "Later") || !strings.Contains(b.text(".example"), "invented example") {
			t.Errorf("it shows\n%s", b.text("body"))
		}
		for _, tab := range []struct{ link, want string }{
			{"Day", "svg.lanes path"}, {"Sheet", "#table tbody tr"}, {"Plan", "#planform"},
			{"Breads", `a[href="/breads/slipway"]`}, {"Kitchen", "#ovens"}, {"Days", `a[href="/days/1"]`},
		} {
			b.visit("/days/1")
			b.submit(fmt.Sprintf(`nav a[href=%q]`, b.href(tab.link)))
			if n := b.count(tab.want); n == 0 {
				t.Errorf("%s shows no %s", tab.link, tab.want)
			}
		}
	})
}

// More loaves are ordered: the plan changes, says so, and has them.
func TestChangeAnOrder(t *testing.T) {
	walks(t, func(t *testing.T, b *tab) {
		b.visit("/days/1")
		before := b.texts("#table tbody tr")
		b.visit("/days/1/plan")
		b.fill(`[name="orders[0].pieces"]`, "24")
		b.submit("#planform button.main:not([name])")
		if said := b.text(".said"); !strings.Contains(said, "Saved and planned") {
			t.Errorf("it says %q", said)
		}
		b.visit("/days/1")
		after := b.texts("#table tbody tr")
		if strings.Join(before, "\n") == strings.Join(after, "\n") || !strings.Contains(strings.Join(after, "\n"), "24\u00a0×\u00a070") {
			t.Errorf("the plan is\n%s", strings.Join(after, "\n"))
		}
	})
}

// What is not possible is refused with what was typed still there.
func TestNonsenseIsRefused(t *testing.T) {
	walks(t, func(t *testing.T, b *tab) {
		b.visit("/days/1/plan")
		b.fill(`[name="orders[0].pieces"]`, "many")
		b.allow(422)
		b.submit("#planform button.main:not([name])")
		if got := evaluateValue(b, `orders[0].pieces`); got != "many" {
			t.Errorf("what was typed became %q", got)
		}
		if !strings.Contains(b.text("#faults"), "There is a problem") {
			t.Errorf("it says %q", b.text("main"))
		}
		b.picture("refused")
	})
}

// A task is done with one tap, and taken back with another.
func TestDoneAndUndone(t *testing.T) {
	walks(t, func(t *testing.T, b *tab) {
		b.visit("/days/1/now")
		task := b.attribute("article.card", "data-t")
		card := fmt.Sprintf("article.card[data-t=%q]", task)
		b.tap(card+" button.main", fmt.Sprintf(`document.querySelector(%q) === null && document.querySelector(".undo button") !== null`, card))
		b.visit("/days/1")
		if row := b.text(fmt.Sprintf("tr[data-t=%q] .state", task)); !strings.Contains(row, "done") {
			t.Errorf("task %s is %q", task, row)
		}
		b.visit("/days/1/now")
		b.tap(".undo button", fmt.Sprintf(`document.querySelector(%q) !== null`, card))
	})
}

// A tap on one screen shows on another at once.
func TestTwoScreens(t *testing.T) {
	base := serve(t)
	wall, hand := open(t, base, desktop), open(t, base, phone)
	wall.visit("/days/1/now")
	hand.visit("/days/1/now")
	task := hand.attribute("article.card", "data-t")
	hand.tap("article.card button.main", fmt.Sprintf(`document.querySelector('article.card[data-t=%q]') === null`, task))
	wall.until(fmt.Sprintf(`document.querySelector('article.card[data-t=%q]') === null`, task))
}

// The example is cleared with one click.
func TestClearTheExample(t *testing.T) {
	walks(t, func(t *testing.T, b *tab) {
		b.visit("/days/1/now")
		b.allow(404) // what other screens see of the day that is gone
		b.submit(`.example button[value="clear"]`)
		if body := b.text("body"); strings.Contains(body, "Slipway") || !strings.Contains(body, "No bake is planned") {
			t.Errorf("it shows\n%s", body)
		}
	})
}

func (b *tab) href(word string) string {
	b.Helper()
	for _, pair := range evaluate[[][]string](b, `[...document.querySelectorAll("nav a")].map(a => [a.innerText.trim(), a.getAttribute("href")])`) {
		if pair[0] == word {
			return pair[1]
		}
	}
	b.Fatalf("there is no link %q", word)
	return ""
}

func (b *tab) count(css string) int {
	b.Helper()
	return evaluate[int](b, fmt.Sprintf(`document.querySelectorAll(%q).length`, css))
}

func (b *tab) attribute(css, name string) string {
	b.Helper()
	return evaluate[string](b, fmt.Sprintf(`document.querySelector(%q)?.getAttribute(%q) ?? ""`, css, name))
}

// click scrolls to something and taps it, which may or may not lead to another
// page. The page may be renewed under the finger: then it is tapped again.
func (b *tab) click(css string) {
	b.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	var err error
	for range 5 {
		evaluate[bool](b, fmt.Sprintf(`(document.querySelector(%q)?.scrollIntoView({block: "nearest"}), true)`, css))
		err = chromedp.Do(ctx, chromedp.Click(chromedp.CSS(css), chromedp.NodeVisible))
		if err == nil || !strings.Contains(err.Error(), "Could not find node") {
			break
		}
	}
	if err != nil {
		b.picture("failed")
		b.Fatalf("click on %s: %v", css, err)
	}
}

// tap clicks and waits for what comes of it. A finger that meets nothing, because
// the page has just moved, taps again after a while.
func (b *tab) tap(css, condition string) {
	b.Helper()
	for range 10 {
		b.click(css)
		for end := time.Now().Add(patience / 10); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
			if b.holds(condition) {
				return
			}
		}
		if b.holds(fmt.Sprintf("document.querySelector(%q) === null", css)) {
			break
		}
		b.Logf("a tap on %s met nothing", css)
	}
	b.until(condition)
}

// fill types into a field as a person does, over what was there.
func (b *tab) fill(css, value string) {
	b.Helper()
	evaluate[bool](b, fmt.Sprintf(`(document.querySelector(%q).value = "") === ""`, css))
	b.do(chromedp.SendKeys(chromedp.CSS(css), value))
}

func evaluateValue(b *tab, name string) string {
	b.Helper()
	return evaluate[string](b, fmt.Sprintf(`document.getElementsByName(%q)[0]?.value ?? ""`, name))
}

// until waits for a condition on the page.
func (b *tab) until(condition string) {
	b.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if b.holds(condition) {
			return
		}
	}
	b.picture("failed")
	b.Fatalf("never: %s", condition)
}

// holds reports whether a condition holds; on a page that is just being left it
// does not.
func (b *tab) holds(condition string) bool {
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[bool](condition))
	return err == nil && v
}
