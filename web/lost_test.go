package web_test

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/webtest"
)

// picked is the form of a choice on a page.
func picked(t *testing.T, p *webtest.Page, at string, kind schedule.ChoiceKind) url.Values {
	t.Helper()
	for _, f := range p.All("form") {
		for _, b := range p.All("button") {
			if webtest.Attr(f, "action") == at+"/choices" && webtest.Attr(b, "value") == string(kind) {
				v := p.FormOf(f)
				v.Set("pick", string(kind))
				return v
			}
		}
	}
	t.Fatalf("%s is not offered: %s", kind, p.Text(nil))
	return nil
}

// throw says at the bench that the first dough's bulk rise is lost.
func (s *site) throw(t *testing.T) (rise schedule.Task, p *webtest.Page) {
	t.Helper()
	s.live()
	rise, next := s.bulk()
	s.now = next.Start
	if !strings.Contains(s.page(s.at+"/slip?task="+rise.ID).Text(nil), "Throw it away") {
		t.Error("it cannot be thrown away on the page of its rise")
	}
	code, to, p := s.say("dough-lost", "lost", url.Values{"task": {rise.ID}})
	if code != http.StatusSeeOther || !strings.HasPrefix(to, s.at+"/choices") {
		t.Fatalf("%d to %s: %s", code, to, p.Text(nil))
	}
	return rise, p
}

// lettered says whether a task is of a batch or of a portion of it.
func lettered(task, batch string) bool {
	return strings.TrimRight(strings.SplitN(task, ".", 2)[0], "0123456789") == batch
}

// A dough thrown away is said at its rise, and the ways on follow at once. Made
// again, it is a dough of another letter, called for in the first one's place; what
// was done to the first stands as thrown away.
func TestMadeAgain(t *testing.T) {
	t.Parallel()
	s := example(t)
	rise, p := s.throw(t)
	before := s.running().Plan.Plan
	s.sent(s.at+"/choices", picked(t, p, s.at, schedule.MakeAgain))
	plan := s.running().Plan.Plan
	if len(plan.Lost) != 1 || len(plan.Lost[0].Again) == 0 {
		t.Fatalf("lost: %+v", plan.Lost)
	}
	letter := strings.TrimRight(plan.Lost[0].Again[0], "0123456789")
	all, err := s.store.Alerts(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	rings := func(batch string) bool {
		return slices.ContainsFunc(all, func(a record.Alert) bool { return !a.Next.IsZero() && lettered(a.Task, batch) })
	}
	if rings(rise.Batch) || !rings(letter) {
		t.Errorf("calls for the dough lost: %v, for the one made again: %v", rings(rise.Batch), rings(letter))
	}
	if got := s.page(s.at + "/choices").Text(nil); !strings.Contains(got, "Nothing is gained by moving.") {
		t.Errorf("once accepted it offers %s", got)
	}
	for _, at := range []string{s.at, s.at + "/sheet"} {
		if text := s.page(at).Text(nil); !strings.Contains(text, "Thrown away at ") || !strings.Contains(text, "Made again: "+letter) {
			t.Errorf("%s does not say what was thrown away: %s", at, text)
		}
	}
	day := s.page(s.at)
	for _, row := range day.All("tr") {
		task, text := webtest.Attr(row, "data-t"), day.Text(row)
		old := slices.ContainsFunc(before.Tasks, func(k schedule.Task) bool { return k.ID == task && k.Batch == rise.Batch })
		if gone := strings.Contains(text, "thrown away"); gone != old {
			t.Errorf("%s of the dough lost: %v, says %q", task, old, text)
		}
		if anew := strings.Contains(text, "made again"); task != "" && anew != lettered(task, letter) {
			t.Errorf("%s of the dough made again: %v, says %q", task, !anew, text)
		}
	}
}

// Left out, its orders are not wanted any more, and the rest stays as it was.
func TestLeftOut(t *testing.T) {
	t.Parallel()
	s := example(t)
	rise, p := s.throw(t)
	before := s.running().Plan.Plan
	s.sent(s.at+"/choices", picked(t, p, s.at, schedule.LeaveOut))
	plan := s.running().Plan.Plan
	for _, k := range before.Tasks {
		i := slices.IndexFunc(plan.Tasks, func(x schedule.Task) bool { return x.ID == k.ID })
		switch {
		case k.Kind == schedule.Preheat:
		case k.Batch == rise.Batch && i >= 0:
			t.Errorf("%s is still planned", k.ID)
		case k.Batch != rise.Batch && (i < 0 || !plan.Tasks[i].Start.Equal(k.Start)):
			t.Errorf("%s was at %s", k.ID, k.Start)
		}
	}
	d, err := s.store.DayRecord(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range plan.Lost[0].Batch.Portions {
		if slices.ContainsFunc(d.Orders, func(o schedule.Order) bool { return o.Bread == q.Bread }) {
			t.Errorf("%s is still ordered", q.Name)
		}
	}
	for _, at := range []string{"", "/now", "/sheet", "/bench", "/labels", "/totals", "/plan", "/slip", "/choices", "/day.csv", "/calendar.ics"} {
		if w := s.get(s.at + at); w.Code != http.StatusOK {
			t.Errorf("%s: %d", at, w.Code)
		}
	}
}

// Taken back within ten minutes, the dough is called for again and asks for
// nothing.
func TestNotLost(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.throw(t)
	p := s.sent(s.at+"/tap", url.Values{"kind": {"undo"}, "of": {"lost"}, "key": {"back"}, "version": {"1"}})
	if text := p.Text(nil); strings.Contains(text, "Dough was thrown away") {
		t.Errorf("it still asks: %s", text)
	}
	if r := s.running(); len(r.Log) != 0 {
		t.Errorf("the log is %+v", r.Log)
	}
	all, err := s.store.Alerts(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range all {
		if a.State == record.Suppressed {
			t.Errorf("%s is not called", a.Task)
		}
	}
}

// A day of which every dough is thrown away and left out has nothing left to do,
// and all its pages.
func TestAllLost(t *testing.T) {
	t.Parallel()
	s := example(t)
	_, p := s.throw(t)
	s.sent(s.at+"/choices", picked(t, p, s.at, schedule.LeaveOut))
	for n := range 5 {
		plan := s.running().Plan.Plan
		i := slices.IndexFunc(plan.Tasks, func(k schedule.Task) bool { return k.Batch != "" && !k.Start.After(s.now) })
		if i < 0 {
			break
		}
		code, to, p := s.say("dough-lost", "lost "+plan.Tasks[i].Batch, url.Values{"task": {plan.Tasks[i].ID}})
		if code != http.StatusSeeOther || n > 3 {
			t.Fatalf("%d to %s: %s", code, to, p.Text(nil))
		}
		s.sent(s.at+"/choices", picked(t, p, s.at, schedule.LeaveOut))
	}
	if text := s.page(s.at + "/now").Text(nil); !strings.Contains(text, "Nothing is left to do.") {
		t.Errorf("it says %s", text)
	}
	if text := s.page(s.at).Text(nil); !strings.Contains(text, "No work is left in it.") || strings.Contains(text, "00:00 to 00:00") {
		t.Errorf("it says %s", text)
	}
	for _, at := range []string{"/sheet", "/bench", "/labels", "/totals", "/plan", "/slip", "/choices", "/day.csv", "/calendar.ics", "/went"} {
		if w := s.get(s.at + at); w.Code != http.StatusOK {
			t.Errorf("%s: %d", at, w.Code)
		}
	}
}
