package e2e_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"ovenward/store/record"
)

// Without scripts, too, a call is put off at its price, and a dough nobody came to
// is decided on: on the page that is loaded again.
func TestCallsWithoutScripts(t *testing.T) {
	k := runBakery(t)
	b := open(t, k.base, plain)
	_, work := k.next()
	k.doneBefore(work.Start)
	b.visit("/days/1/now")
	card := fmt.Sprintf(`.call:has([name=task][value=%q])`, work.ID)
	if got := b.text(card); !strings.Contains(got, "On it") || !strings.Contains(got, "+5 min") {
		t.Fatalf("the call asks\n%s", got)
	}
	if at := b.text("body"); !strings.Contains(at, "Without scripts nothing rings on this screen") {
		t.Error("it does not say that nothing rings")
	}
	b.submit(card + ` form:has([value=snooze]) button`)
	if got := b.text(card); !strings.Contains(got, "Put off until") {
		t.Errorf("then it says\n%s", got)
	}
	b.picture("put-off")
	k.until(work.TooFar.Add(time.Minute))
	b.visit("/days/1/now")
	b.picture("too-far")
	b.submit(card + fmt.Sprintf(` form:has([value=%q]) button`, record.Discard))
	if got := b.text("main"); !strings.Contains(got, "Make it again") || !strings.Contains(got, "Leave it out") {
		t.Errorf("then it says\n%s", got)
	}
	b.submit(`article[data-choice="leave-out"] button[name=pick]`)
	b.visit("/days/1/now")
	if n := b.count(card); n != 0 {
		t.Errorf("%d calls of it are left", n)
	}
}
