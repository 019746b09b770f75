package web_test

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/store/record"
	"ovenward/web/webtest"
)

// What cannot have happened when it is said to have: the sentence tells both
// times, and nothing is kept.
func TestTimesThatCannotBe(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	_, next := s.bulk()
	s.now = next.Start.Add(time.Minute)
	if code, _, p := s.say("start 0", "begun", url.Values{"task": {next.ID}}); code != http.StatusSeeOther {
		t.Fatalf("%d: %s", code, p.Text(nil))
	}
	begun := clockOf(s.now)
	s.now = s.now.Add(3 * time.Minute)
	for _, tt := range []struct{ name, do, ago, want string }{
		{"done before it was begun", "done 10", "", " was begun at " + begun + "; give a time after that"},
		{"typed as ago", "done", "10", " was begun at " + begun + "; give a time after that"},
		{"done in half an hour", "done -30", "", clockOf(s.now.Add(30*time.Minute)) + " is still to come, it is " + clockOf(s.now) + " now; say it once it has happened"},
		{"done in the future, typed", "done", "-30", " is still to come, it is " + clockOf(s.now) + " now"},
		{"done last week", "done 10080", "", "is more than three days ago; give a time of this day"},
	} {
		code, _, p := s.say(tt.do, tt.name, url.Values{"task": {next.ID}, "task.ago": {tt.ago}})
		if faults := p.ID("faults"); code != http.StatusUnprocessableEntity || faults == nil || !strings.Contains(p.Text(faults), tt.want) {
			t.Errorf("%s: %d %s, want %q", tt.name, code, p.Text(faults), tt.want)
		}
	}
	if log := s.running().Log; len(log) != 1 {
		t.Errorf("kept all the same: %+v", log)
	}
}

// A phone whose clock is years off: no form carries its time, and what it sends
// all the same counts for nothing. The minute of an offer, which the server gave
// out, is refused with words when it cannot be.
func TestPhoneWithWrongClock(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	_, next := s.bulk()
	s.now = next.Start
	for i, wrong := range []time.Time{time.Unix(0, 0), s.now.AddDate(12, 0, 0)} {
		s.now = s.now.Add(time.Minute)
		v := url.Values{"key": {strconv.Itoa(i)}, "task": {next.ID}, "kind": {"not-yet"}, "minutes": {"20"}, "version": {"1"}}
		for _, name := range []string{"at", "now", "time", "recorded"} {
			v.Set(name, wrong.Format(time.RFC3339))
		}
		r := httptest.NewRequest(http.MethodPost, s.at+"/tap", strings.NewReader(v.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Date", wrong.UTC().Format(http.TimeFormat))
		if w := s.do(r); w.Code != http.StatusSeeOther {
			t.Fatalf("%d: %s", w.Code, w.Body)
		}
		taps, err := s.store.Taps(t.Context(), s.id)
		if err != nil || len(taps) != i+1 || !taps[i].At.Equal(s.now) || !taps[i].Recorded.Equal(s.now) {
			t.Fatalf("taps %+v, %v; it is %v", taps, err, s.now)
		}
	}
	v := s.page(s.at + "/choices").Form(s.at + "/choices")
	v.Set("pick", "keep")
	for _, minute := range []int64{0, -1, s.now.AddDate(12, 0, 0).Unix() / 60, 1 << 62} {
		v.Set("at", strconv.FormatInt(minute, 10))
		w := s.post(s.at+"/choices", v)
		if got := webtest.Parse(t, w.Body).Text(nil); w.Code != http.StatusConflict || !strings.Contains(got, "Time has moved on. These are the choices as of "+clockOf(s.now)) {
			t.Errorf("minute %d: %d %s", minute, w.Code, got)
		}
	}
	if r := s.running(); r.Version != 1 || len(r.Log) != 2 {
		t.Errorf("version %d, log %+v", r.Version, r.Log)
	}
}

// Two people answer one alert at once, one on it and one not yet: both are heard,
// whoever is first, and one call is left, which comes once more.
func TestTwoAnswersAtOnce(t *testing.T) {
	t.Parallel()
	s := example(t)
	a := s.ring(0)
	s.live()
	var wg sync.WaitGroup
	codes := make([]int, 2)
	for i, kind := range []record.TapKind{record.Ack, record.NotYet} {
		wg.Go(func() {
			v := url.Values{"key": {string(kind)}, "task": {a.Task}, "kind": {string(kind)}, "minutes": {"10"}, "version": {"1"}}
			codes[i] = s.post(s.at+"/tap", v).Code
		})
	}
	wg.Wait()
	if codes[0] != http.StatusSeeOther || codes[1] != http.StatusSeeOther {
		t.Errorf("answers %v", codes)
	}
	if got := s.state(a.Task, a.Kind); got != record.Acked && got != record.Shelved {
		t.Errorf("the call is %s", got)
	}
	after := time.Duration(-1)
	for d := time.Duration(0); d <= 11*time.Minute && after < 0; d += 15 * time.Second {
		due, err := s.store.ClaimDue(t.Context(), s.now.Add(d))
		if err != nil {
			t.Fatal(err)
		}
		if slices.ContainsFunc(due, func(x record.Alert) bool { return x.Task == a.Task && x.Kind == a.Kind }) {
			after = d
		}
	}
	if after < time.Minute {
		t.Errorf("it rings again %v after it was answered", after)
	}
}

// A page left open since before the plan was replaced: whatever is tapped on it is
// refused with words, and nothing of it is kept.
func TestTapOnReplacedPlan(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	rise, next := s.bulk()
	s.now = next.Start
	_, _, p := s.say("not-yet 40", "a", url.Values{"task": {next.ID}})
	v := p.Form(s.at + "/choices")
	for _, b := range p.All("button") {
		if webtest.Attr(b, "name") == "pick" {
			v.Set("pick", webtest.Attr(b, "value"))
			break
		}
	}
	s.sent(s.at+"/choices", v)
	before := s.running()
	if before.Version != 2 {
		t.Fatalf("version %d", before.Version)
	}
	for _, tt := range []struct {
		path string
		v    url.Values
	}{
		{"/tap", url.Values{"kind": {"done"}, "task": {next.ID}}},
		{"/tap", url.Values{"kind": {"ack"}, "task": {next.ID}}},
		{"/tap", url.Values{"kind": {"undo"}, "of": {"a"}}},
		{"/slip", url.Values{"do": {"ready"}, "task": {rise.ID}}},
		{"/slip", url.Values{"do": {"away"}, "away.of": {before.Base.Kitchen.Bakers[0].Name}}},
	} {
		tt.v.Set("key", "old page "+tt.v.Get("kind")+tt.v.Get("do"))
		tt.v.Set("version", "1")
		w := s.post(s.at+tt.path, tt.v)
		got := webtest.Parse(t, w.Body).Text(nil)
		if w.Code != http.StatusConflict || !strings.Contains(got, "The plan has changed meanwhile; look at the new one and tap again.") || !strings.Contains(got, "Go on to the newest plan.") {
			t.Errorf("%s %v: %d %s", tt.path, tt.v, w.Code, got)
		}
	}
	if diff := cmp.Diff(before.Log, s.running().Log); diff != "" {
		t.Errorf("kept all the same: %s", diff)
	}
}
