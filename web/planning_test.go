package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/live"
	"ovenward/web/webtest"
)

// A changed order is planned at once, kept, told to the browsers, and the page
// says what moved.
func TestPlanAgain(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/days/1/plan").Form("/days/1/plan")
	v.Set("orders[4].at", "2026-11-28T13:30")
	p := s.sent("/days/1/plan", v)
	said := strings.ReplaceAll(p.Text(p.Class("said")[0]), "\u00a0", " ")
	if !strings.Contains(said, "Saved and planned.") || !strings.Contains(said, " → ") {
		t.Errorf("it says %q", said)
	}
	d, _ := s.store.DayRecord(t.Context(), s.id)
	if d.Version != 2 || d.Orders[4].Ready != "2026-11-28T13:30" {
		t.Errorf("kept: version %d, %v", d.Version, d.Orders[4])
	}
	if !s.hub.heard(live.Plan{Day: 1}) {
		t.Error("nobody was told")
	}
}

// A wish nobody can keep still gets a plan, with what stands in the way.
func TestImpossibleWish(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/days/1/plan").Form("/days/1/plan")
	v.Set("orders[3].at", "2026-11-27T17:00") // the poolish alone takes a night
	text := s.sent("/days/1/plan", v).Text(nil)
	if !strings.Contains(text, "late") || !strings.Contains(text, "What stands in the way: ") {
		t.Errorf("it says %q", text)
	}
}

// The room's temperature shifts the whole curve of the day.
func TestRoom(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/days/1/plan").Form("/days/1/plan")
	v.Set("noon_celsius", "26,5")
	p := s.sent("/days/1/plan", v)
	d, _ := s.store.DayRecord(t.Context(), s.id)
	want := []schedule.Reading{{At: 240, Celsius: 21.5}, {At: 420, Celsius: 24}, {At: 720, Celsius: 26.5}, {At: 1080, Celsius: 24.5}, {At: 1320, Celsius: 22.5}}
	for i, r := range d.Room {
		if r != want[i] {
			t.Errorf("reading %d: %v, want %v", i, r, want[i])
		}
	}
	if len(d.Room) != len(want) || p.Form("/days/1/plan").Get("noon_celsius") != "26.5" {
		t.Errorf("room %v", d.Room)
	}
}

func TestNewDay(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/days").Form("/days")
	v.Set("date", "2026-12-05")
	v.Set("like", "1")
	p := s.sent("/days", v)
	if f := p.Form("/days/2/plan"); f.Get("orders[0].at.day") != "2026-12-05" || f.Get("orders[0].at") != "09:00" {
		t.Errorf("first order on %q at %q", f.Get("orders[0].at.day"), f.Get("orders[0].at"))
	}
	v.Set("date", "Saturday")
	if got := s.refused("/days", v).Text(nil); !strings.Contains(got, "“Saturday” is not a date; write it as 2026-11-28.") {
		t.Errorf("it says %q", got)
	}
	s.sent("/days/2/delete", nil)
	if w := s.get("/days/2/plan"); w.Code != http.StatusNotFound {
		t.Errorf("deleted day: %d", w.Code)
	}
}

func TestExampleCleared(t *testing.T) {
	t.Parallel()
	s := example(t)
	if n := len(s.page("/days/1").Class("example")); n != 1 {
		t.Errorf("%d banners", n)
	}
	s.sent("/example", url.Values{"do": {"clear"}})
	if all, _ := s.store.Days(t.Context()); len(all) != 0 {
		t.Errorf("%d days are left", len(all))
	}
}

// tap finds the button of a word and presses it.
func (s *site) tap(word string) (key string) {
	s.t.Helper()
	p := s.page(s.at + "/now")
	for _, f := range p.All("form") {
		if webtest.Attr(f, "action") == s.at+"/tap" && strings.HasPrefix(p.Text(f)+" ", word+" ") {
			v := p.FormOf(f)
			s.sent(s.at+"/tap", v)
			s.sent(s.at+"/tap", v) // an impatient finger
			return v.Get("key")
		}
	}
	s.t.Fatalf("no button says %s", word)
	return ""
}

func TestTaps(t *testing.T) {
	t.Parallel()
	s := example(t)
	plan, _ := s.store.Plan(t.Context(), s.id)
	s.live()
	s.now = plan.Plan.Tasks[0].Start.Add(2 * time.Minute)
	key := s.tap("Done")
	taps, _ := s.store.Taps(t.Context(), s.id)
	if len(taps) != 1 || taps[0].ID != key || taps[0].Kind != record.Finished || !taps[0].At.Equal(s.now) {
		t.Fatalf("taps: %+v", taps)
	}
	if !s.hub.heard(live.Tap{Day: 1}) {
		t.Error("nobody was told")
	}
	if got := s.page("/days/1/now").Text(nil); !strings.Contains(got, "Done: Mix the poolish") {
		t.Errorf("nothing to undo: %s", got)
	}
	s.tap("Done: Mix the poolish, B Slipway hearth loaf Undo")
	if taps, _ := s.store.Taps(t.Context(), s.id); len(taps) != 2 || !taps[0].Undone {
		t.Errorf("taps: %+v", taps)
	}
}

// What was tapped can be taken back for ten minutes; then it no longer says so.
func TestUndoEnds(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.tap("Done")
	s.now = s.now.Add(record.UndoFor + time.Second)
	if n := len(s.page("/days/1/now").Class("undo")); n != 0 {
		t.Errorf("%d undo bars", n)
	}
}

// A tap on a plan that was replaced meanwhile is refused with what to do.
func TestTapOnOldPlan(t *testing.T) {
	t.Parallel()
	s := example(t)
	p := s.page("/days/1/now")
	old := p.Form("/days/1/tap")
	s.sent("/days/1/plan", s.page("/days/1/plan").Form("/days/1/plan"))
	w := s.post("/days/1/tap", old)
	if got := webtest.Parse(t, w.Body).Text(nil); w.Code != http.StatusConflict || !strings.Contains(got, "Go on to the newest plan.") {
		t.Errorf("%d %s", w.Code, got)
	}
}

func TestWords(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.sent("/settings", url.Values{"prove": {"proof"}, "knock": {"punch"}, "tin": {"pan"}, "theme": {""}})
	if got := s.page("/breads/currant-bun").Text(nil); !strings.Contains(got, "Punch") || strings.Contains(got, "Knock back ") {
		t.Error("the words are not the reader's")
	}
}

// RFC 5545: the file is of its own media type and whole.
func TestCalendar(t *testing.T) {
	t.Parallel()
	s := example(t)
	w := s.get("/days/1/calendar.ics")
	body := w.Body.String()
	if w.Header().Get("Content-Type") != "text/calendar; charset=utf-8" || !strings.HasPrefix(body, "BEGIN:VCALENDAR\r\n") || !strings.HasSuffix(body, "END:VCALENDAR\r\n") {
		t.Errorf("%v %.80q", w.Header(), body)
	}
	if !strings.Contains(body, "SUMMARY:Take out\\, A1 Plain bun\r\n") {
		t.Error("no entry to take the buns out")
	}
}

// A volume somebody saw comes up as dots on the ribbon, in both drawings.
func TestSeenVolume(t *testing.T) {
	t.Parallel()
	s := example(t)
	if n := len(s.page("/days/1").Class("seen")); n != 0 {
		t.Fatalf("%d dots before anything was seen", n)
	}
	plan, _ := s.store.Plan(t.Context(), s.id)
	s.live()
	for _, task := range plan.Plan.Tasks {
		if task.Kind == schedule.Rise && task.Part == "" {
			s.now = task.Start.Add(40 * time.Minute)
			s.sent("/days/1/tap", url.Values{"key": {"k"}, "task": {task.ID}, "kind": {"volume"}, "value": {"1.6"}, "version": {"1"}, "back": {"day"}})
			break
		}
	}
	if n := len(s.page("/days/1").Class("seen")); n != 2 {
		t.Errorf("%d dots", n)
	}
}

// How much a late line matters can be chosen in words; a number of one's own survives
// being shown and saved again.
func TestPriority(t *testing.T) {
	t.Parallel()
	s := example(t)
	for typed, want := range map[string]struct {
		weight int
		word   string
	}{
		"": {0, "usual"}, "1": {1, "usual"}, "3": {3, "high"},
		"10": {10, "highest"}, "7": {7, "7 times"}, "1000": {1000, "1000 times"},
	} {
		v := s.page(s.at + "/plan").Form(s.at + "/plan")
		v.Set("orders[0].weight", typed)
		s.sent(s.at+"/plan", v)
		p := s.page(s.at + "/plan")
		again := p.Form(s.at + "/plan").Get("orders[0].weight")
		if got := p.Text(p.ID("orders[0].weight")); again != typed || !strings.Contains(got, want.word) {
			t.Errorf("%q became %q of %q", typed, again, got)
		}
		d, err := s.store.Day(t.Context(), s.id, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		if d.Orders[0].Weight != want.weight {
			t.Errorf("%q is kept as %d, want %d", typed, d.Orders[0].Weight, want.weight)
		}
	}
	v := s.page(s.at + "/plan").Form(s.at + "/plan")
	v.Set("orders[0].weight", "-2")
	p := s.refused(s.at+"/plan", v)
	if got := p.Text(p.Class("problem")[0]); !strings.Contains(got, "weight of -2") {
		t.Errorf("-2: %s", got)
	}
}

// What was tapped of the plan before says nothing of one made anew: its mix is to
// be done, and can be tapped.
func TestPlannedAnew(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	plan, _ := s.store.Plan(t.Context(), s.id)
	first := plan.Plan.Tasks[0]
	s.now = first.Start.Add(2 * time.Minute)
	s.tap("Done")
	form := func(p *webtest.Page) bool { return strings.Contains(p.Text(p.Class("card")[0]), "Mix the poolish") }
	if form(s.page(s.at + "/now")) {
		t.Fatal("what is done is still asked for")
	}
	s.sent(s.at+"/plan", s.page(s.at+"/plan").Form(s.at+"/plan"))
	p := s.page(s.at + "/now")
	if !form(p) || len(p.Class("undo")) != 0 {
		t.Errorf("the new plan's mix is taken for done: %s", p.Text(nil))
	}
}
