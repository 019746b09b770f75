package web_test

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/web/webtest"
)

// stuck has the oven out for an hour and a half before its first bake.
func (s *site) stuck() {
	s.t.Helper()
	s.live()
	run := s.running()
	i := slices.IndexFunc(run.Plan.Plan.Tasks, func(k schedule.Task) bool { return k.Kind == schedule.Bake })
	s.now = run.Plan.Plan.Tasks[i].Start.Add(-75 * time.Minute)
	code, to, p := s.say("oven-out 90", "out", url.Values{"oven.of": {run.Base.Kitchen.Ovens[0].Name}})
	if code != http.StatusSeeOther || to != s.at+"/choices" {
		s.t.Fatalf("%d to %s: %s", code, to, p.Text(nil))
	}
}

// Where every choice is late, what would help is worked out when it is asked for;
// a later promise is kept by one tap, however often it is sent, and taken back by
// one.
func TestPromisedLater(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.stuck()
	if text := s.page(s.at + "/choices").Text(nil); !strings.Contains(text, "Work out what would help") {
		t.Fatalf("it does not offer to: %s", text)
	}
	p := s.page(s.at + "/choices?help=1")
	if text := p.Text(nil); !strings.Contains(text, "With one more oven like") || !strings.Contains(text, "a later time, which can be kept") {
		t.Errorf("it says %s", text)
	}
	pick := url.Values{}
	for _, f := range p.All("form") {
		if webtest.Attr(f, "action") == s.at+"/choices" {
			pick = p.FormOf(f)
		}
	}
	pick.Set("pick", "aid-later")
	if text := s.sent(s.at+"/choices", pick).Text(nil); !strings.Contains(text, "Nothing is late.") {
		t.Errorf("with it: %s", text)
	}
	n := len(s.running().Log)
	s.sent(s.at+"/choices", pick)
	if again := len(s.running().Log); n < 2 || again != n {
		t.Errorf("%d entries of the log, sent twice %d", n, again)
	}
	s.sent(s.at+"/tap", url.Values{"kind": {"undo"}, "of": {pick.Get("key")}, "key": {"back"}, "version": {"1"}})
	if log := s.running().Log; len(log) != 1 {
		t.Errorf("taken back: %+v", log)
	}
}

// An aid that is none, or is not offered, is refused and nothing kept.
func TestNoSuchAid(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.stuck()
	p := s.page(s.at + "/choices?help=1")
	for _, code := range []string{"aid-oven", "aid-hope", "aid-"} {
		v := url.Values{}
		for _, f := range p.All("form") {
			if webtest.Attr(f, "action") == s.at+"/choices" {
				v = p.FormOf(f)
			}
		}
		v.Set("pick", code)
		if w := s.post(s.at+"/choices", v); w.Code != http.StatusConflict || !strings.Contains(webtest.Parse(t, w.Body).Text(nil), "does not help any more") {
			t.Errorf("%s: %d", code, w.Code)
		}
	}
	if log := s.running().Log; len(log) != 1 {
		t.Errorf("the log is %+v", log)
	}
}
