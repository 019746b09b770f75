package web_test

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/webtest"
)

// touches are the lines of the last ten minutes, as "what, minutes left; Undo" or
// what has to be first.
func (s *site) touches() (lines []string) {
	s.t.Helper()
	p := s.page(s.at + "/went")
	if p.ID("undo") == nil {
		return nil
	}
	for n := range p.ID("undo").Descendants() {
		if n.Data == "li" {
			text, _, _ := strings.Cut(strings.ReplaceAll(p.Text(n), "\u00a0", " "), " : ") // for screen readers
			lines = append(lines, text)
		}
	}
	return lines
}

// back presses Undo in the list for what was said under a key, and gives where
// that leads or what it says.
func (s *site) back(key string) string {
	s.t.Helper()
	p := s.page(s.at + "/went")
	for _, f := range p.All("form") {
		if v := p.FormOf(f); v.Get("of") == key {
			w := s.post(s.at+"/tap", v)
			if again := s.post(s.at+"/tap", v); again.Code != w.Code || again.Header().Get("Location") != w.Header().Get("Location") {
				s.t.Errorf("sent twice: %d, then %d", w.Code, again.Code)
			}
			return w.Header().Get("Location")
		}
	}
	s.t.Fatalf("no Undo of %s in %q", key, p.Text(nil))
	return ""
}

// Each of the last ten minutes has its own Undo and its minutes left; they can be
// taken back in either order, and one too old has gone from the list.
func TestLastTenMinutes(t *testing.T) {
	t.Parallel()
	for _, order := range [][]int{{0, 1}, {1, 0}} {
		s := example(t)
		s.live()
		plan, _ := s.store.Plan(t.Context(), s.id)
		task := plan.Plan.Tasks[0]
		s.now = task.Start.Add(time.Minute)
		at := func() string { return s.now.Format("15:04") }
		want := []string{at() + " On it: Mix the poolish, B Slipway hearth loaf · 4 min left Undo"}
		keys := []string{s.told(task.ID, record.Ack)}
		s.now = s.now.Add(6 * time.Minute)
		want = append([]string{at() + " Done: Mix the poolish, B Slipway hearth loaf · 10 min left Undo"}, want...)
		keys = append(keys, s.told(task.ID, record.Finished))
		if diff := cmp.Diff(want, s.touches()); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
		bar := s.page(s.at + "/now").Class("undo")[0]
		if got := s.page(s.at + "/now").Text(bar); got != "Done: Mix the poolish, B Slipway hearth loaf 1 more can be taken back Undo" {
			t.Errorf("the bar says %q", got)
		}
		for _, i := range order {
			if to := s.back(keys[i]); to != s.at+"/went" {
				t.Errorf("it leads to %q", to)
			}
		}
		if got := s.touches(); got != nil || len(s.running().Log) != 0 {
			t.Errorf("left are %q and %v", got, s.running().Log)
		}
		if got := s.state(task.ID, schedule.CallStart); got != record.Scheduled {
			t.Errorf("taken back in order %v, the call is %s", order, got)
		}
		s.told(task.ID, record.Started)
		s.now = s.now.Add(record.UndoFor + time.Second)
		if got := s.touches(); got != nil {
			t.Errorf("after ten minutes there is still %q", got)
		}
	}
}

// choose takes the first choice of a page and gives its key.
func (s *site) choose(p *webtest.Page) (key string) {
	s.t.Helper()
	v := p.Form(s.at + "/choices")
	for _, b := range p.All("button") {
		if webtest.Attr(b, "name") == "pick" && v.Get("pick") == "" {
			v.Set("pick", webtest.Attr(b, "value"))
		}
	}
	s.sent(s.at+"/choices", v)
	return v.Get("key")
}

// What something said later stands on says so, and is refused when it is sent all
// the same: a plan that was taken, an order that was raised once it was there.
func TestStandsOn(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	rise, _ := s.bulk()
	s.now = rise.Start.Add(30 * time.Minute)
	before := s.running()
	if code, to, p := s.say("oven-out 300", "oven", url.Values{"oven.of": {"Deck oven"}}); code != http.StatusSeeOther || to != s.at+"/choices" {
		t.Fatalf("%d, leads to %q: %s", code, to, p.Text(nil))
	}
	accepted := s.choose(s.page(s.at + "/choices"))
	text := strings.Join(s.touches(), "\n")
	if !strings.Contains(text, "Took another plan · 10 min left Undo") || !strings.Contains(text, "Take back “Took another plan” first.") {
		t.Errorf("the list says %s", text)
	}
	undo := func(of, key string) (int, string) {
		d, _ := s.store.DayRecord(t.Context(), s.id)
		w := s.post(s.at+"/tap", url.Values{"kind": {"undo"}, "of": {of}, "key": {key}, "version": {strconv.Itoa(d.Version)}, "back": {"went"}})
		return w.Code, webtest.Parse(t, w.Body).Text(nil)
	}
	if code, text := undo("oven", "u1"); code != http.StatusConflict || !strings.Contains(text, "“Took another plan” was said after this and stands on it. Take that back first, then this.") {
		t.Errorf("%d %s", code, text)
	}
	s.back(accepted)
	if got := s.running(); cmp.Diff(before.Plan.Plan.Tasks, got.Plan.Plan.Tasks) != "" || got.Version != 3 || len(got.Log) != 1 {
		t.Errorf("the plan did not come back: version %d, log %v", got.Version, got.Log)
	}
	s.back("oven")
	if got := s.running(); len(got.Log) != 0 {
		t.Errorf("the log has %v", got.Log)
	}
	for of, want := range map[string]string{"oven": "This has been taken back already.", "never": "Nothing like that was said on this day, so it cannot be taken back."} {
		if code, text := undo(of, "again "+of); code < 400 || !strings.Contains(text, want) {
			t.Errorf("%s: %d %s", of, code, text)
		}
	}

	s.say("order-add", "new", url.Values{"new.bread": {"plain-bun"}, "new.pieces": {"6"}, "new.at": {"14:00"}, "new.at.day": {"2026-11-28"}})
	n := len(s.running().Base.Orders)
	s.say("order-raise", "more", url.Values{"raise.order": {strconv.Itoa(n)}, "raise.pieces": {"9"}})
	if got := s.running().Log; len(got) != 2 {
		t.Fatalf("the log has %v", got)
	}
	if code, text := undo("new", "u3"); code != http.StatusConflict || !strings.Contains(text, "stands on it") {
		t.Errorf("an order beneath its raise: %d %s", code, text)
	}
	s.back("more")
	s.back("new")
	if got := s.running().Log; len(got) != 0 {
		t.Errorf("the log has %v", got)
	}
}

// The fridge from a call is one touch, though it says that nobody came and takes a
// plan; a dough that has been carried into it since stands on that.
func TestFridgeTakenBack(t *testing.T) {
	t.Parallel()
	s, bake := called(t)
	s.late(bake)
	before, was := s.running(), s.state(bake.ID, schedule.CallStart)
	v := fridge(s.page(s.at+"/calls"), s.at)
	s.sent(s.at+"/choices", v)
	rise := s.task(func(k schedule.Task) bool { return k.Rescue != nil })
	carried := s.told(rise.ID, record.PutCold)
	if got := s.touches(); len(got) < 2 || !strings.Contains(got[0], "Put into the cold: ") || !strings.Contains(got[1], "Took another plan · 10 min left Take back “Put into the cold: ") {
		t.Errorf("the list says %q", got)
	}
	s.back(carried)
	s.back(v.Get("key"))
	after := s.running()
	if diff := cmp.Diff(before.Plan.Plan, after.Plan.Plan); diff != "" || len(after.Log) != len(before.Log) {
		t.Errorf("%d entries were %d, and the plan (-before +after):\n%s", len(after.Log), len(before.Log), diff)
	}
	s.claim()
	all, err := s.store.Alerts(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	all = slices.DeleteFunc(all, func(a record.Alert) bool {
		return a.State == record.Scheduled || a.State == record.Done || a.State == record.Suppressed
	})
	if was != record.Rung || len(all) == 0 || all[len(all)-1].State != record.Rung {
		t.Errorf("the call was %s, now there are %+v", was, all)
	}
}
