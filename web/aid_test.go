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

// aidForm is the form whose button takes an aid.
func (s *site) aidForm(p *webtest.Page, pick string) url.Values {
	s.t.Helper()
	for _, f := range p.All("form") {
		for b := range f.Descendants() {
			if b.Data == "button" && webtest.Attr(b, "value") == pick {
				v := p.FormOf(f)
				v.Set("pick", pick)
				return v
			}
		}
	}
	s.t.Fatalf("no button takes %s: %s", pick, p.Text(nil))
	return nil
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
	pick := s.aidForm(p, "aid-later")
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
	for code, aid := range map[string]string{
		"aid-oven": "", "aid-hope": `{"code":"hope"}`, "aid-": `{}`, "aid-later": `{"code":"later","slips":[`,
		"aid-drop":  `{"code":"drop","slips":[{"kind":"order-drop","order":99}]}`,
		"aid-stay":  `{"code":"stay","slips":[{"kind":"oven-out","of":"Oven"}]}`,
		"aid-fewer": `{"code":"fewer","slips":[{"kind":"order-lower","order":0,"pieces":100000}]}`,
	} {
		v := s.aidForm(p, "aid-later")
		v.Set("pick", code)
		v.Set("aid", aid)
		if w := s.post(s.at+"/choices", v); w.Code != http.StatusConflict || !strings.Contains(webtest.Parse(t, w.Body).Text(nil), "does not help any more") {
			t.Errorf("%s: %d", code, w.Code)
		}
	}
	if log := s.running().Log; len(log) != 1 {
		t.Errorf("the log is %+v", log)
	}
}
