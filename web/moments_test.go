package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"ovenward/schedule"
	"ovenward/web/webtest"
)

// A time typed beside its day is read however people type it, comes back as it is
// kept, and what cannot be is refused where it stands, with day and time as typed.
func TestDayAndTime(t *testing.T) {
	t.Parallel()
	s := example(t)
	const at = "/days/1/plan"
	for typed, want := range map[string]schedule.Wall{
		"0845": "2026-11-28T08:45", "9.15": "2026-11-28T09:15", "17h30": "2026-11-28T17:30", "24:00": "2026-11-29T00:00", "2026-11-28T10:00": "2026-11-28T10:00",
	} {
		v := s.page(at).Form(at)
		v.Set("orders[1].at.day", "2026-11-28")
		v.Set("orders[1].at", typed)
		v.Set("orders[1].by", "out")
		f := s.sent(at, v).Form(at)
		d, err := s.store.DayRecord(t.Context(), s.id)
		if err != nil || d.Orders[1].Out != want {
			t.Errorf("%q is kept as %q, %v", typed, d.Orders[1].Out, err)
		}
		if got := f.Get("orders[1].at.day") + "T" + f.Get("orders[1].at"); got != string(want) {
			t.Errorf("%q comes back as %s", typed, got)
		}
	}
	for _, tt := range []struct{ day, typed, want string }{
		{"2026-11-27", "8:7", "“8:7” is not a time of day; write it as 06:30."},
		{"2026-11-27", "quarter to", "“quarter to” is not a time of day; write it as 06:30."},
		{"2026-11-27", "", "No time is promised; say when it must be out of the oven, or cooled."},
		{"", "08:00", "No day is given for 08:00; give it beside the time."},
		{"tomorrow", "08:00", "“tomorrow” is not a date; write it as 2026-11-28."},
	} {
		v := s.page(at).Form(at)
		v.Set("orders[1].at.day", tt.day)
		v.Set("orders[1].at", tt.typed)
		p := s.refused(at, v)
		if n := strings.Count(p.Text(p.ID("faults")), "."); !strings.Contains(p.Text(p.ID("faults")), tt.want) || n != 1 {
			t.Errorf("%v: %s", tt, p.Text(p.ID("faults")))
		}
		if in := p.ID("orders[1].at"); webtest.Attr(in, "value") != tt.typed || webtest.Attr(in, "aria-invalid") != "true" {
			t.Errorf("%v: typed, and now %q", tt, webtest.Attr(in, "value"))
		}
		if got := p.Form(at).Get("orders[1].at.day"); tt.day == "2026-11-27" && got != tt.day {
			t.Errorf("%v: the day is %s", tt, got)
		}
	}
}

// The moment of a rehearsal and absences have days and times, too; empty is none.
func TestMomentsElsewhere(t *testing.T) {
	t.Parallel()
	s := example(t)
	const at = "/days/1/plan"
	v := s.page(at).Form(at)
	v.Set("now.day", "2026-11-27")
	v.Set("now", "16:30")
	s.sent(at, v)
	if d, err := s.store.DayRecord(t.Context(), s.id); err != nil || d.Now != "2026-11-27T16:30" {
		t.Errorf("%q, %v", d.Now, err)
	}
	v = s.page(at).Form(at)
	v.Set("now", "")
	s.sent(at, v)
	if d, err := s.store.DayRecord(t.Context(), s.id); err != nil || d.Now != "" {
		t.Errorf("%q, %v", d.Now, err)
	}
	k := s.page("/kitchen").Form("/kitchen")
	for field, typed := range map[string]string{"from.day": "2026-12-01", "from": "9", "to.day": "2026-12-01", "to": "1130"} {
		k.Set("bakers[0].away[0]."+field, typed)
	}
	s.sent("/kitchen", k)
	kitchen, err := s.store.Kitchen(t.Context())
	if a := kitchen.Bakers[0].Away; err != nil || len(a) != 1 || a[0].From != "2026-12-01T09:00" || a[0].To != "2026-12-01T11:30" {
		t.Errorf("away %+v, %v", a, err)
	}
}

// An order that comes in has its day chosen and its time typed.
func TestOrderComesInAtATypedTime(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	bread := s.running().Base.Breads[0].ID
	more := url.Values{"new.bread": {bread}, "new.pieces": {"4"}, "new.by": {"out"}, "new.at.day": {"2026-11-28"}, "new.at": {"12h30"}}
	if code, _, p := s.say("order-add", "a", more); code != http.StatusSeeOther {
		t.Fatalf("%d %s", code, p.Text(nil))
	}
	if log := s.running().Log; len(log) != 1 || log[0].New.Out != "2026-11-28T12:30" {
		t.Errorf("%+v", log)
	}
	more.Set("new.at", "half past")
	code, _, p := s.say("order-add", "b", more)
	if got := p.Text(p.ID("faults")); code != http.StatusUnprocessableEntity || !strings.Contains(got, "“half past” is not a time of day; write it as 06:30.") {
		t.Errorf("%d %s", code, got)
	}
	if in := p.ID("new.at"); webtest.Attr(in, "value") != "half past" || p.Form(s.at+"/slip").Get("room.of") == "" {
		t.Errorf("typed, and now %q", webtest.Attr(in, "value"))
	}
}

// No field leaves it to the browser's land how hours are shown.
func TestNoClockOfTheBrowser(t *testing.T) {
	t.Parallel()
	s := example(t)
	for _, path := range []string{"/days/1/plan", "/days/1/slip", "/kitchen", "/standing/new", "/guide", "/guide/bread", "/days", "/settings"} {
		for _, in := range s.page(path).All("input") {
			if kind := webtest.Attr(in, "type"); kind == "time" || kind == "datetime-local" {
				t.Errorf("%s: %s is of type %s", path, webtest.Attr(in, "name"), kind)
			}
		}
	}
}
