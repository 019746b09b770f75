package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/web/webtest"
)

// plainly is a page's text with plain spaces.
func plainly(p *webtest.Page) string { return strings.ReplaceAll(p.Text(nil), "\u00a0", " ") }

// The week has every day of it with what its plan says, and the standing orders
// that wait; the weeks before and after are a link away.
func TestWeek(t *testing.T) {
	t.Parallel()
	s := own(t) // Friday 27 November; the example is on Saturday
	s.sent("/standing/new", saturdays())
	p := s.page("/week")
	text := plainly(p)
	plan, _ := s.store.Plan(t.Context(), s.id)
	for _, want := range []string{
		"23 to 29 November 2026", "Fri 27 Nov today", "A morning at the Slipway tearoom", "5 orders, 09:00–12:00", "✓ planned, in time",
		plan.Plan.Outcome.WorkStart.Format("Mon 15:04"), "18 Plain bun, 16 Currant bun", strings.ReplaceAll(plan.Plan.OvenTime().String(), "\u00a0", " "),
		"Standing orders that A morning at the Slipway tearoom does not have yet:", "24 Plain bun, out by 07:30, for Café X", "Add them to it",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in %s", want, text)
		}
	}
	if n := len(p.All("tbody")); n != 7 {
		t.Errorf("%d days", n)
	}
	links := map[string]bool{}
	for _, a := range p.All("a") {
		links[webtest.Attr(a, "href")] = true
	}
	for _, want := range []string{"/week?from=2026-11-16", "/week?from=2026-11-30", "/week/totals?from=2026-11-23", "/days/1/totals", "/days/1", "/standing"} {
		if !links[want] {
			t.Errorf("no link to %s", want)
		}
	}
	next := plainly(s.page("/week?from=2026-12-01"))
	if !strings.Contains(next, "1 to 7 December 2026") || !strings.Contains(next, "Standing orders, not made into a day yet:") || !strings.Contains(next, "Make this day") {
		t.Errorf("the week from Tuesday: %s", next)
	}
	if past := plainly(s.page("/week?from=2026-11-02")); strings.Contains(past, "Plain bun") {
		t.Errorf("what nobody made is long over: %s", past)
	}
	for _, from := range []string{"soon", "2026-02-30"} {
		for _, page := range []string{"/week", "/week/totals"} {
			w := s.get(page + "?from=" + from)
			if text := webtest.Parse(t, w.Body).Text(nil); w.Code != http.StatusUnprocessableEntity || !strings.Contains(text, "“"+from+"” is not a date.") {
				t.Errorf("%s: %d %s", from, w.Code, text)
			}
		}
	}
}

// What cannot be kept is told, and a day without a plan.
func TestWeekTellsOfTrouble(t *testing.T) {
	t.Parallel()
	s := own(t)
	v := s.page("/days/1/plan").Form("/days/1/plan")
	v.Set("orders[3].at", "2026-11-27T17:00")
	s.sent("/days/1/plan", v)
	s.sent("/days", url.Values{"date": {"2026-11-29"}, "zone": {"Europe/Dublin"}})
	text := plainly(s.page("/week"))
	if !strings.Contains(text, "late in all") || !strings.Contains(text, "○ not planned") {
		t.Errorf("it says %s", text)
	}
	text = plainly(s.page("/week/totals"))
	if !strings.Contains(text, "Not planned, and so not in here: Sunday 29 November") {
		t.Errorf("the totals say %s", text)
	}
}

// What is to be bought is what is weighed and the allowance; what is no allowance
// is refused and stays in its field.
func TestTotals(t *testing.T) {
	t.Parallel()
	s := own(t)
	plan, _ := s.store.Plan(t.Context(), s.id)
	total := schedule.Total(plan.From.Bowls(&plan.Plan))
	p := s.page("/days/1/totals?allow=10")
	text := plainly(p)
	if total[0].Label != "bread flour" || total[0].Grams < 6800 || total[0].Grams > 6900 {
		t.Fatalf("flour: %+v", total[0]) // 18+16 buns, 4 loaves, 6 hearth, 5 potato: 3.1 + 2.3 + 1.4 kg
	}
	for _, want := range []string{"bread flour 6.86 kg 7.55 kg", "from the tap", "To buy, 10 % more", "egg 313 g 344 g, 7 × 50 g", "To take out of the cold", "Mash, C Potato loaf, from the Fridge"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in %s", want, text)
		}
	}
	if week := plainly(s.page("/week/totals?from=2026-11-23&allow=10")); !strings.Contains(week, "bread flour 6.86 kg 7.55 kg") {
		t.Errorf("the week says %s", week)
	}
	for _, bad := range []string{"many", "-5", "101", "NaN", "1e9"} {
		w := s.get("/days/1/totals?allow=" + bad)
		p := webtest.Parse(t, w.Body)
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(plainly(p), "“"+bad+"”") || p.Form("/days/1/totals").Get("allow") != bad || !strings.Contains(plainly(p), "bread flour 6.86 kg 6.86 kg") {
			t.Errorf("%s: %d %s", bad, w.Code, plainly(p))
		}
	}
}

// A copied day has the same orders at the same times of the clock, is planned, and
// nothing has happened on it.
func TestCopyDay(t *testing.T) {
	t.Parallel()
	s := own(t)
	v := s.page("/days/1/copy").Form("/days/1/copy")
	if v.Get("date") != "2026-12-05" {
		t.Errorf("a week later is offered as %s", v.Get("date"))
	}
	text := plainly(s.sent("/days/1/copy", v))
	old, _ := s.store.DayRecord(t.Context(), 1)
	d, _ := s.store.DayRecord(t.Context(), 2)
	want := append([]schedule.Order(nil), old.Orders...)
	for i := range want {
		want[i].Out = schedule.Wall(strings.Replace(string(want[i].Out), "2026-11-28", "2026-12-05", 1))
		want[i].Ready = schedule.Wall(strings.Replace(string(want[i].Ready), "2026-11-28", "2026-12-05", 1))
	}
	if diff := cmp.Diff(want, d.Orders); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	taps, _ := s.store.Taps(t.Context(), 2)
	if d.Version != 1 || d.Name != "Saturday 5 December" || len(taps) != 0 || !strings.Contains(text, "Copied from A morning at the Slipway tearoom.") {
		t.Errorf("%+v, %d taps: %s", d, len(taps), text)
	}
	p := s.refused("/days/1/copy", url.Values{"date": {"Saturday"}, "name": {"Fair"}})
	if !strings.Contains(p.Text(nil), "“Saturday” is not a date; write it as 2026-11-28.") || p.Form("/days/1/copy").Get("name") != "Fair" {
		t.Errorf("it says %s", p.Text(nil))
	}
}

// On a night clocks change, what is copied keeps its time of the clock where there
// is one, and says what was moved (RFC 5545, 3.3.5).
func TestCopyOverGap(t *testing.T) {
	t.Parallel()
	s := own(t)
	d, _ := s.store.DayRecord(t.Context(), 1)
	d.Orders = []schedule.Order{{Bread: "plain-bun", Pieces: 6, Out: "2026-11-28T01:30"}, {Bread: "plain-bun", Pieces: 6, Out: "2026-11-28T09:00"}}
	if err := s.store.SaveDay(t.Context(), d); err != nil {
		t.Fatal(err)
	}
	text := plainly(s.sent("/days/1/copy", url.Values{"date": {"2027-03-28"}}))
	got, _ := s.store.DayRecord(t.Context(), 2)
	if len(got.Orders) != 2 || got.Orders[0].Out != "2027-03-28T02:30" || got.Orders[1].Out != "2027-03-28T09:00" {
		t.Errorf("copied: %+v", got.Orders)
	}
	if !strings.Contains(text, "clocks go forward over 01:30") || !strings.Contains(text, "14 days") {
		t.Errorf("it says %s", text)
	}
}
