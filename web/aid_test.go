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

// shortHanded has everybody go when the last load is in the oven, and that load's proof
// need fifty minutes more.
func (s *site) shortHanded() {
	s.t.Helper()
	s.live()
	ctx := s.t.Context()
	last := func(p *schedule.Plan) (out schedule.Task) {
		for _, k := range p.Tasks {
			if k.Kind == schedule.Bake && !k.Start.Before(out.Start) {
				out = k
			}
		}
		return out
	}
	plan := func() schedule.Plan {
		day, err := s.store.Day(ctx, s.id, s.now)
		if err != nil {
			s.t.Fatal(err)
		}
		p, err := schedule.PlanDay(ctx, &day, day.Settings)
		if err != nil {
			s.t.Fatal(err)
		}
		if _, err := s.store.SavePlan(ctx, s.id, day, p, schedule.Alerts(&p), s.now); err != nil {
			s.t.Fatal(err)
		}
		return p
	}
	p := plan()
	end := last(&p).End.Add(15 * time.Minute)
	k, err := s.store.Kitchen(ctx)
	if err != nil {
		s.t.Fatal(err)
	}
	for i := range k.Bakers {
		k.Bakers[i].Hours = []schedule.Hours{{From: 4 * 60, To: schedule.Clock(60*end.Hour() + end.Minute())}}
	}
	if err := s.store.SaveKitchen(ctx, k); err != nil {
		s.t.Fatal(err)
	}
	p = plan()
	bake := last(&p)
	i := slices.IndexFunc(p.Tasks, func(k schedule.Task) bool { return k.Kind == schedule.Proof && k.Portion == bake.Portion })
	s.now = p.Tasks[i].End
	if code, to, page := s.say("not-yet 50", "slow", url.Values{"task": {p.Tasks[i].ID}}); code != http.StatusSeeOther {
		s.t.Fatalf("%d to %s: %s", code, to, page.Text(nil))
	}
}

// Somebody who agrees to stay longer is noted by one tap, and the choices are then
// without what could not be done for want of hands; taken back by one.
func TestStaysLonger(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.shortHanded()
	before := s.running().Log
	p := s.page(s.at + "/choices?help=1")
	if text := p.Text(nil); !strings.Contains(text, "longer): then ") || !strings.Contains(text, "Agreed with ") {
		t.Fatalf("nobody is asked: %s", text)
	}
	pick := s.aidForm(p, "aid-stay")
	text := s.sent(s.at+"/choices", pick).Text(nil)
	if !strings.Contains(text, "min longer)") || strings.Contains(text, "is not at work") {
		t.Errorf("with it: %s", text)
	}
	log := s.running().Log
	if len(log) != len(before)+1 || log[len(before)].Kind != schedule.Stays {
		t.Fatalf("the log is %+v", log)
	}
	s.sent(s.at+"/choices", pick) // an impatient finger
	if again := s.running().Log; len(again) != len(log) {
		t.Errorf("sent twice: %+v", again)
	}
	other := s.aidForm(p, "aid-stay")
	other.Set("key", "another")
	if w := s.post(s.at+"/choices", other); w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "Something more has happened meanwhile") {
		t.Errorf("on a page from before: %d %s", w.Code, w.Body)
	}
	s.sent(s.at+"/tap", url.Values{"kind": {"undo"}, "of": {pick.Get("key")}, "key": {"back"}, "version": {pick.Get("version")}})
	if log := s.running().Log; len(log) != len(before) {
		t.Errorf("taken back: %+v", log)
	}
}

// An aid of a plan that was replaced meanwhile is refused, and says so.
func TestAidOfFormerPlan(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.shortHanded()
	pick := s.aidForm(s.page(s.at+"/choices?help=1"), "aid-stay")
	n := len(s.running().Log)
	run := s.running()
	if _, err := s.store.Accept(t.Context(), s.id, "other", run.Version, run.Base, run.Plan.Plan, nil, s.now); err != nil {
		t.Fatal(err)
	}
	if w := s.post(s.at+"/choices", pick); w.Code != http.StatusConflict || !strings.Contains(w.Body.String(), "The plan has changed meanwhile: somebody has decided already.") {
		t.Errorf("it is answered %d %s", w.Code, w.Body)
	}
	if log := s.running().Log; len(log) != n {
		t.Errorf("the log is %+v", log)
	}
}

// Whom to ask is the baker's to decide: a helper may not say who stays.
func TestHelperMayNotAsk(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	helper := &phone{site: s, from: "192.168.1.7"}
	helper.say("by", "code", "code", code(t, s, "helper"))
	stays := `{"code":"stay","slips":[{"kind":"stays","of":"Nora"}]}`
	for path, v := range map[string]url.Values{
		"/choices": {"pick": {"aid-stay"}, "aid": {stays}, "key": {"x"}, "version": {"1"}}, "/wayout": {"code": {"stay"}},
	} {
		if got := helper.send(http.MethodPost, s.at+path, v).Code; got != http.StatusForbidden {
			t.Errorf("%s: %d", path, got)
		}
	}
	if log := s.running().Log; len(log) > 0 {
		t.Errorf("the log is %+v", log)
	}
}
