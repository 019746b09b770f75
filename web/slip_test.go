package web_test

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/net/html"

	"ovenward/schedule"
	"ovenward/static"
	"ovenward/store/record"
	"ovenward/web"
	"ovenward/web/live"
	"ovenward/web/webtest"
)

// live makes the example the baker's own, on a day that runs.
func (s *site) live() {
	s.t.Helper()
	if err := s.store.KeepExample(s.t.Context()); err != nil {
		s.t.Fatal(err)
	}
	d, err := s.store.DayRecord(s.t.Context(), s.id)
	if err != nil {
		s.t.Fatal(err)
	}
	d.Now = ""
	if err := s.store.SaveDay(s.t.Context(), d); err != nil {
		s.t.Fatal(err)
	}
}

// bulk is the first bulk rise at room temperature and the work that ends it.
func (s *site) bulk() (rise, next schedule.Task) {
	s.t.Helper()
	saved, err := s.store.Plan(s.t.Context(), s.id)
	if err != nil {
		s.t.Fatal(err)
	}
	for _, t := range saved.Plan.Tasks {
		if rise.ID == "" && t.Kind == schedule.Rise && t.Part == "" && !t.Chilled {
			rise = t
		} else if rise.ID != "" && t.Batch == rise.Batch && len(t.Hands) > 0 && t.Kind != schedule.Fold && !t.Start.Before(rise.End) {
			return rise, t
		}
	}
	s.t.Fatal("no bulk rise")
	return
}

// say posts an answer to the page of what has happened.
func (s *site) say(do, key string, more url.Values) (int, string, *webtest.Page) {
	s.t.Helper()
	d, err := s.store.DayRecord(s.t.Context(), s.id)
	if err != nil {
		s.t.Fatal(err)
	}
	v := url.Values{"do": {do}, "key": {key}, "version": {strconv.Itoa(d.Version)}}
	for k, x := range more {
		v[k] = x
	}
	w := s.post(s.at+"/slip", v)
	to := w.Header().Get("Location")
	if w.Code == http.StatusSeeOther {
		return w.Code, to, s.page(to)
	}
	return w.Code, to, webtest.Parse(s.t, w.Body)
}

// bake is the ID of a portion's bake.
func (s *site) bake(portion string) string {
	for _, t := range s.running().Plan.Plan.Tasks {
		if t.Portion == portion && t.Kind == schedule.Bake {
			return t.ID
		}
	}
	return ""
}

func (s *site) running() record.Running {
	s.t.Helper()
	r, err := s.store.Running(s.t.Context(), s.id)
	if err != nil {
		s.t.Fatal(err)
	}
	return r
}

// "Not yet" is said of the rise, keeps the call alive, offers choices; one tap
// accepts one, however often it is sent; the new plan is drawn and its calls are
// set.
func TestNotYetToAccepted(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	rise, next := s.bulk()
	s.now = next.Start
	if _, err := s.store.ClaimDue(t.Context(), s.now); err != nil {
		t.Fatal(err)
	}
	code, to, p := s.say("not-yet 40", "a", url.Values{"task": {next.ID}})
	if code != http.StatusSeeOther || to != "/days/1/choices" {
		t.Fatalf("%d to %s: %s", code, to, p.Text(nil))
	}
	log := s.running().Log
	if len(log) != 1 || log[0].Kind != schedule.NotYet || log[0].Task != rise.ID || log[0].Minutes != 40 {
		t.Fatalf("log: %+v", log)
	}
	text := p.Text(nil)
	for _, want := range []string{"not yet; 40 min more", "Filled is the new plan", "look at it then, and wait if it is not", "of 10 rehearsals"} {
		if !strings.Contains(strings.ReplaceAll(text, "\u00a0", " "), want) {
			t.Errorf("it does not say %q: %s", want, text)
		}
	}
	if len(p.Class("old")) == 0 || len(p.Class("chipt")) == 0 || len(p.Class("chip")) == 0 {
		t.Error("the old plan is not drawn")
	}
	if !strings.Contains(s.page(s.at+"/now").Text(nil), "The plan no longer fits what has happened.") {
		t.Error("the cards do not say that something is to be decided")
	}
	v := url.Values{}
	for _, f := range p.All("form") {
		if webtest.Attr(f, "action") == s.at+"/choices" {
			v = p.FormOf(f)
			break
		}
	}
	for _, b := range p.All("button") {
		if webtest.Attr(b, "name") == "pick" {
			v.Set("pick", webtest.Attr(b, "value"))
			break
		}
	}
	said := s.sent(s.at+"/choices", v).Text(nil)
	if !strings.Contains(said, "Accepted: ") && !strings.Contains(said, "The times stay") {
		t.Errorf("it says %s", said)
	}
	s.sent(s.at+"/choices", v) // an impatient finger
	r := s.running()
	if r.Version != 2 || len(r.Log) != 1 {
		t.Fatalf("version %d, log %v", r.Version, r.Log)
	}
	if !s.hub.heard(live.Plan{Day: 1}) {
		t.Error("nobody was told")
	}
	v.Set("key", "somebody-else")
	if w := s.post(s.at+"/choices", v); w.Code != http.StatusConflict {
		t.Errorf("a choice on the plan before: %d", w.Code)
	}
	i := slices.IndexFunc(r.Plan.Plan.Tasks, func(x schedule.Task) bool { return x.ID == next.ID })
	if got := r.Plan.Plan.Tasks[i].Start; !got.After(next.Start.Add(30 * time.Minute)) {
		t.Errorf("%s is at %s, not ready before %s", next.ID, got, next.Start.Add(40*time.Minute))
	}
	all, err := s.store.Alerts(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(all, func(a record.Alert) bool {
		return a.Task == next.ID && a.State == record.Scheduled && a.Kind == schedule.CallStart && a.Due.Equal(r.Plan.Plan.Tasks[i].Start)
	}) {
		t.Error("the new time is not called")
	}
	if got := s.page(s.at + "/choices").Text(nil); !strings.Contains(got, "Nothing is gained by moving.") {
		t.Errorf("once accepted it offers %s", got)
	}
	s.page("/days/1")
}

// What cannot have happened is refused with a remedy, in the field it was said
// in, and what was typed is still there.
func TestSlipsRefused(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	rise, next := s.bulk()
	s.now = rise.Start.Add(20 * time.Minute)
	at := rise.ID
	for _, tt := range []struct {
		name, do string
		more     url.Values
		want     string // in the summary
		keep     string // field whose value stays
	}{
		{"done before it began", "done 0", url.Values{"task": {s.bake(next.Portion)}}, "say first when that was done", ""},
		{"not yet for a day", "not-yet 900", url.Values{"task": {at}}, "0 to 480", ""},
		{"no volume", "volume", url.Values{"task": {at}, "task.volume": {"0"}}, "0.9 to 5", "task.volume"},
		{"forty volumes", "volume", url.Values{"task": {at}, "task.volume": {"40"}}, "0.9 to 5", "task.volume"},
		{"volume in words", "volume", url.Values{"task": {at}, "task.volume": {"double"}}, "“double” is not a number", "task.volume"},
		{"volume of nothing", "volume", url.Values{"task": {at}}, "This is empty; give a number.", ""},
		{"temperature of nothing", "temperature", url.Values{"task": {at}}, "This is empty; give a number.", ""},
		{"boiling dough", "temperature", url.Values{"task": {at}, "task.celsius": {"95"}}, "read the thermometer again", "task.celsius"},
		{"unknown task", "ready", url.Values{"task": {"Z.9"}}, "The plan has no task", ""},
		{"nothing that happens", "explode", url.Values{"task": {at}}, "is nothing that happens to a plan", ""},
		{"no such place", "place", url.Values{"room.of": {"cellar"}, "room.celsius": {"12"}}, "There is no place", "room.celsius"},
		{"a furnace", "place", url.Values{"room.of": {s.running().Base.Kitchen.Places[0].Name}, "room.celsius": {"300"}}, "-30 to 60", "room.celsius"},
		{"no temperature", "place", url.Values{"room.of": {s.running().Base.Kitchen.Places[0].Name}}, "This is empty; give a number.", ""},
		{"until nonsense", "oven-out", url.Values{"oven.of": {s.running().Base.Kitchen.Ovens[0].Name}, "oven.to": {"noon"}}, "“noon” is not a time", "oven.to"},
		{"faster than new", "oven-slow", url.Values{"slow.of": {s.running().Base.Kitchen.Ovens[0].Name}, "slow.share": {"400"}}, "400 % of its pace cannot be: an oven that still heats has 10 to 100 %", "slow.share"},
		{"nobody", "away", url.Values{"away.of": {"Nobody"}}, "There is no person", ""},
		{"order of nothing", "order-add", url.Values{"new.bread": {""}, "new.pieces": {"4"}, "new.at": {"2026-11-28T12:00"}, "new.by": {"out"}}, "bread", "new.pieces"},
		{"lowered", "order-raise", url.Values{"raise.order": {"0"}, "raise.pieces": {"1"}}, "say that it is for fewer", "raise.pieces"},
		{"lowered to none", "order-lower", url.Values{"lower.order": {"0"}, "lower.pieces": {"0"}}, "do not lower an order", "lower.pieces"},
		{"later, no time", "order-later", url.Values{"later.order": {"0"}}, "give a time of day like 10:30", ""},
		{"later, no order", "order-later", url.Values{"later.to": {"11:00"}}, "No order is chosen", "later.to"},
		{"no order", "order-drop", nil, "No order is chosen", ""},
		{"order 99", "order-drop", url.Values{"drop.order": {"99"}}, "There is no order 99", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			code, _, p := s.say(tt.do, tt.name, tt.more)
			faults := p.ID("faults")
			if code != http.StatusUnprocessableEntity || faults == nil {
				t.Fatalf("%d: %s", code, p.Text(nil))
			}
			if got := p.Text(faults); !strings.Contains(got, tt.want) {
				t.Errorf("it says %q, want %q", got, tt.want)
			}
			if tt.keep != "" {
				if f := p.ID(tt.keep); f == nil || webtest.Attr(f, "value") != tt.more.Get(tt.keep) {
					t.Errorf("%q was lost", tt.more.Get(tt.keep))
				}
			}
			unique(t, p)
		})
	}
	if log := s.running().Log; len(log) > 0 {
		t.Errorf("kept all the same: %+v", log)
	}
}

// What may be said is said, kept, and can be taken back.
func TestSlipsTaken(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name, do string
		more     func(s *site) url.Values
		want     schedule.Slip
	}{
		{"room", "place", func(s *site) url.Values {
			return url.Values{"room.of": {s.running().Base.Kitchen.Places[0].Name}, "room.celsius": {"26,5"}}
		}, schedule.Slip{Kind: schedule.RoomIs, Celsius: 26.5}},
		{"oven", "oven-slow", func(s *site) url.Values {
			return url.Values{"slow.of": {s.running().Base.Kitchen.Ovens[0].Name}, "slow.share": {"50"}}
		}, schedule.Slip{Kind: schedule.OvenSlow, Share: 0.5}},
		{"away", "away", func(s *site) url.Values {
			return url.Values{"away.of": {s.running().Base.Kitchen.Bakers[0].Name}, "away.to": {clockOf(s.now.Add(30 * time.Minute))}}
		}, schedule.Slip{Kind: schedule.Away}},
		{"raised", "order-raise", func(s *site) url.Values {
			return url.Values{"raise.order": {"0"}, "raise.pieces": {strconv.Itoa(2 + s.running().Base.Orders[0].Pieces)}}
		}, schedule.Slip{Kind: schedule.OrderRaised}},
		{"for fewer", "order-lower", func(s *site) url.Values {
			return url.Values{"lower.order": {"0"}, "lower.pieces": {"2"}}
		}, schedule.Slip{Kind: schedule.OrderLowered}},
		{"later", "order-later", func(s *site) url.Values { return url.Values{"later.order": {"0"}, "later.to": {"23:00"}} }, schedule.Slip{Kind: schedule.OrderLater}},
		{"thrown away", "dough-lost", func(s *site) url.Values { r, _ := s.bulk(); return url.Values{"task": {r.ID}} }, schedule.Slip{Kind: schedule.DoughLost}},
		{"dropped", "order-drop", func(s *site) url.Values { return url.Values{"drop.order": {"1"}} }, schedule.Slip{Kind: schedule.OrderDropped, Order: 1}},
		{"volume", "volume 1.5", func(s *site) url.Values { r, _ := s.bulk(); return url.Values{"task": {r.ID}} }, schedule.Slip{Kind: schedule.Volume, Expansion: 1.5}},
		{"warm", "temperature 24", func(s *site) url.Values { r, _ := s.bulk(); return url.Values{"task": {r.ID}} }, schedule.Slip{Kind: schedule.WasWarm, Celsius: 24}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			s := example(t)
			s.live()
			rise, _ := s.bulk()
			s.now = rise.Start.Add(40 * time.Minute)
			if code, _, p := s.say(tt.do, "k", tt.more(s)); code != http.StatusSeeOther {
				t.Fatalf("%d: %s", code, p.Text(nil))
			}
			log := s.running().Log
			if len(log) != 1 || log[0].Kind != tt.want.Kind || log[0].Celsius != tt.want.Celsius || log[0].Share != tt.want.Share || log[0].Expansion != tt.want.Expansion || !log[0].At.Equal(s.now) {
				t.Fatalf("log: %+v", log)
			}
			s.page(s.at + "/choices")
			s.sent(s.at+"/tap", url.Values{"kind": {"undo"}, "of": {"k"}, "key": {"u"}, "version": {"1"}})
			if log := s.running().Log; len(log) != 0 {
				t.Errorf("taken back, and still there: %+v", log)
			}
		})
	}
}

// What happens most is said in two taps from Now, nothing typed: one to the page,
// or to the dough, and one button. What is kept is what the button says.
func TestSaidInTwoTaps(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name, do string
		ofRise   bool
		want     func(k *schedule.Kitchen, now time.Time) schedule.Slip
	}{
		{"dough temperature", "temperature 27", true, func(*schedule.Kitchen, time.Time) schedule.Slip {
			return schedule.Slip{Kind: schedule.WasWarm, Celsius: 27}
		}},
		{"volume", "volume 1.5", true, func(*schedule.Kitchen, time.Time) schedule.Slip {
			return schedule.Slip{Kind: schedule.Volume, Expansion: 1.5}
		}},
		{"room warmer", "place +3", false, func(k *schedule.Kitchen, now time.Time) schedule.Slip {
			p := k.Places[0]
			return schedule.Slip{Kind: schedule.RoomIs, Of: p.Name, Celsius: p.At(float64(60*now.Hour()+now.Minute())) + 3}
		}},
		{"oven out for a while", "oven-out 30", false, func(k *schedule.Kitchen, now time.Time) schedule.Slip {
			return schedule.Slip{Kind: schedule.OvenOut, Of: k.Ovens[0].Name, To: now.Add(30 * time.Minute)}
		}},
		{"oven out for the day", "oven-out", false, func(k *schedule.Kitchen, _ time.Time) schedule.Slip {
			return schedule.Slip{Kind: schedule.OvenOut, Of: k.Ovens[0].Name}
		}},
		{"oven slow", "oven-slow 50", false, func(k *schedule.Kitchen, _ time.Time) schedule.Slip {
			return schedule.Slip{Kind: schedule.OvenSlow, Of: k.Ovens[0].Name, Share: 0.5}
		}},
		{"somebody away", "away 60", false, func(k *schedule.Kitchen, now time.Time) schedule.Slip {
			return schedule.Slip{Kind: schedule.Away, Of: k.Bakers[0].Name, To: now.Add(time.Hour)}
		}},
		{"order dropped", "order-drop", false, func(*schedule.Kitchen, time.Time) schedule.Slip { return schedule.Slip{Kind: schedule.OrderDropped} }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			s := example(t)
			s.live()
			rise, _ := s.bulk()
			s.now = rise.Start.Add(40 * time.Minute)
			to := s.at + "/slip"
			if tt.ofRise {
				to += "?task=" + rise.ID
			}
			if !slices.ContainsFunc(s.page(s.at+"/now").All("a"), func(a *html.Node) bool { return webtest.Attr(a, "href") == to }) {
				t.Fatalf("Now does not lead to %s", to)
			}
			v := pressed(t, s.page(to), tt.do)
			if w := s.post(s.at+"/slip", v); w.Code != http.StatusSeeOther {
				t.Fatalf("%d %s", w.Code, webtest.Parse(t, w.Body).Text(nil))
			}
			run := s.running()
			want := tt.want(&run.Base.Kitchen, s.now)
			want.At, want.ID = s.now, v.Get("key")
			if tt.ofRise {
				want.Task = rise.ID
			}
			if diff := cmp.Diff([]schedule.Slip{want}, run.Log, cmp.Comparer(time.Time.Equal)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// pressed is what a browser sends when a button of a page is pressed.
func pressed(t *testing.T, p *webtest.Page, do string) url.Values {
	t.Helper()
	for _, f := range p.All("form") {
		for b := range f.Descendants() {
			if b.Data == "button" && webtest.Attr(b, "value") == do {
				v := p.FormOf(f)
				v.Set("do", do)
				return v
			}
		}
	}
	t.Fatalf("no button says %s", do)
	return nil
}

// The Enter key in a field presses the first button of its form: that must be the
// one which reads the field.
func TestEnterNotesWhatWasTyped(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	rise, _ := s.bulk()
	s.now = rise.Start.Add(40 * time.Minute)
	for _, path := range []string{s.at + "/slip", s.at + "/slip?task=" + rise.ID} {
		for _, f := range s.page(path).All("form") {
			typed, first := "", ""
			for n := range f.Descendants() {
				switch {
				case n.Data == "input" && webtest.Attr(n, "type") == "":
					typed = webtest.Attr(n, "name")
				case n.Data == "button" && first == "":
					first = webtest.Attr(n, "value")
				}
			}
			if typed != "" && strings.Contains(first, " ") {
				t.Errorf("%s: Enter in %s says %q", path, typed, first)
			}
		}
	}
}

// Two people say the same at once, or one says it twice: it is kept once, and
// both go on. Later is later: what contradicts is refused.
func TestTwoAtOnce(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	_, next := s.bulk()
	s.now = next.Start.Add(5 * time.Minute)
	var wg sync.WaitGroup
	codes := make([]int, 6)
	for i := range codes {
		wg.Go(func() {
			v := url.Values{"key": {strconv.Itoa(i)}, "task": {next.ID}, "kind": {"done"}, "version": {"1"}, "back": {"now"}}
			codes[i] = s.post(s.at+"/tap", v).Code
		})
	}
	wg.Wait()
	for _, c := range codes {
		if c != http.StatusSeeOther {
			t.Errorf("answers %v", codes)
			break
		}
	}
	if log := s.running().Log; len(log) != 1 {
		t.Errorf("log: %+v", log)
	}
	code, _, p := s.say("not-yet 10", "late", url.Values{"task": {next.ID}})
	if code != http.StatusUnprocessableEntity || !strings.Contains(p.Text(nil), "take that entry back first") {
		t.Errorf("not yet after done: %d %s", code, p.Text(nil))
	}
}

// Keeping the old plan where it cannot be kept to changes nothing; something
// more said meanwhile, or time passed, shows the choices anew.
func TestChoicesMoveOn(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	_, next := s.bulk()
	s.now = next.Start
	_, _, p := s.say("not-yet 20", "a", url.Values{"task": {next.ID}})
	v := p.Form(s.at + "/choices")
	v.Set("pick", "nothing of the kind")
	if w := s.post(s.at+"/choices", v); w.Code != http.StatusConflict {
		t.Errorf("an unknown choice: %d", w.Code)
	}
	v.Set("pick", "keep")
	s.now = s.now.Add(30 * time.Minute)
	w := s.post(s.at+"/choices", v)
	if got := webtest.Parse(t, w.Body).Text(nil); w.Code != http.StatusConflict || !strings.Contains(got, "Time has moved on.") {
		t.Errorf("%d %s", w.Code, got)
	}
	s.now = s.now.Add(-30 * time.Minute)
	s.say("not-yet 40", "b", url.Values{"task": {next.ID}})
	w = s.post(s.at+"/choices", v)
	if got := webtest.Parse(t, w.Body).Text(nil); w.Code != http.StatusConflict || !strings.Contains(got, "Something more has happened meanwhile.") {
		t.Errorf("%d %s", w.Code, got)
	}
	v = s.page(s.at + "/choices").Form(s.at + "/choices")
	v.Set("pick", "keep")
	s.sent(s.at+"/choices", v)
	again := func() bool { return strings.Contains(s.page(s.at+"/now").Text(nil), "The plan no longer fits") }
	if again() {
		t.Error("what was decided is asked again")
	}
	s.restart()
	if again() {
		t.Error("what was decided is asked again after a restart")
	}
	s.say("not-yet 40", "c", url.Values{"task": {next.ID}})
	s.restart()
	if !again() {
		t.Error("what waits for a decision is forgotten in a restart")
	}
}

// What is seen is kept as a lesson, corrects the next day's planning, and is
// forgotten on request.
func TestLearned(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	if got := s.page("/learned").Text(nil); !strings.Contains(got, "Nothing yet.") {
		t.Errorf("it says %s", got)
	}
	rise, next := s.bulk()
	s.now = rise.Window.Best.Add(-25 * time.Minute) // sooner than the model says: a fast dough
	code, _, p := s.say("ready", "r", url.Values{"task": {rise.ID}})
	if code != http.StatusSeeOther {
		t.Fatalf("%d %s of %s", code, p.Text(nil), next.ID)
	}
	got := s.page("/learned").Text(nil)
	for _, want := range []string{"faster here than the model says", "bulk rise", "eight cases of ten", "would be forecast as"} {
		if !strings.Contains(got, want) {
			t.Errorf("it does not say %q: %s", want, got)
		}
	}
	all, err := s.store.Observations(t.Context())
	if err != nil || len(all) != 1 || all[0].Observed >= all[0].Predicted {
		t.Fatalf("%+v, %v", all, err)
	}
	day, err := s.store.Day(t.Context(), s.id, s.now)
	if err != nil || len(day.Learned) == 0 || day.Validate().Err() != nil {
		t.Fatalf("the day knows %v, %v", day.Learned, err)
	}
	for _, l := range day.Learned {
		if l.Dough == all[0].Dough && l.Speed <= 1 {
			t.Errorf("believed %+v", l)
		}
	}
	s.sent("/learned", url.Values{"dough": {all[0].Dough}})
	if day, _ = s.store.Day(t.Context(), s.id, s.now); len(day.Learned) != 0 {
		t.Errorf("forgotten, and still %v", day.Learned)
	}
	if w := s.post("/learned", nil); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("forget nothing: %d", w.Code)
	}
	s.sent("/learned", url.Values{"do": {"all"}})
}

// A rehearsal teaches nothing of this kitchen.
func TestRehearsalTeachesNothing(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	rise, _ := s.bulk()
	d, err := s.store.DayRecord(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	d.Now = schedule.WallOf(rise.Window.Best)
	if err := s.store.SaveDay(t.Context(), d); err != nil {
		t.Fatal(err)
	}
	if code, _, p := s.say("ready", "r", url.Values{"task": {rise.ID}}); code != http.StatusSeeOther {
		t.Fatalf("%d %s", code, p.Text(nil))
	}
	if all, err := s.store.Observations(t.Context()); err != nil || len(all) != 0 {
		t.Errorf("%v, %v", all, err)
	}
}

func clockOf(t time.Time) string { return t.Format("15:04") }

// restart is the program begun anew on the same file.
func (s *site) restart() {
	s.t.Helper()
	h, err := web.New(web.Config{Store: s.store, Hub: s.hub, Static: static.FS, Now: func() time.Time { return s.now }, Patience: time.Hour})
	if err != nil {
		s.t.Fatal(err)
	}
	s.h = h
}

// A tap that says nothing a page offers is refused, and nothing of it is kept.
func TestTapsRefused(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	_, next := s.bulk()
	s.now = next.Start
	for _, kind := range []string{"explode", "", "accept", "keep", "lost"} {
		w := s.post(s.at+"/tap", url.Values{"kind": {kind}, "key": {"forged-" + kind}, "task": {next.ID}, "version": {"1"}, "back": {"now"}})
		if text := webtest.Parse(t, w.Body).Text(nil); w.Code != http.StatusUnprocessableEntity || !strings.Contains(text, "nothing that can be said with one tap. Go back, reload the page and tap again.") {
			t.Errorf("%q: %d %s", kind, w.Code, text)
		}
	}
	if taps, err := s.store.Taps(t.Context(), s.id); err != nil || len(taps) != 0 {
		t.Errorf("kept are %v, %v", taps, err)
	}
}
