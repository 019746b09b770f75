package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/web/webtest"
)

// stays are the fields of the form for who is there beyond the hours.
func stays(who, how, day, at string) url.Values {
	return url.Values{"stays.of": {who}, "stays.how": {how}, "stays.at.day": {day}, "stays.at": {at}}
}

// Who stays or comes is said by hand in the words of an offer, is read on every page
// that shows the day's people, and is kept by a plan made anew and by a new order, until
// it is taken back: then the next plan knows nothing of it.
func TestStaysIsKept(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	loc := s.running().Plan.Saved.Location()
	at := func(h, m int) time.Time { return time.Date(2026, 11, 28, h, m, 0, 0, loc) }
	before := s.running().Base.Kitchen.Bakers
	for _, x := range []struct {
		key  string
		form url.Values
		said string
		want schedule.Slip
	}{
		{"a", stays("Piet", "", "2026-11-28", "15"), "Noted: Piet stays until Sat 15:00 (1 h longer). The plan stays as it is.", schedule.Slip{Of: "Piet", From: at(14, 0), To: at(15, 0)}},
		{"b", stays("Nora", "comes", "2026-11-28", "3.30"), "Noted: Nora comes at Sat 03:30 (30 min sooner). That leaves Nora 8 h 30 between work and work", schedule.Slip{Of: "Nora", From: at(3, 30), To: at(4, 0)}},
	} {
		code, to, p := s.say("stays", x.key, x.form)
		if code != http.StatusSeeOther || !strings.Contains(plainly(p), x.said) {
			t.Errorf("%d to %s says %s\nwant %s", code, to, plainly(p), x.said)
		}
		log := s.running().Log
		x.want.ID, x.want.Kind, x.want.At = x.key, schedule.Stays, s.now.In(loc)
		if diff := cmp.Diff(x.want, log[len(log)-1]); diff != "" {
			t.Errorf("(-want +got)\n%s", diff)
		}
	}
	shown := func(want bool) {
		t.Helper()
		for _, path := range []string{"", "/sheet", "/plan", "/slip"} {
			text := plainly(s.page(s.at + path))
			for _, line := range []string{"Piet stays until Sat 15:00 (1 h longer).", "Nora comes at Sat 03:30 (30 min sooner)."} {
				if strings.Contains(text, line) != want {
					t.Errorf("%s says %q: %v, want %v", path, line, !want, want)
				}
			}
			if strings.Contains(text, "This day has begun") {
				t.Errorf("%s: to say who stays is not to begin", path)
			}
		}
	}
	shown(true)
	plan := func(more url.Values) {
		t.Helper()
		v := s.page(s.at + "/plan").Form(s.at + "/plan")
		for k, x := range more {
			v[k] = x
		}
		s.sent(s.at+"/plan", v)
	}
	plan(nil)
	shown(true)
	plan(url.Values{"orders[0].pieces": {"20"}})
	shown(true)
	run := s.running()
	if len(run.Log) != 0 || run.Version != 3 {
		t.Fatalf("version %d, log %+v", run.Version, run.Log)
	}
	want := schedule.People(before, []schedule.Slip{
		{Kind: schedule.Stays, Of: "Piet", From: at(14, 0), To: at(15, 0)}, {Kind: schedule.Stays, Of: "Nora", From: at(3, 30), To: at(4, 0)},
	}, loc)
	if diff := cmp.Diff(want, run.Base.Kitchen.Bakers); diff != "" {
		t.Errorf("planned for (-want +got)\n%s", diff)
	}
	for _, who := range []string{"Piet", "Nora"} {
		if _, _, p := s.say("usual", who, url.Values{"usual.of": {who}}); !strings.Contains(plainly(p), "Noted: "+who+" keeps the usual hours after all.") {
			t.Errorf("taken back, it says %s", plainly(p))
		}
	}
	shown(false)
	plan(nil)
	shown(false)
	if diff := cmp.Diff(before, s.running().Base.Kitchen.Bakers); diff != "" {
		t.Errorf("taken back (-want +got)\n%s", diff)
	}
	if k, err := s.store.Kitchen(t.Context()); err != nil || !cmp.Equal(before, k.Bakers) {
		t.Errorf("the kitchen has changed (%v): %+v", err, k.Bakers)
	}
}

// Who is said to stay until when they are there, when they have no hours, in the past,
// at no time: it is said what is wrong and what to give, and what was typed stays.
func TestStaysRefused(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	s.now = time.Date(2026, 11, 28, 15, 10, 0, 0, time.UTC)
	for _, tt := range []struct {
		name string
		form url.Values
		want string
	}{
		{"at work", stays("Nora", "", "2026-11-28", "12:00"), "Nora is at work at 12:00 as it is; give a time outside the hours, or say that Nora is away."},
		{"comes into the hours", stays("Nora", "comes", "2026-11-28", "18:00"), "Nora is at work at 18:00 as it is"},
		{"over", stays("Piet", "", "2026-11-28", "15:00"), "15:00 is past, it is 15:10 already; give a time to come."},
		{"came in the morning", stays("Nora", "comes", "2026-11-28", "03:30"), "The hours of Nora begin at 04:00, and it is 15:10 already"},
		{"no hours", stays("Piet", "", "2026-11-29", "03:00"), "No hours of Piet end in the 12 h before 03:00; give a time nearer to them, or another day."},
		{"no time", stays("Nora", "", "2026-11-28", ""), "This is empty; give a time of day like 15:00."},
		{"nonsense", stays("Nora", "", "2026-11-28", "late"), "“late” is not a time of day; write it as 06:30."},
		{"no day", stays("Nora", "", "", "20:00"), "No day is given for 20:00"},
		{"nobody", stays("Nobody", "", "2026-11-28", "20:00"), "There is no person \"Nobody\""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			code, _, p := s.say("stays", tt.name, tt.form)
			if faults := p.ID("faults"); code != http.StatusUnprocessableEntity || faults == nil || !strings.Contains(strings.ReplaceAll(p.Text(faults), "\u00a0", " "), tt.want) {
				t.Fatalf("%d: %s\nwant %s", code, p.Text(faults), tt.want)
			}
			if typed := tt.form.Get("stays.at"); webtest.Attr(p.ID("stays.at"), "value") != typed {
				t.Errorf("%q became %q", typed, webtest.Attr(p.ID("stays.at"), "value"))
			}
			unique(t, p)
		})
	}
	if log := s.running().Log; len(log) > 0 {
		t.Errorf("kept all the same: %+v", log)
	}
}
