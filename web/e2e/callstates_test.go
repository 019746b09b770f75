package e2e_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"

	"ovenward/schedule"
	"ovenward/store/record"
)

// call is the first call of a kind from a moment on that a check accepts.
func (k *bakery) call(kind schedule.AlertKind, from time.Time, fits func(record.Alert) bool) record.Alert {
	k.Helper()
	all, err := k.store.Alerts(k.Context(), 1)
	if err != nil {
		k.Fatal(err)
	}
	i := slices.IndexFunc(all, func(a record.Alert) bool { return a.Kind == kind && !a.Due.Before(from) && fits(a) })
	if i < 0 {
		k.Fatalf("no call to %s", kind)
	}
	return all[i]
}

// A call from its heads-up to too far, and all that is shown with it: the bar at
// the foot, the card, what fills the screen, somebody on it, Undo, the ways on,
// the line that is lost.
func TestStatesOfCalls(t *testing.T) {
	k := runBakery(t)
	e := examine(t, k.base)
	const bar = "/days/1/copy" // a short page of the day
	called := func(page, words string) {
		t.Helper()
		e.visit(page)
		e.await(`document.querySelector("#calls-now")`)
		if said := e.text("#calls"); !strings.Contains(strings.ReplaceAll(said, "\u00a0", " "), words) {
			t.Errorf("at %s it calls %q, want %q", k.clock().Format("15:04"), said, words)
		}
	}
	soon := k.call(schedule.CallHeadsUp, time.Time{}, func(record.Alert) bool { return true })
	k.follow(soon.Due)
	called(bar, "Coming up")
	e.state("heads-up")

	a := k.call(schedule.CallStart, soon.Due.Add(time.Hour), func(a record.Alert) bool { return a.TooFar.Sub(a.Due) > 30*time.Minute })
	k.follow(a.Due)
	called(bar, "Due: ")
	e.state("ringing")
	e.visit("/days/1/now")
	e.state("ringing-now")
	called(bar, "On it")
	e.tap("#calls form[data-kind=ack] button", `document.querySelector("#calls").innerText.includes("Somebody is on it")`)
	e.state("on-it")

	e.visit("/days/1/now")
	gone := fmt.Sprintf(`document.querySelector("article.card[data-t='%s']") === null && document.querySelector(".undo") !== null`, a.Task)
	e.tap(fmt.Sprintf("article.card[data-t=%q] form:has([value=done]) button", a.Task), gone)
	e.state("undo")

	waits := k.call(schedule.CallStart, a.Due.Add(time.Minute), func(a record.Alert) bool { return a.TooFar.Sub(a.Due) > 30*time.Minute })
	k.follow(waits.Due)
	for at := waits.Due; at.Before(waits.Due.Add(waits.TooFar.Sub(waits.Due)/2 + time.Minute)); at = at.Add(time.Minute) {
		k.until(at) // so that it has rung
	}
	called(bar, "Ways to go on")
	e.state("choose")

	unload := k.call(schedule.CallUnload, k.clock(), func(record.Alert) bool { return true })
	k.follow(unload.Due)
	k.until(unload.Due.Add(2 * time.Minute))
	called(bar, "2 min late")
	e.state("overdue")
	k.until(unload.TooFar.Add(time.Minute))
	called(bar, "Over its time")
	e.state("too-far")
	e.visit("/days/1/now")
	e.state("too-far-now")

	e.do(call(network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
		MatchedNetworkConditions: []*network.Conditions{{Offline: true}},
	}))
	e.hush("net::ERR_")
	k.srv.CloseClientConnections()
	e.await(`!document.querySelector("#offline").hidden`)
	e.state("line-lost")
}

// The ways on, old and new side by side, first one and then another in the drawing.
func TestStatesOfChoices(t *testing.T) {
	k := runBakery(t)
	e := examine(t, k.base)
	load := k.task(schedule.Bake, "Milk pan loaf")
	k.follow(load.Start)
	e.visit("/days/1/slip?task=" + load.ID)
	e.state("what-happened")
	e.submit(`button[value="not-yet 40"]`)
	e.state("choices")
	e.submit(`article[data-choice] a.button`)
	e.state("choices-another")
	e.submit(`article[data-choice="chill"] button[name=pick]`)
	e.visit("/days/1")
	e.state("day-under-way")
}

// A dough is thrown away at its rise, and made again.
func TestStatesOfLoss(t *testing.T) {
	k := runBakery(t)
	e := examine(t, k.base)
	rise := k.task(schedule.Rise, "Milk dough")
	k.follow(rise.End.Add(-10 * time.Minute))
	e.visit("/days/1/slip?task=" + rise.ID)
	e.submit(`button[value="dough-lost"]`)
	e.state("thrown-away")
	e.submit(`article[data-choice="make-again"] button[name=pick]`)
	e.visit("/days/1")
	if got := e.text("main"); !strings.Contains(got, "Thrown away at") || !strings.Contains(got, "made again") {
		t.Errorf("the day says\n%s", got)
	}
	e.state("made-again")
	e.visit("/days/1/sheet")
	e.state("made-again-sheet")
}

// Every choice is late; what would help is asked for, and taken.
func TestStatesOfAids(t *testing.T) {
	k := runBakery(t)
	e := examine(t, k.base)
	load := k.task(schedule.Bake, "Milk pan loaf")
	k.follow(load.Start.Add(-90 * time.Minute))
	e.visit("/days/1/slip")
	e.submit(`button[value="oven-out 120"]`)
	e.state("stuck")
	e.submit(`a[href$="help=1#help"]`)
	e.state("would-help")
	e.submit(`button[value="aid-later"]`)
	if got := e.text("main"); !strings.Contains(got, "Nothing is late.") {
		t.Errorf("then it says\n%s", got)
	}
}

// Everybody goes when the last load is in the oven, and its proof needs longer: somebody
// is asked to stay, and agrees.
func TestStatesOfStaying(t *testing.T) {
	k := runBakery(t)
	e := examine(t, k.base)
	load := k.task(schedule.Bake, "Potato loaf")
	proof := k.task(schedule.Proof, "Potato loaf")
	kitchen, err := k.store.Kitchen(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	end := load.End.Add(15 * time.Minute)
	for i := range kitchen.Bakers {
		kitchen.Bakers[i].Hours = []schedule.Hours{{From: 4 * 60, To: schedule.Clock(60*end.Hour() + end.Minute())}}
	}
	if err := k.store.SaveKitchen(t.Context(), kitchen); err != nil {
		t.Fatal(err)
	}
	e.visit("/days/1/plan")
	e.submit(`form[action="/days/1/plan"] button.main`)
	load, proof = k.task(schedule.Bake, "Potato loaf"), k.task(schedule.Proof, "Potato loaf")
	k.follow(proof.End)
	e.visit("/days/1/slip?task=" + proof.ID)
	e.submit(`button[value="not-yet 40"]`)
	e.submit(`a[href$="help=1#help"]`)
	if got := e.text("main"); !strings.Contains(got, "longer): then") {
		t.Errorf("nobody is asked\n%s", got)
	}
	e.state("asked-to-stay")
	e.submit(`button[value="aid-stay"]`)
	if got := e.text("main"); !strings.Contains(got, "min longer)") {
		t.Errorf("then it says\n%s", got)
	}
	e.state("stays")
}

// That somebody stays or comes is said by hand, refused where it cannot be, kept by a plan
// made anew, and taken back.
func TestStatesOfPeople(t *testing.T) {
	k := runBakery(t)
	e := examine(t, k.base)
	stays := func(who, how, at string) {
		t.Helper()
		e.visit("/days/1/slip")
		e.choose("stays.of", who)
		e.choose("stays.how", how)
		e.fill(`[id="stays.at"]`, at)
	}
	stays("Nora", "", "12:00")
	e.allow(422)
	e.submit(`button[value="stays"]`)
	if got := e.text("#faults"); !strings.Contains(got, "Nora is at work at 12:00 as it is") {
		t.Errorf("it says\n%s", got)
	}
	e.state("stays-refused")
	e.fill(`[id="stays.at"]`, "15:00")
	e.submit(`button[value="stays"]`)
	stays("Piet", "comes", "6.30")
	e.submit(`button[value="stays"]`)
	e.visit("/days/1/plan")
	e.submit(`form[action="/days/1/plan"] button.main`)
	e.visit("/days/1")
	if got := e.text("main"); !strings.Contains(got, "Nora stays until Sat\u00a015:00 (2\u00a0h\u00a030 longer).") || !strings.Contains(got, "Piet comes at Sat\u00a006:30 (30\u00a0min sooner).") {
		t.Errorf("planned anew, it says\n%s", got)
	}
	e.visit("/days/1/slip")
	e.state("people")
	e.submit(`#people button`)
	e.visit("/days/1")
	if got := e.text("main"); strings.Contains(got, "Nora stays") || !strings.Contains(got, "Piet comes") {
		t.Errorf("taken back, it says\n%s", got)
	}
}

// Done, tapped the day before, is asked about; no leaves all as it was, yes takes it.
func TestStatesOfEarly(t *testing.T) {
	k := runBakery(t)
	e := examine(t, k.base)
	log := func() int {
		t.Helper()
		run, err := k.store.Running(t.Context(), 1)
		if err != nil {
			t.Fatal(err)
		}
		return len(run.Log)
	}
	for _, answer := range []string{".acts a", `button[name="sure"]`} {
		e.visit("/days/1/now")
		e.allow(409)
		e.tap(".card .act.main", `document.querySelector('h1').textContent.startsWith('Is it')`)
		if got := e.text("main"); !strings.Contains(got, "This was planned for today 18:") || log() != 0 {
			t.Errorf("it asks, with %d kept\n%s", log(), got)
		}
		if answer == ".acts a" {
			e.state("asked-whether-done")
		}
		e.submit(answer)
		if at := e.where(); !strings.HasPrefix(at, "/days/1/now") {
			t.Errorf("it leads to %s", at)
		}
	}
	if log() != 1 {
		t.Errorf("%d entries of the log, answered yes", log())
	}
}
