package e2e_test

import (
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/static"
	"ovenward/store"
	"ovenward/store/record"
	"ovenward/store/storetest"
	"ovenward/testdata"
	"ovenward/web"
	"ovenward/web/live"
	"ovenward/web/webtest"
)

// bakery is the program on the example day, as the baker's own and with a clock
// that the test turns: a morning passes in a minute.
type bakery struct {
	*testing.T
	store *store.Store
	hub   *live.Hub
	srv   *httptest.Server
	base  string

	mu  sync.Mutex
	now time.Time
}

func (k *bakery) clock() time.Time {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.now
}

// until turns the clock, and rings what is due.
func (k *bakery) until(t time.Time) {
	k.Helper()
	k.mu.Lock()
	k.now = t
	k.mu.Unlock()
	if _, err := k.store.ClaimDue(k.Context(), t); err != nil {
		k.Fatal(err)
	}
}

// coming is the next work of hands.
func (k *bakery) coming() schedule.Task {
	k.Helper()
	saved, err := k.store.Plan(k.Context(), 1)
	if err != nil {
		k.Fatal(err)
	}
	for _, t := range saved.Plan.Tasks { // by start
		if len(t.Hands) > 0 && t.Start.After(k.clock()) {
			return t
		}
	}
	k.Fatal("no work is to come")
	return schedule.Task{}
}

// tell tells every open page that something has happened.
func (k *bakery) tell() { k.hub.Publish(live.Tap{Day: 1}) }

// runBakery starts it, with the day planned, on the afternoon before.
func runBakery(t *testing.T) *bakery {
	t.Helper()
	k := &bakery{T: t, store: storetest.Open(t), now: time.Date(2026, 11, 27, 16, 0, 0, 0, time.UTC)}
	k.hub = live.NewHub()
	h, err := web.New(web.Config{Store: k.store, Hub: k.hub, Static: static.FS, Now: k.clock, Patience: patience})
	if err != nil {
		t.Fatal(err)
	}
	k.srv = httptest.NewServer(h)
	t.Cleanup(k.srv.Close)
	t.Cleanup(k.srv.CloseClientConnections) // streams do not end by themselves
	k.base = k.srv.URL
	var d schedule.Day
	if err := json.Unmarshal(testdata.Example, &d); err != nil {
		t.Fatal(err)
	}
	d.Example, d.Now = false, ""
	id, err := k.store.ImportDay(t.Context(), d)
	if err != nil {
		t.Fatal(err)
	}
	p, err := webtest.Example()
	if err != nil {
		t.Fatal(err)
	}
	day, err := k.store.Day(t.Context(), id, k.now)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := k.store.SavePlan(t.Context(), id, day, p.Plan, schedule.Alerts(&p.Plan), k.now); err != nil {
		t.Fatal(err)
	}
	return k
}

// next is the work that ends the first bulk rise at room temperature.
func (k *bakery) next() (rise, work schedule.Task) {
	k.Helper()
	saved, err := k.store.Plan(k.Context(), 1)
	if err != nil {
		k.Fatal(err)
	}
	for _, t := range saved.Plan.Tasks {
		if rise.ID == "" && t.Kind == schedule.Rise && t.Part == "" && !t.Chilled {
			rise = t
		} else if rise.ID != "" && t.Batch == rise.Batch && len(t.Hands) > 0 && t.Kind != schedule.Fold && !t.Start.Before(rise.End) {
			return rise, t
		}
	}
	k.Fatal("no bulk rise")
	return
}

// doneBefore says of everything before a moment that it was done as planned.
func (k *bakery) doneBefore(at time.Time) {
	k.Helper()
	saved, err := k.store.Plan(k.Context(), 1)
	if err != nil {
		k.Fatal(err)
	}
	for _, t := range saved.Plan.Tasks {
		if len(t.Hands) > 0 && !t.End.After(at) {
			tap := record.Tap{ID: t.ID, Day: 1, Version: saved.Version, Task: t.ID, Kind: record.Finished, At: t.End, Recorded: t.End}
			if _, err := k.store.Tap(k.Context(), tap); err != nil {
				k.Fatal(err)
			}
		}
	}
	k.until(at)
}

// The day is started; a call comes; the dough is not ready; the choices are
// looked at and one is accepted; the new plan is there, with its calls; the dough
// is ready, and done.
func TestNotYet(t *testing.T) {
	for _, l := range []look{phone, night, plain} {
		t.Run(l.name, func(t *testing.T) {
			k := runBakery(t)
			b := open(t, k.base, l)
			_, work := k.next()
			k.doneBefore(work.Start)
			card := fmt.Sprintf("article.card[data-t=%q]", work.ID)

			b.visit("/days/1/now")
			if got := b.text(card); !strings.Contains(got, "Ready") || !strings.Contains(got, "Not yet +20") || !strings.Contains(got, "Gone over") {
				t.Fatalf("the card asks\n%s", got)
			}
			b.picture("asked")
			b.tap(card+` form:has([name="minutes"][value="20"]) button`, `location.pathname === "/days/1/choices"`)
			b.picture("choices")
			if n := b.count("article[data-choice]"); n < 1 {
				t.Fatalf("%d choices:\n%s", n, b.text("main"))
			}
			if b.count("path.old") == 0 || !strings.Contains(b.text(".chip"), "min") && b.count(".chip") == 0 {
				t.Error("old and new are not compared")
			}
			pick := "article[data-choice] button[name=pick]"
			if b.count(`article[data-choice="chill"]`) > 0 {
				pick = `article[data-choice="chill"] button[name=pick]`
			}
			b.submit(pick)
			if at := b.where(); !strings.HasPrefix(at, "/days/1/now") {
				t.Fatalf("then it is at %s", at)
			}
			if said := b.text(".said"); !strings.Contains(said, "Accepted") && !strings.Contains(said, "stay as they were") {
				t.Errorf("it says %q", said)
			}
			b.picture("accepted")
			d, err := k.store.DayRecord(t.Context(), 1)
			if err != nil || d.Version != 2 {
				t.Fatalf("version %d, %v", d.Version, err)
			}

			k.until(k.clock().Add(20 * time.Minute))
			b.visit("/days/1/now")
			b.picture("again")
			ready, done := card+" button.main", card+" button.main"
			b.tap(ready, fmt.Sprintf(`document.querySelector(%q)?.innerText.startsWith("Done") === true`, done))
			b.tap(done, fmt.Sprintf(`document.querySelector(%q) === null`, card))
			b.visit("/learned")
			if got := b.text("main"); !strings.Contains(got, "slower here than the model says") {
				t.Errorf("it has learnt\n%s", got)
			}
			b.picture("learned")
		})
	}
}
