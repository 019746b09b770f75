package web_test

import (
	"encoding/json"
	"net/http"
	"net/url"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/webtest"
)

// hot is a site with the hot afternoon of testdata, planned, as the baker's own.
func hot(t *testing.T) *site {
	t.Helper()
	s := empty(t)
	data, err := os.ReadFile("../testdata/day/hot-afternoon.json")
	if err != nil {
		t.Fatal(err)
	}
	var d schedule.Day
	if err := json.Unmarshal(data, &d); err != nil {
		t.Fatal(err)
	}
	for i := range d.Kitchen.Places { // a little less hot, so that a dough missed for minutes can still be held back
		if pl := &d.Kitchen.Places[i]; pl.Kind == schedule.Room {
			for k := range pl.Curve {
				pl.Curve[k].Celsius -= 3
			}
		}
	}
	p, err := schedule.PlanDay(t.Context(), &d, d.Settings)
	if err != nil {
		t.Fatal(err)
	}
	s.now = p.Made
	d.Now = ""
	if s.id, err = s.store.ImportDay(t.Context(), d); err != nil {
		t.Fatal(err)
	}
	s.at = "/days/1"
	day, err := s.store.Day(t.Context(), s.id, s.now)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.store.SavePlan(t.Context(), s.id, day, p, schedule.Alerts(&p), s.now); err != nil {
		t.Fatal(err)
	}
	return s
}

// doneUntil says of everything before a moment that it was done as planned, and
// rings.
func (s *site) doneUntil(at time.Time) {
	s.t.Helper()
	for _, k := range s.running().Plan.Plan.Tasks {
		if len(k.Hands) > 0 && !k.End.After(at) {
			tap := record.Tap{ID: "done " + k.ID, Day: s.id, Version: 1, Task: k.ID, Kind: record.Finished, At: k.End, Recorded: k.End}
			if _, err := s.store.Tap(s.t.Context(), tap); err != nil {
				s.t.Fatal(err)
			}
		}
	}
	s.now = at
	s.claim()
}

func (s *site) claim() {
	s.t.Helper()
	if _, err := s.store.ClaimDue(s.t.Context(), s.now); err != nil {
		s.t.Fatal(err)
	}
}

// called is such an afternoon at the moment a bread is to be loaded.
func called(t *testing.T) (s *site, bake schedule.Task) {
	t.Helper()
	s = hot(t)
	bake = s.task(func(k schedule.Task) bool { return k.Kind == schedule.Bake && k.TooFar != nil })
	s.doneUntil(bake.Start)
	return s, bake
}

// late lets half of the time pass until a task is too late, and rings.
func (s *site) late(k schedule.Task) {
	s.t.Helper()
	s.now = k.Start.Add(k.TooFar.Sub(k.Start)/2 + 30*time.Second)
	s.claim()
}

// fridge is the form of a page by which the fridge is taken.
func fridge(p *webtest.Page, at string) url.Values {
	v := p.Form(at + "/choices")
	v.Set("pick", "chill")
	return v
}

// A call nobody comes to offers the fridge with its minutes; one tap takes it;
// the dough is called into the cold and out again, and each is answered for
// itself. What is carried is not the end of the rise.
func TestFridgeFromACall(t *testing.T) {
	t.Parallel()
	s, bake := called(t)
	if text := s.page(s.at + "/calls").Text(nil); strings.Contains(text, "Fridge") {
		t.Errorf("it offers the fridge at once: %s", text)
	}
	s.late(bake)
	p := s.page(s.at + "/calls")
	if text := strings.ReplaceAll(p.Text(nil), "\u00a0", " "); !strings.Contains(text, "Fridge · chill from ") {
		t.Fatalf("the card does not offer the fridge: %s", text)
	}
	v := fridge(p, s.at)
	said := s.sent(s.at+"/choices", v).Text(nil)
	if !strings.Contains(said, "Accepted: fridge for a while.") || !strings.Contains(said, "Into the cold: ") {
		t.Errorf("then it says %s", said)
	}
	s.sent(s.at+"/choices", v) // an impatient finger
	r := s.running()
	if r.Version != 2 || len(r.Log) == 0 || r.Log[len(r.Log)-1].Kind != schedule.Away {
		t.Fatalf("version %d, log %+v", r.Version, r.Log)
	}
	rise := s.task(func(k schedule.Task) bool { return k.Rescue != nil })
	log := len(r.Log)
	for _, c := range []struct {
		kind schedule.AlertKind
		tap  record.TapKind
		at   time.Time
		word string
	}{{schedule.CallFridge, record.PutCold, rise.Rescue.From, "into the cold"}, {schedule.CallOut, record.TakenOut, rise.Rescue.To, "out of the cold"}} {
		if got := s.state(rise.ID, c.kind); got != record.Scheduled && got != record.Rung {
			t.Errorf("%s is %s before", c.kind, got)
		}
		s.now = slices.MaxFunc([]time.Time{s.now, c.at.Add(time.Second)}, time.Time.Compare)
		s.claim()
		page := s.page(s.at + "/calls")
		if text := page.Text(nil); !strings.Contains(text, c.word) {
			t.Errorf("%s is worded %s", c.kind, text)
		}
		s.sent(s.at+"/tap", form(t, page, c.tap, rise.ID))
		if got := s.state(rise.ID, c.kind); got != record.Done {
			t.Errorf("%s is %s after", c.kind, got)
		}
		if text := s.page(s.at + "/now").Text(nil); strings.Contains(text, "It is in") {
			t.Errorf("it still asks for it: %s", text)
		}
	}
	if got := s.running().Log; len(got) != log {
		t.Errorf("carrying is taken for more: %+v", got[log:])
	}
}

// A dough gone over that is to be knocked back and to rise once more is called for,
// has a card at the bench, and one tap says it is done.
func TestKnockBackIsCalled(t *testing.T) {
	t.Parallel()
	s := hot(t)
	rise := s.task(func(k schedule.Task) bool { return k.Kind == schedule.Rise })
	s.doneUntil(rise.Start.Add(rise.End.Sub(rise.Start) / 2))
	run := s.running()
	p := run.Plan.Plan
	for i := range p.Tasks {
		if p.Tasks[i].ID == rise.ID {
			p.Tasks[i].Rescue = &schedule.Rescue{Kind: schedule.PressAgain, From: s.now}
		}
	}
	day, err := s.store.Day(t.Context(), s.id, s.now)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.store.SavePlan(t.Context(), s.id, day, p, schedule.AlertsFrom(&p, s.now), s.now); err != nil {
		t.Fatal(err)
	}
	if text := s.page(s.at + "/now").Text(nil); !strings.Contains(text, "it rises once more, until ") {
		t.Errorf("at the bench it says %s", text)
	}
	if got := s.state(rise.ID, schedule.CallPress); got != record.Scheduled {
		t.Errorf("the call is %s before", got)
	}
	s.now = s.now.Add(time.Minute)
	s.claim()
	calls := s.page(s.at + "/calls")
	if text := calls.Text(nil); !strings.Contains(text, "knock back Sesame ring") {
		t.Errorf("the call says %s", text)
	}
	s.sent(s.at+"/tap", form(t, calls, record.Pressed, rise.ID))
	if got := s.state(rise.ID, schedule.CallPress); got != record.Done {
		t.Errorf("the call is %s after", got)
	}
	if text := s.page(s.at + "/now").Text(nil); strings.Contains(text, "it rises once more") {
		t.Errorf("it still asks for it: %s", text)
	}
}

// Who begins the work after the rise has taken the dough out, whatever rings.
func TestWorkSettlesCarrying(t *testing.T) {
	t.Parallel()
	s, bake := called(t)
	s.late(bake)
	s.sent(s.at+"/choices", fridge(s.page(s.at+"/calls"), s.at))
	rise := s.task(func(k schedule.Task) bool { return k.Rescue != nil })
	s.now = rise.End
	s.claim()
	w := s.post(s.at+"/tap", map[string][]string{"kind": {"start"}, "task": {bake.ID}, "key": {"in"}, "version": {"2"}})
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%d: %s", w.Code, webtest.Parse(t, w.Body).Text(nil))
	}
	for _, kind := range []schedule.AlertKind{schedule.CallFridge, schedule.CallOut} {
		if got := s.state(rise.ID, kind); got != record.Done {
			t.Errorf("%s is %s", kind, got)
		}
	}
}

// task is the first task of the plan at hand that want says yes to.
func (s *site) task(want func(schedule.Task) bool) schedule.Task {
	s.t.Helper()
	all := s.running().Plan.Plan.Tasks
	i := slices.IndexFunc(all, want)
	if i < 0 {
		s.t.Fatal("no such task")
	}
	return all[i]
}

// Whoever has no hands for a dough that is called finds the fridge at once, with
// its price; it is taken with one tap, and only then is it said that nobody comes.
func TestFridgeAtOnce(t *testing.T) {
	t.Parallel()
	s, bake := called(t)
	log := len(s.running().Log)
	card := s.page(s.at + "/now")
	to := ""
	for _, a := range card.All("a") {
		if strings.HasPrefix(card.Text(a), "Fridge?") {
			to = webtest.Attr(a, "href")
		}
	}
	p := s.page(to)
	if text := strings.ReplaceAll(p.Text(nil), "\u00a0", " "); !strings.Contains(text, "If nobody has hands for ") || !strings.Contains(text, "Fridge for a while") {
		t.Fatalf("%q says %s", to, text)
	}
	if n := len(s.running().Log); n != log {
		t.Errorf("looking says %d things", n-log)
	}
	for _, a := range p.All("a") {
		if href := webtest.Attr(a, "href"); strings.Contains(href, "show=chill") {
			to = href
		}
	}
	if v := s.page(to).Form(s.at + "/choices"); v.Get("call") != bake.ID {
		t.Errorf("drawn, it is of %q", v.Get("call"))
	}
	v := fridge(p, s.at)
	if said := s.sent(s.at+"/choices", v).Text(nil); !strings.Contains(said, "Accepted: fridge for a while.") {
		t.Errorf("then it says %s", said)
	}
	if r := s.running(); r.Version != 2 || len(r.Log) != log+1 || r.Log[log].Kind != schedule.Away {
		t.Errorf("version %d, log %+v", r.Version, r.Log)
	}
	if w := s.get(s.at + "/choices?busy=nothing"); w.Code != http.StatusOK {
		t.Errorf("of no task: %d", w.Code)
	}
}
