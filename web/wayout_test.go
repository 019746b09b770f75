package web_test

import (
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/dough"
)

// What is late is promised later by one tap, and then kept.
func TestPromiseLater(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/days/1/plan").Form("/days/1/plan")
	v.Set("orders[3].at", "2026-11-27T17:00") // the poolish alone takes a night
	s.sent("/days/1/plan", v)
	text := s.sent("/days/1/wayout", url.Values{"code": {"promise"}}).Text(nil)
	if !strings.Contains(text, "Every promise is kept.") {
		t.Errorf("it says %q", text)
	}
	if d, _ := s.store.DayRecord(t.Context(), s.id); d.Orders[3].Out <= "2026-11-27T17:00" {
		t.Errorf("still promised for %s", d.Orders[3].Out)
	}
}

// offer saves the example's plan anew with what it says would help.
func (s *site) offer(ways ...schedule.WayOut) {
	s.t.Helper()
	day, err := s.store.Day(s.t.Context(), s.id, s.now)
	if err != nil {
		s.t.Fatal(err)
	}
	saved, err := s.store.Plan(s.t.Context(), s.id)
	if err != nil {
		s.t.Fatal(err)
	}
	saved.Plan.Outcome.Kept, saved.Plan.Outcome.WaysOut = false, ways
	if _, err := s.store.SavePlan(s.t.Context(), s.id, day, saved.Plan, nil, s.now); err != nil {
		s.t.Fatal(err)
	}
}

// What the plan says would help is done by its button, or led to by a link.
func TestWayOutTaken(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.offer(
		schedule.WayOut{Code: "smaller", Of: "Plain bun", Order: 1, Pieces: 8},
		schedule.WayOut{Code: "chill", Of: "Milk pan loaf"},
		schedule.WayOut{Code: "hands", Late: 5},
	)
	page := s.page("/days/1/plan")
	if text := page.Text(nil); !strings.Contains(text, "Order fewer") || !strings.Contains(text, "Let it stand in the cold") || !strings.Contains(text, "Change it in the kitchen") {
		t.Errorf("it offers\n%s", text)
	}
	if text := s.sent("/days/1/wayout", url.Values{"code": {"smaller"}}).Text(nil); !strings.Contains(text, "only 10 are ordered now, 8 fewer") {
		t.Errorf("it says\n%s", text)
	}
	if d, _ := s.store.DayRecord(t.Context(), s.id); d.Orders[0].Pieces != 10 {
		t.Errorf("%d are ordered", d.Orders[0].Pieces)
	}
	s.offer(schedule.WayOut{Code: "chill", Of: "Milk pan loaf"})
	if text := s.sent("/days/1/wayout", url.Values{"code": {"chill"}}).Text(nil); !strings.Contains(text, "Milk pan loaf may stand in the cold now") {
		t.Errorf("it says\n%s", text)
	}
	day, err := s.store.Day(t.Context(), s.id, s.now)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range day.Breads {
		if b.Name == "Milk pan loaf" && !slices.ContainsFunc(b.Method, func(st schedule.Stage) bool { return st.Kind == schedule.Proof && st.Chill != nil }) {
			t.Error("its final proof may not be chilled")
		}
	}
}

// What the baker says of an ingredient stays the ingredient's: the way out changes
// the bread's method alone.
func TestWayOutLeavesFormula(t *testing.T) {
	t.Parallel()
	s := example(t)
	food, _ := dough.Find("bread-flour")
	food.Note = "the mill's"
	if err := s.store.SaveFood(t.Context(), food); err != nil {
		t.Fatal(err)
	}
	s.offer(schedule.WayOut{Code: "chill", Of: "Slipway hearth loaf"})
	before, err := s.store.Bread(t.Context(), "slipway")
	if err != nil {
		t.Fatal(err)
	}
	if res := s.post("/days/1/wayout", url.Values{"code": {"chill"}}); res.Code != 303 {
		t.Fatalf("answered %d %s", res.Code, res.Body)
	}
	after, err := s.store.Bread(t.Context(), "slipway")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(before.Formula, after.Formula); diff != "" {
		t.Errorf("its formula became (-before +after)\n%s", diff)
	}
}

func TestWayOutNotOffered(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.offer(schedule.WayOut{Code: "hands"}, schedule.WayOut{Code: "smaller", Of: "Plain bun", Order: 1, Pieces: 18}, schedule.WayOut{Code: "chill", Of: "<b>none</b>"})
	for code, want := range map[string]string{
		"":        "is not offered any more",
		"promise": "is not offered any more",
		"hands":   "cannot be taken by a button",
		"smaller": "cannot be taken by a button", // none would be left
		"chill":   "cannot be taken by a button",
	} {
		res := s.post("/days/1/wayout", url.Values{"code": {code}})
		if res.Code != 409 || !strings.Contains(res.Body.String(), want) {
			t.Errorf("%q is answered %d %s", code, res.Code, res.Body)
		}
	}
}

// Who stays longer, as the plan says would help, is noted by one tap for that day
// alone: the kitchen stays as it is, sent twice it counts once, and an undo takes it
// back.
func TestWayOutAsked(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	kitchen, err := s.store.Kitchen(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	who := kitchen.Bakers[0].Name
	from := time.Date(2026, 11, 28, 18, 0, 0, 0, s.running().Plan.Saved.Location())
	s.offer(schedule.WayOut{Code: "stay", Asked: []schedule.Asked{{Baker: who, From: from, To: from.Add(40 * time.Minute), Rest: 540}}})
	if text := s.page(s.at + "/plan").Text(nil); !strings.Contains(text, who+" stays until 18:40 (40 min longer)") || !strings.Contains(text, "leaves "+who+" 9 h between work and work") || !strings.Contains(text, "Agreed with "+who) {
		t.Errorf("it offers\n%s", text)
	}
	for range 2 {
		if text := strings.ReplaceAll(s.sent(s.at+"/wayout", url.Values{"code": {"stay"}}).Text(nil), "\u00a0", " "); !strings.Contains(text, who+" stays until Sat 18:40 (40 min longer)") {
			t.Errorf("it says\n%s", text)
		}
	}
	log := s.running().Log
	want := []schedule.Slip{{Kind: schedule.Stays, Of: who, From: from, To: from.Add(40 * time.Minute)}}
	if len(log) == 1 {
		want[0].ID, want[0].At = log[0].ID, log[0].At
	}
	if diff := cmp.Diff(want, log); diff != "" {
		t.Fatalf("log (-want +got)\n%s", diff)
	}
	if after, err := s.store.Kitchen(t.Context()); err != nil || !cmp.Equal(kitchen, after) {
		t.Errorf("the kitchen became (%v) %s", err, cmp.Diff(kitchen, after))
	}
	run := s.running()
	s.sent(s.at+"/tap", url.Values{"kind": {"undo"}, "of": {log[0].ID}, "key": {"back"}, "version": {strconv.Itoa(run.Version)}})
	if log := s.running().Log; len(log) != 0 {
		t.Errorf("taken back: %+v", log)
	}
}
