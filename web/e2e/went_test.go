package e2e_test

import (
	"strings"
	"testing"
	"time"

	"ovenward/store/record"
)

// A day under way, with what is told of it and what can be taken back: looked at
// from narrow to wide, light and dark, then taken back with and without script.
func TestWent(t *testing.T) {
	for _, l := range []look{phone, plain} {
		t.Run(l.name, func(t *testing.T) {
			k := runBakery(t)
			_, work := k.next()
			k.follow(work.Start)
			e := examine(t, k.base)
			e.visit("/days/1/went")
			if got := e.text("main"); !strings.Contains(got, "each counted from its first ring") || !strings.Contains(got, "hands came to") {
				t.Errorf("the page says\n%s", got)
			}
			if !l.noScript {
				e.state("went")
				e.set(phone)
				e.targets("went")
				e.enlarged("went")
			}

			b := open(t, k.base, l)
			for _, kind := range []record.TapKind{record.Ack, record.Started} {
				tap := record.Tap{ID: string(kind), Day: 1, Version: 1, Task: work.ID, Kind: kind, At: k.clock(), Recorded: k.clock()}
				if _, err := k.store.Tap(t.Context(), tap); err != nil {
					t.Fatal(err)
				}
				k.until(k.clock().Add(time.Minute))
			}
			b.visit("/days/1/now")
			if !l.noScript {
				b.targets("now, with more to take back")
			}
			b.picture("more-to-take-back")
			b.submit(".undo a")
			if at := b.where(); !strings.HasPrefix(at, "/days/1/went") {
				t.Fatalf("“more” leads to %s", at)
			}
			for n := b.count(".touches form"); n > 0; n-- {
				b.submit(".touches li:first-child form button")
				if left := b.count(".touches form"); left != n-1 {
					t.Fatalf("%d can be taken back after one of %d was: %s", left, n, b.text("main"))
				}
			}
			taps, err := k.store.Taps(t.Context(), 1)
			if err != nil {
				t.Fatal(err)
			}
			for _, x := range taps {
				if !x.Undone && x.Kind != record.Undo && x.Left(k.clock()) > 0 {
					t.Errorf("%s %s stands", x.Kind, x.Task)
				}
			}
			k.until(k.clock().Add(time.Minute))
			b.visit("/days/1/now")
		})
	}
}

// The page of how a day goes renews itself while the day runs: what is said elsewhere
// comes in, and the table somebody is at stays where it was pushed and focused.
func TestWentRenewsItself(t *testing.T) {
	k := runBakery(t)
	_, work := k.next()
	k.follow(work.Start)
	b := open(t, k.base, look{name: "small", width: 320, height: 640})
	b.visit("/days/1/went")
	const table = `document.querySelector('[aria-label="Work as planned and as it was"]')`
	evaluate[bool](b, `(window.same = true, document.styleSheets[0].insertRule("main .scroll table { min-width: 900px }"), `+table+`.focus(), `+table+`.scrollLeft = 40, true)`)
	b.await(`document.querySelector("#screens").textContent !== ""`) // it hears
	tap := record.Tap{ID: "elsewhere", Day: 1, Version: 1, Task: work.ID, Kind: record.Ack, At: k.clock(), Recorded: k.clock()}
	if _, err := k.store.Tap(t.Context(), tap); err != nil {
		t.Fatal(err)
	}
	k.tell()
	b.await(`document.querySelector("#undo") !== null && document.querySelector("#undo").innerText.includes("On it")`)
	if !b.holds(`window.same && document.activeElement === ` + table + ` && document.activeElement.scrollLeft === 40`) {
		t.Errorf("the focus is at %q, pushed by %v", b.focused(), evaluate[float64](b, table+`.scrollLeft`))
	}
}
