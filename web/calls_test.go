package web_test

import (
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/live"
	"ovenward/web/webtest"
)

// ring puts the site's clock to when a call that spoils is due, plus some time,
// and rings what is due by then.
func (s *site) ring(after time.Duration) schedule.Alert {
	s.t.Helper()
	all, err := s.store.Alerts(s.t.Context(), s.id)
	if err != nil {
		s.t.Fatal(err)
	}
	i := slices.IndexFunc(all, func(a record.Alert) bool { return a.Kind == schedule.CallStart && a.TooFar.Sub(a.Due) > 16*time.Minute })
	if i < 0 {
		s.t.Fatal("no call has room")
	}
	s.now = all[i].Due.Add(after)
	if err := s.store.SaveDay(s.t.Context(), s.clockDay()); err != nil {
		s.t.Fatal(err)
	}
	if _, err := s.store.ClaimDue(s.t.Context(), all[i].Due); err != nil {
		s.t.Fatal(err)
	}
	if after > 0 {
		if _, err := s.store.ClaimDue(s.t.Context(), s.now); err != nil {
			s.t.Fatal(err)
		}
	}
	return all[i].Alert
}

// clockDay is the day with the clock's now: a fixed one never rings.
func (s *site) clockDay() record.Day {
	d, err := s.store.DayRecord(s.t.Context(), s.id)
	if err != nil {
		s.t.Fatal(err)
	}
	d.Now = ""
	return d
}

// form finds the button's form of a kind on the card of a task.
func form(t *testing.T, p *webtest.Page, kind record.TapKind, task string) url.Values {
	t.Helper()
	for _, f := range p.All("form") {
		if v := p.FormOf(f); v.Get("kind") == string(kind) && slices.Contains(v["task"], task) {
			return v
		}
	}
	t.Fatalf("no button %s for %s in %q", kind, task, p.Text(nil))
	return nil
}

// card is the card that speaks of a call by its words.
func card(t *testing.T, p *webtest.Page, class string) *html.Node {
	t.Helper()
	if all := p.Class(class); len(all) > 0 {
		return all[0]
	}
	t.Fatalf("no card is %s: %q", class, p.Text(nil))
	return nil
}

func (s *site) state(task string, kind schedule.AlertKind) record.AlertState {
	s.t.Helper()
	all, err := s.store.Alerts(s.t.Context(), s.id)
	if err != nil {
		s.t.Fatal(err)
	}
	i := slices.IndexFunc(all, func(a record.Alert) bool { return a.Task == task && a.Kind == kind })
	return all[i].State
}

func TestCallIsPutOffAtItsPrice(t *testing.T) {
	s := example(t)
	a := s.ring(0)
	off := form(t, s.page(s.at+"/calls"), record.Snooze, a.Task)
	if off.Get("minutes") != "5" || off.Get("value") == "" {
		t.Errorf("the first offer is %v", off)
	}
	s.sent(s.at+"/tap", off)
	if got := s.state(a.Task, a.Kind); got != record.Shelved {
		t.Errorf("the call is %s", got)
	}
	if text := s.page(s.at + "/calls").Text(nil); !strings.Contains(text, "Put off until") {
		t.Errorf("the card says %q", text)
	}
	off.Set("key", "another")
	s.refused(s.at+"/tap", off)
}

func TestCallThatHasWaitedFillsTheScreen(t *testing.T) {
	s := example(t)
	a := s.ring(0)
	if p := s.page(s.at + "/calls"); len(p.Class("choose")) > 0 {
		t.Error("it fills the screen at once")
	}
	s.ring(a.TooFar.Sub(a.Due)/2 + time.Second)
	p := s.page(s.at + "/calls")
	if text := p.Text(card(t, p, "choose")); !strings.Contains(text, "Ways to go on") {
		t.Errorf("it says %q", text)
	}
	s.sent(s.at+"/tap", form(t, p, record.Ack, a.Task))
	if p := s.page(s.at + "/calls"); len(p.Class("choose")) > 0 {
		t.Error("it fills the screen although somebody is on it")
	}
}

func TestPastTooFarStandsUntilDecided(t *testing.T) {
	s := example(t)
	a := s.ring(0)
	s.ring(a.TooFar.Sub(a.Due) + time.Minute)
	p := s.page(s.at + "/calls")
	text := p.Text(card(t, p, "standing"))
	for _, word := range []string{"It was fine", "Go on anyway", "again", "Throw away"} {
		if !strings.Contains(text, word) {
			t.Errorf("the card does not say %q: %q", word, text)
		}
	}
	if got := s.state(a.Task, a.Kind); got != record.Past {
		t.Errorf("the call is %s", got)
	}
	var kinds []string // destroying is never beside Done
	for _, f := range p.All("form") {
		kinds = append(kinds, p.FormOf(f).Get("kind"))
	}
	if n := len(kinds); n < 5 || !slices.Equal(kinds[:2], []string{"ack", "done"}) && !slices.Equal(kinds[:2], []string{"ack", "start"}) || slices.Index(kinds, "discard") < 5 {
		t.Errorf("the buttons are %v", kinds)
	}
	s.sent(s.at+"/tap", form(t, p, record.Discard, a.Task))
	if got := s.state(a.Task, a.Kind); got != record.Suppressed {
		t.Errorf("the call is %s", got)
	}
	if !s.hub.heard(live.Tap{Day: 1}) {
		t.Error("the other screens were not told")
	}
}

// A dough thrown away is called for nothing any more, and stands as thrown away;
// one undo has all of it called again.
func TestThrownAway(t *testing.T) {
	s := example(t)
	a := s.ring(0)
	s.ring(a.TooFar.Sub(a.Due) + time.Minute)
	plan, err := s.store.Plan(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	dough := a.Task[:1] // whole, for nothing was taken from it
	silent := func() (n, of int) {
		all, err := s.store.Alerts(t.Context(), s.id)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range all {
			if lettered(b.Task, dough) && !b.Due.Before(a.Due) {
				if of++; b.Next.IsZero() {
					n++
				}
			}
		}
		return n, of
	}
	before, of := silent()
	discard := form(t, s.page(s.at+"/calls"), record.Discard, a.Task)
	p := s.sent(s.at+"/tap", discard)
	if n, _ := silent(); n != of || of < 4 {
		t.Errorf("%d of %d calls of the dough are silent", n, of)
	}
	if text := p.Text(nil); !strings.Contains(text, "Say what is to become of its orders") || !strings.Contains(text, "Make it again") || !strings.Contains(text, "Leave it out") {
		t.Errorf("it says %q", text)
	}
	p = s.page(s.at)
	for _, row := range p.All("tr") {
		i := slices.IndexFunc(plan.Plan.Tasks, func(x schedule.Task) bool { return x.ID == webtest.Attr(row, "data-t") })
		if i < 0 {
			continue
		}
		x := &plan.Plan.Tasks[i]
		lost := x.Batch == dough && !x.Start.Before(a.Due)
		if text := p.Text(row); strings.Contains(text, "thrown away") != lost {
			t.Errorf("%s, thrown away: %v, says %q", x.ID, lost, text)
		}
	}
	s.sent(s.at+"/tap", url.Values{"kind": {"undo"}, "of": {discard.Get("key")}, "key": {"back"}, "version": {"1"}})
	if n, _ := silent(); n != before {
		t.Errorf("taken back, %d calls are silent, want %d as before", n, before)
	}
}

// Whoever shapes a dough again says that it had gone over: ways to go on follow,
// and it is learnt from.
func TestShapedAgain(t *testing.T) {
	s := example(t)
	a := s.ring(0)
	s.ring(a.TooFar.Sub(a.Due) + time.Minute)
	s.sent(s.at+"/tap", form(t, s.page(s.at+"/calls"), record.Reshape, a.Task))
	run, err := s.store.Running(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(run.Log); n != 1 || run.Log[0].Kind != schedule.Over || run.Log[0].Task == a.Task {
		t.Errorf("the log is %+v", run.Log)
	}
}

// One tap answers every call of a card.
func TestOneTapForACard(t *testing.T) {
	s := example(t)
	a := s.ring(0)
	all, err := s.store.Alerts(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(all, func(b record.Alert) bool { return b.State == record.Rung && b.Task != a.Task })
	if i < 0 {
		t.Fatal("only one call rings")
	}
	other := all[i]
	on := form(t, s.page(s.at+"/calls"), record.Ack, a.Task)
	on["task"] = []string{a.Task, other.Task}
	s.sent(s.at+"/tap", on)
	s.sent(s.at+"/tap", on) // sent twice, kept once
	taps, err := s.store.Taps(t.Context(), s.id)
	if err != nil || len(taps) != 2 {
		t.Errorf("%d taps, %v, want 2", len(taps), err)
	}
	if one, two := s.state(a.Task, a.Kind), s.state(other.Task, other.Kind); one != record.Acked || two != record.Acked {
		t.Errorf("the calls are %s and %s", one, two)
	}
	p := s.page(s.at + "/now")
	if text := p.Text(p.Class("undo")[0]); !strings.Contains(text, " and 1 more") {
		t.Errorf("it offers to take back %q", text)
	}
	s.sent(s.at+"/tap", p.FormOf(p.Class("undo")[0]))
	if one, two := s.state(a.Task, a.Kind), s.state(other.Task, other.Kind); one != record.Rung || two != record.Rung {
		t.Errorf("taken back, the calls are %s and %s", one, two)
	}
}

// The piece of page tells a screen when the day rings next, for when it has lost
// the program.
func TestCallsTellWhatIsComing(t *testing.T) {
	s := example(t)
	s.ring(0)
	coming := webtest.Attr(s.page(s.at+"/calls").ID("calls-now"), "data-coming")
	all, err := s.store.Alerts(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	want := 0
	for _, b := range all {
		if !b.Next.IsZero() {
			want++
		}
	}
	if got := len(strings.Split(coming, ",")); got != want || want < 10 {
		t.Errorf("%d rings are coming, want %d: %s", got, want, coming)
	}
}

// Bread that was loaded some minutes late is out late by as much, on the card and
// at the call; when it is pale it gets some minutes more, said of the bake and not
// of its proof.
func TestBreadIsOutWhenItHasHadItsTime(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	saved, err := s.store.Plan(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(saved.Plan.Tasks, func(x schedule.Task) bool { return x.Kind == schedule.Bake && x.End.Sub(x.Start) < 20*time.Minute }) // out soon, so on its card
	bake := saved.Plan.Tasks[i]
	out := bake.Hands[1].From
	s.now = bake.Start.Add(4 * time.Minute)
	due := func() string {
		t.Helper()
		all, err := s.store.Alerts(t.Context(), s.id)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(all, func(a record.Alert) bool { return a.Task == bake.ID && a.Kind == schedule.CallUnload })
		return clockOf(all[i].Due)
	}
	says := func(out time.Time) bool {
		t.Helper()
		return strings.Contains(s.page(s.at+"/now").Text(nil), "due "+clockOf(out)+" (was "+clockOf(bake.Hands[1].From)+")")
	}
	s.sent(s.at+"/tap", url.Values{"key": {"in"}, "task": {bake.ID}, "kind": {"start"}, "version": {"1"}, "back": {"now"}})
	if want := out.Add(4 * time.Minute); due() != clockOf(want) || !says(want) {
		t.Errorf("loaded 4 min late it is called out at %s, planned for %s: %s", due(), clockOf(out), s.page(s.at+"/now").Text(nil))
	}
	s.now = out.Add(5 * time.Minute)
	more := form(t, s.page(s.at+"/now"), record.NotYet, bake.ID)
	if more.Get("minutes") != "3" {
		t.Errorf("the first offer is %v", more)
	}
	more.Set("key", "pale")
	s.sent(s.at+"/tap", more)
	if log := s.running().Log; len(log) != 2 || log[1].Task != bake.ID || log[1].Kind != schedule.NotYet {
		t.Fatalf("log %+v", log)
	}
	// out in three minutes, the hands come two before
	if want := out.Add(6 * time.Minute); due() != clockOf(want) || !says(want) {
		t.Errorf("3 min more: called out at %s, want %s", due(), clockOf(want))
	}
	s.page("/days/1")
	s.page("/days/1/sheet")
	s.sent(s.at+"/tap", url.Values{"kind": {"undo"}, "of": {"pale"}, "key": {"u1"}, "version": {"1"}})
	if want := out.Add(4 * time.Minute); due() != clockOf(want) {
		t.Errorf("taken back, it is called out at %s, want %s", due(), clockOf(want))
	}
}
