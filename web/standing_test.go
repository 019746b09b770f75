package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web"
	"ovenward/web/live"
	"ovenward/web/webtest"
)

// saturdays is a standing order as it is typed.
func saturdays() url.Values {
	return url.Values{"bread": {"plain-bun"}, "pieces": {"24"}, "by": {"out"}, "at": {"07:30"}, "days": {"sat"}, "from": {"2026-11-01"}, "for": {"Café X"}, "zone": {"Europe/Dublin"}}
}

// orders of the days made from standing orders, by date.
func (s *site) coming() map[string][]schedule.Order {
	s.t.Helper()
	all, err := s.store.Comings(s.t.Context(), "")
	if err != nil {
		s.t.Fatal(err)
	}
	out := map[string][]schedule.Order{}
	for _, c := range all {
		if c.Day != 0 {
			d, err := s.store.DayRecord(s.t.Context(), c.Day)
			if err != nil {
				s.t.Fatal(err)
			}
			out[c.Date] = d.Orders
		}
	}
	return out
}

func (s *site) makeComing() {
	s.t.Helper()
	if err := s.h.(*web.Site).MakeComing(s.t.Context()); err != nil {
		s.t.Fatal(err)
	}
}

func bun(date string, pieces int) []schedule.Order {
	return []schedule.Order{{Bread: "plain-bun", Pieces: pieces, Out: schedule.Wall(date + "T07:30"), For: "Café X"}}
}

// own makes the example the baker's, as days of an example stand in nobody's way.
func own(t *testing.T) *site {
	t.Helper()
	s := example(t)
	if err := s.store.KeepExample(t.Context()); err != nil {
		t.Fatal(err)
	}
	return s
}

// A standing order becomes planned days at once, each once, whatever is sent and
// looked at again; as days go by the next ones come, also after a pause.
func TestStandingOrder(t *testing.T) {
	t.Parallel()
	s := own(t) // on Friday 27 November, with a day of its own on the 28th
	said := s.sent("/standing/new", saturdays()).Text(nil)
	if !strings.Contains(said, "24 Plain bun") || !strings.Contains(said, "Every Saturday, out by 07:30, for Café X") {
		t.Errorf("it says %s", said)
	}
	if got := s.coming(); len(got) != 0 {
		t.Errorf("within a week there is but the baker's own Saturday: %v", got)
	}
	s.now = s.now.AddDate(0, 0, 1)
	s.makeComing()
	s.makeComing()
	if diff := cmp.Diff(map[string][]schedule.Order{"2026-12-05": bun("2026-12-05", 24)}, s.coming()); diff != "" {
		t.Errorf("on the 28th (-want +got):\n%s", diff)
	}
	d, _ := s.store.DayRecord(t.Context(), 2)
	if d.Version != 1 || d.Zone != "Europe/Dublin" || d.Name != "Saturday 5 December" || !s.hub.heard(live.Plan{Day: 2}) {
		t.Errorf("made: %+v", d)
	}
	s.now = s.now.AddDate(0, 0, 18) // Wednesday 16 December: a fortnight was slept through
	s.makeComing()
	if got := s.coming(); len(got) != 2 || got["2026-12-19"] == nil {
		t.Errorf("after a pause: %v", got)
	}
	if err := s.store.DeleteDay(t.Context(), 3); err != nil {
		t.Fatal(err)
	}
	s.makeComing()
	if got := s.coming(); len(got) != 1 {
		t.Errorf("what was deleted came back: %v", got)
	}
	s.sent("/standing/make", url.Values{"date": {"2026-12-19"}})
	if got := s.coming(); len(got) != 2 {
		t.Errorf("it is not made by hand: %v", got)
	}
}

// Today's day is caught up with when its standing order is older than today, and
// not made for one that was added this morning.
func TestToday(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.now = time.Date(2026, 12, 4, 9, 0, 0, 0, time.UTC) // Friday
	s.sent("/standing", url.Values{"days": {"0"}, "zone": {"Europe/Dublin"}})
	v := saturdays()
	v.Set("at", "17:00")
	s.sent("/standing/new", v)
	s.now = s.now.AddDate(0, 0, 1)
	v["bread"], v["days"] = []string{"potato-loaf"}, []string{"sat"}
	s.sent("/standing/new", v)
	s.sent("/standing", url.Values{"days": {"3"}, "zone": {"Europe/Dublin"}})
	want := []schedule.Order{{Bread: "plain-bun", Pieces: 24, Out: "2026-12-05T17:00", For: "Café X"}}
	if diff := cmp.Diff(want, s.coming()["2026-12-05"]); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// How far ahead is a setting; 0 makes none, and without a zone there is none.
func TestDaysAhead(t *testing.T) {
	t.Parallel()
	s := own(t)
	v := saturdays()
	v["days"] = []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}
	s.sent("/standing", url.Values{"days": {"0"}, "zone": {"Europe/Dublin"}})
	s.sent("/standing/new", v)
	if n := len(s.coming()); n != 0 {
		t.Errorf("off, and %d were made", n)
	}
	said := s.sent("/standing", url.Values{"days": {"2"}, "zone": {"Europe/Dublin"}}).Text(nil)
	// today's 07:30 has passed, tomorrow is the baker's own
	if got := s.coming(); len(got) != 1 || got["2026-11-29"] == nil || !strings.Contains(said, "Made and planned: Sunday 29 November.") {
		t.Errorf("two days ahead: %v, %s", got, said)
	}
	for field, bad := range map[string]url.Values{
		"days": {"days": {"many"}, "zone": {"Europe/Dublin"}},
		"zone": {"days": {"14"}, "zone": {"Local"}},
	} {
		p := s.refused("/standing", bad)
		if got := p.Form("/standing").Get(field); got != bad.Get(field) || !strings.Contains(p.Text(p.ID("faults")), "; ") {
			t.Errorf("%s: what was typed became %q: %s", field, got, p.Text(p.ID("faults")))
		}
	}
}

// A changed standing order offers to renew the days nobody has touched, and
// leaves those alone that somebody has.
func TestRenew(t *testing.T) {
	t.Parallel()
	s := own(t)
	s.sent("/standing", url.Values{"days": {"13"}, "zone": {"Europe/Dublin"}})
	v := saturdays()
	v["days"] = []string{"sat", "sun"}
	s.sent("/standing/new", v) // 29 November, 5 and 6 December
	all, _ := s.store.StandingOrders(t.Context())
	id := all[0].ID
	touched, _ := s.store.DayRecord(t.Context(), 2)
	touched.Orders[0].Pieces = 10
	if err := s.store.SaveDay(t.Context(), touched); err != nil {
		t.Fatal(err)
	}
	if n := len(s.page("/standing").Class("bad")); n != 0 {
		t.Error("renewal is offered and nothing has changed")
	}
	v = s.page("/standing/" + id).Form("/standing/" + id)
	v.Set("pieces", "36")
	v["days"] = []string{"sat"}
	p := s.sent("/standing/"+id, v)
	if text := strings.ReplaceAll(p.Text(nil), "\u00a0", " "); !strings.Contains(text, "Bring 2 days up to date") ||
		!strings.Contains(text, "Saturday 5 December : it has 24 Plain bun by 07:30; the standing orders now ask for 36 Plain bun by 07:30.") ||
		!strings.Contains(text, "Sunday 6 December : it has 24 Plain bun by 07:30; no standing order falls on it any more, so it goes.") ||
		!strings.Contains(text, "you have changed this day, and it stays as it is: 10 Plain bun by 07:30. No standing order falls on it any more.") {
		t.Errorf("it offers %s", text)
	}
	if text := s.sent("/standing/renew", nil).Text(nil); !strings.Contains(text, "Saturday 5 December is renewed.") || !strings.Contains(text, "Sunday 6 December is deleted") {
		t.Errorf("it says %s", text)
	}
	want := map[string][]schedule.Order{"2026-11-29": bun("2026-11-29", 10), "2026-12-05": bun("2026-12-05", 36)}
	if diff := cmp.Diff(want, s.coming()); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	d, _ := s.store.DayRecord(t.Context(), 3)
	if d.Version != 2 {
		t.Errorf("the renewed day has plan %d", d.Version)
	}
}

// Standing orders come to a day of the baker's own when that is asked for, once.
func TestJoin(t *testing.T) {
	t.Parallel()
	s := own(t)
	s.sent("/standing/new", saturdays())
	before, _ := s.store.DayRecord(t.Context(), 1)
	for range 2 {
		s.sent("/standing/make", url.Values{"date": {"2026-11-28"}})
	}
	after, _ := s.store.DayRecord(t.Context(), 1)
	if diff := cmp.Diff(append(before.Orders, bun("2026-11-28", 24)...), after.Orders); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if days, _ := s.store.Days(t.Context()); len(days) != 1 || after.Version != 2 {
		t.Errorf("%d days, plan %d", len(days), after.Version)
	}
	for what, date := range map[string]string{"is not a date": "Saturday", "No standing order falls on Monday": "2026-11-30"} {
		w := s.post("/standing/make", url.Values{"date": {date}})
		if text := webtest.Parse(t, w.Body).Text(nil); w.Code != http.StatusUnprocessableEntity || !strings.Contains(text, what) {
			t.Errorf("%s: %d %s", date, w.Code, text)
		}
	}
}

// A day under way is not planned anew under the hands.
func TestJoinBegun(t *testing.T) {
	t.Parallel()
	s := own(t)
	s.sent("/standing/new", saturdays())
	plan, _ := s.store.Plan(t.Context(), s.id)
	if _, err := s.store.Say(t.Context(), record.Tap{ID: "t", Day: 1, Version: 1, Task: plan.Plan.Tasks[0].ID, Kind: record.Started, At: s.now, Recorded: s.now}, nil); err != nil {
		t.Fatal(err)
	}
	w := s.post("/standing/make", url.Values{"date": {"2026-11-28"}})
	if text := webtest.Parse(t, w.Body).Text(nil); w.Code != http.StatusConflict || !strings.Contains(text, "has begun") {
		t.Errorf("%d %s", w.Code, text)
	}
}

// The night clocks go forward, a time that does not exist is moved and said so
// (RFC 5545, 3.3.5: the offset before the gap holds; Dublin, 28 March 2027).
func TestStandingOverGap(t *testing.T) {
	t.Parallel()
	s := own(t)
	s.now = time.Date(2027, 3, 26, 12, 0, 0, 0, time.UTC)
	v := saturdays()
	v["days"], v["at"] = []string{"sun"}, []string{"01:30"}
	text := s.sent("/standing/new", v).Text(nil)
	if !strings.Contains(text, "On Sunday 28 March clocks go forward over 01:30: what stands for then is promised for 02:30.") {
		t.Errorf("it says %s", text)
	}
	want := []schedule.Order{{Bread: "plain-bun", Pieces: 24, Out: "2027-03-28T02:30", For: "Café X"}}
	if diff := cmp.Diff(want, s.coming()["2027-03-28"]); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// What cannot be is refused where it stands, and what was typed stays.
func TestStandingNonsense(t *testing.T) {
	t.Parallel()
	s := own(t)
	for field, tt := range map[string]struct{ value, says string }{
		"bread":            {"", "No bread is chosen"},
		"pieces":           {"many", "“many” is not a whole number"},
		"days":             {"caturday", "is not a weekday"},
		"at":               {"25:00", "is not a time of day"},
		"from":             {"soon", `"soon" is not a date`},
		"until":            {"2026-10-01", "is before the first"},
		"weight":           {"-2", "a weight of -2 cannot be"},
		"zone":             {"Dublin", "“Dublin” is not a time zone"},
		"except[0].date":   {"Christmas", `"Christmas" is not a date`},
		"except[0].pieces": {"-1", "cannot be baked"},
		"except[0].at":     {"7:5", "is not a time of day"},
	} {
		v := saturdays()
		v.Set("except[0].date", "2026-12-26")
		v.Set(field, tt.value)
		p := s.refused("/standing/new", v)
		if text := p.Text(p.ID("faults")); !strings.Contains(strings.ToLower(text), strings.ToLower(tt.says)) || !strings.HasSuffix(text, ".") {
			t.Errorf("%s: %s", field, text)
		}
		if got := p.Form("/standing/new").Get(field); field != "days" && got != tt.value {
			t.Errorf("%s: what was typed became %q", field, got)
		}
		if p.ID(field) == nil {
			t.Errorf("%s: the fault leads nowhere", field)
		}
	}
	if all, _ := s.store.StandingOrders(t.Context()); len(all) != 0 {
		t.Errorf("kept: %v", all)
	}
	v := saturdays()
	v.Del("days")
	if text := s.refused("/standing/new", v).Text(nil); !strings.Contains(text, "No weekday is chosen") {
		t.Errorf("no weekday: %s", text)
	}
	for _, path := range []string{"/standing/none", "/standing/none/delete"} {
		if w := s.post(path, saturdays()); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
}

// Exceptions are added row by row and kept by date; a bread that is deleted is
// told of, and a standing order can be.
func TestStandingForm(t *testing.T) {
	t.Parallel()
	s := own(t)
	v := saturdays()
	v.Set("do", "add except")
	v = webtest.Parse(t, s.post("/standing/new", v).Body).Form("/standing/new")
	v.Set("except[0].date", "2026-12-26")
	v.Set("except[1].date", "2026-12-19")
	v.Set("except[1].pieces", "60")
	v.Set("except[1].at", "06:00")
	v.Del("do")
	s.sent("/standing/new", v)
	early := schedule.Clock(360)
	all, _ := s.store.StandingOrders(t.Context())
	want := schedule.Standing{ID: all[0].ID, Bread: "plain-bun", Pieces: 24, Days: schedule.On(time.Saturday), At: 450, From: "2026-11-01", For: "Café X",
		Except: []schedule.Exception{{Date: "2026-12-19", Pieces: 60, At: &early}, {Date: "2026-12-26"}}}
	if diff := cmp.Diff([]record.Standing{{Standing: want, Name: "Plain bun", Saved: s.now}}, all); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if text := strings.ReplaceAll(s.page("/standing").Text(nil), "\u00a0", " "); !strings.Contains(text, "Saturday 19 December: 60 pieces by 06:00") || !strings.Contains(text, "Saturday 26 December: none") {
		t.Errorf("it says %s", text)
	}
	s.now = s.now.AddDate(0, 0, 3)
	if err := s.store.DeleteBread(t.Context(), "plain-bun", s.now); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/standing", "/standing/" + want.ID} {
		if text := s.page(path).Text(nil); !strings.Contains(text, "was deleted") {
			t.Errorf("%s says %s", path, text)
		}
	}
	s.makeComing()
	if got := s.coming(); len(got) != 0 {
		t.Errorf("of a bread that is deleted: %v", got)
	}
	s.sent("/standing/"+want.ID+"/delete", nil)
	if all, _ := s.store.StandingOrders(t.Context()); len(all) != 0 {
		t.Errorf("left: %v", all)
	}
}

// None on a date the order is not for is kept, and the page asks whether another date
// was meant.
func TestExceptionOnAnotherDay(t *testing.T) {
	t.Parallel()
	for date, asks := range map[string]bool{"2026-12-26": false, "2026-12-25": true} {
		s := example(t)
		v := saturdays()
		v.Set("except[0].date", date)
		if said := s.sent("/standing/new", v).Text(nil); strings.Contains(said, "is none of its days") != asks {
			t.Errorf("%s: %s", date, said)
		}
	}
}
