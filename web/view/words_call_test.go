package view_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

func six(minutes int) time.Time {
	return time.Date(2026, 11, 28, 6, minutes, 0, 0, time.UTC)
}

// Every sentence of a call in every state it can be in, usual and odd. A word
// ahead is never late, nothing is still fine that was, and what somebody is on is
// not late either.
func TestCallSentences(t *testing.T) {
	t.Parallel()
	divide := schedule.Alert{Task: "A.5", Kind: schedule.CallStart, Class: schedule.Due, Due: six(0), TooFar: six(40), Takes: 5}
	ahead := schedule.Alert{Task: "A.5", Kind: schedule.CallHeadsUp, Class: schedule.HeadsUp, Due: six(-10)}
	unload := schedule.Alert{Task: "A.7", Kind: schedule.CallUnload, Class: schedule.NowOrLost, Due: six(0), TooFar: six(5), Takes: 2}
	light := schedule.Alert{Task: "Deck.1", Kind: schedule.CallPreheat, Class: schedule.HeadsUp, Due: six(0), Place: "Deck oven"}
	fridge := schedule.Alert{Task: "A.4", Kind: schedule.CallFridge, Class: schedule.Due, Due: six(0)}
	limitless := schedule.Alert{Task: "A.9", Kind: schedule.CallStart, Class: schedule.Due, Due: six(0)}
	for _, tt := range []struct {
		name  string
		a     record.Alert
		stage schedule.StageKind
		now   time.Time
		want  string
	}{
		{"a word ahead", record.Alert{Alert: ahead, State: record.Rung}, schedule.Divide, six(-10), "Coming up: divide Bun, 06:00, in 10 min."},
		{"a word ahead that comes late", record.Alert{Alert: ahead, State: record.Rung}, schedule.Divide, six(-3), "Coming up: divide Bun, 06:00, in 3 min."},
		{"after catching up", record.Alert{Alert: ahead, State: record.Rung}, schedule.Divide, six(39), "Coming up: divide Bun, 06:00, 39 min ago."},
		{"moved", record.Alert{Alert: ahead, State: record.Rung, Was: six(-30)}, schedule.Divide, six(-10), "Coming up: divide Bun, 06:00, in 10 min (was 05:40)."},
		{"an oven to light", record.Alert{Alert: light, State: record.Rung}, schedule.Preheat, six(0), "Due: heat Bun, 06:00, now."},
		{"an oven not lit", record.Alert{Alert: light, State: record.Rung}, schedule.Preheat, six(49), "Due: heat Bun, 06:00, 49 min ago."},
		{"due", record.Alert{Alert: divide, State: record.Rung}, schedule.Divide, six(0), "Due: divide Bun, 06:00, now; fine until 06:40."},
		{"waiting", record.Alert{Alert: divide, State: record.Rung}, schedule.Divide, six(12), "Due: divide Bun, 06:00, 12 min late; fine until 06:40."},
		{"on it", record.Alert{Alert: divide, State: record.Acked}, schedule.Divide, six(12), "Due: divide Bun, 06:00, 12 min ago; fine until 06:40. Somebody is on it."},
		{"moved, and due", record.Alert{Alert: divide, State: record.Rung, Was: six(-20)}, schedule.Divide, six(1), "Due: divide Bun, 06:00, 1 min late; fine until 06:40 (was 05:40)."},
		{"put off", record.Alert{Alert: divide, State: record.Shelved, Heard: schedule.Heard{Shelved: six(20)}}, schedule.Divide, six(12), "Due: divide Bun, 06:00, 12 min late; fine until 06:40. Put off until 06:20."},
		{"not yet", record.Alert{Alert: divide, State: record.Shelved, Reason: record.Waiting, Heard: schedule.Heard{Shelved: six(20)}}, schedule.Divide, six(12), "Due: divide Bun, 06:00, 12 min late; fine until 06:40. Not yet; look again at 06:20."},
		{"nearly lost", record.Alert{Alert: divide, State: record.Rung}, schedule.Divide, six(36), "Now or lost: divide Bun, 06:00, 36 min late; fine until 06:40."},
		{"lost", record.Alert{Alert: divide, State: record.Past}, schedule.Divide, six(75), "Too far: divide Bun, 06:00, 1 h 15 ago; was fine until 06:40. Nobody has answered; look at the dough and decide."},
		{"slept through", record.Alert{Alert: divide, State: record.Missed}, schedule.Divide, six(52), "Too far: divide Bun, 06:00, 52 min ago; was fine until 06:40. It could not be rung in time; look at the dough and decide."},
		{"going on", record.Alert{Alert: divide, State: record.Acked, Decision: record.GoOn}, schedule.Divide, six(52), "Too far: divide Bun, 06:00, 52 min ago; was fine until 06:40. Going on with it."},
		{"on it, lost meanwhile", record.Alert{Alert: divide, State: record.Acked}, schedule.Divide, six(41), "Too far: divide Bun, 06:00, 41 min ago; was fine until 06:40. Somebody is on it."},
		{"bread due out", record.Alert{Alert: unload, State: record.Rung}, schedule.Bake, six(1), "Now or lost: take out Bun, 06:00, 1 min late; fine until 06:05."},
		{"bread over its time", record.Alert{Alert: unload, State: record.Past}, schedule.Bake, six(25), "Over its time: take out Bun, 06:00, 25 min ago; was fine until 06:05. Nobody has answered; look at the bread and decide."},
		{"bread slept through", record.Alert{Alert: unload, State: record.Missed}, schedule.Bake, six(25), "Over its time: take out Bun, 06:00, 25 min ago; was fine until 06:05. It could not be rung in time; look at the bread and decide."},
		{"bread loaded late", record.Alert{Alert: unload, State: record.Rung, Was: six(-7)}, schedule.Bake, six(0), "Now or lost: take out Bun, 06:00, now; fine until 06:05 (was 05:53)."},
		{"into the fridge", record.Alert{Alert: fridge, State: record.Rung}, schedule.Rise, six(2), "Due: put Bun into the cold, 06:00, 2 min late."},
		{"nothing spoils", record.Alert{Alert: limitless, State: record.Rung}, schedule.Finish, six(90), "Due: finish Bun, 06:00, 1 h 30 late."},
		{"yesterday", record.Alert{Alert: limitless, State: record.Rung}, schedule.Finish, six(24 * 60), "Due: finish Bun, Sat 06:00, 24 h late."},
	} {
		tt.a.Name, tt.a.Stage = "Bun", tt.stage
		got := strings.ReplaceAll(view.Words{}.Call(tt.a, tt.now), "\u00a0", " ")
		if got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}

// oven is a plan of two breads in one oven: one to be loaded when the other is
// due out.
func oven() view.Picture {
	limit := six(20)
	hands := func(baker string, from, to int) schedule.Hands {
		return schedule.Hands{Baker: baker, From: six(from), To: six(to)}
	}
	p := &schedule.Plan{Tasks: []schedule.Task{
		{ID: "A1.5", Batch: "A", Portion: "A1", Kind: schedule.Bake, Name: "Bun", Start: six(-15), End: six(0), Oven: "Deck",
			Hands: []schedule.Hands{hands("Orla", -15, -13), hands("Orla", -2, 0)}},
		{ID: "B1.5", Batch: "B", Portion: "B1", Kind: schedule.Bake, Name: "Loaf", Start: six(-5), End: six(25), Oven: "Deck", TooFar: &limit,
			Hands: []schedule.Hands{hands("Orla", -5, -3), hands("Orla", 23, 25)}},
		{ID: "C.1", Batch: "C", Kind: schedule.Mix, Name: "Rye", Start: six(-30), End: six(-20), Hands: []schedule.Hands{hands("Piet", -30, -20)}},
	}}
	return view.Picture{Day: &schedule.Day{}, Plan: p, Done: map[string]bool{}, Begun: map[string]bool{"A1.5": true}, OnIt: map[string]bool{}, Ready: map[string]bool{}, Wait: map[string]time.Time{}}
}

// Bread that is due out stands above what is to be loaded, however long that has
// waited; just before it is due, least slack is first, and longer before what is due.
func TestCardsInOrder(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name string
		now  int
		want []string
	}{
		{"both due", -2, []string{"Take out A1 Bun", "Load B1 Loaf", "Mix C Rye"}},
		{"the load is past too far", 22, []string{"Take out A1 Bun", "Load B1 Loaf", "Mix C Rye"}},
		{"in seven minutes, below what is due", -9, []string{"Load B1 Loaf", "Mix C Rye", "Take out A1 Bun"}},
		{"before it is due, least slack first", -3, []string{"Take out A1 Bun", "Load B1 Loaf", "Mix C Rye"}},
	} {
		m := oven()
		m.Now = six(tt.now)
		now, _ := view.Cards(&m)
		var got []string
		for _, c := range now {
			got = append(got, c.Title+" "+c.Of)
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("%s: %s", tt.name, diff)
		}
	}
}

// "On it" said of a load is not the load: the card to load stays.
func TestOnItIsNotLoaded(t *testing.T) {
	t.Parallel()
	m := oven()
	m.Now, m.OnIt["B1.5"] = six(-4), true
	now, _ := view.Cards(&m)
	i := slices.IndexFunc(now, func(c view.Card) bool { return c.Task == "B1.5" })
	if i < 0 || now[i].Title != "Load" || now[i].Kind != record.Started || !now[i].Begun {
		t.Errorf("%+v", now)
	}
}

// What a card says of its time: what is late, what somebody is on, what is past
// too far, what has moved.
func TestCardTimes(t *testing.T) {
	t.Parallel()
	due := func(m view.Picture, task string) string {
		now, later := view.Cards(&m)
		for _, c := range slices.Concat(now, later) {
			if c.Task == task {
				return strings.ReplaceAll(c.DueText, "\u00a0", " ")
			}
		}
		return ""
	}
	for _, tt := range []struct {
		name string
		at   func(m *view.Picture)
		task string
		want string
	}{
		{"to come", func(m *view.Picture) { m.Now = six(-9) }, "B1.5", "due 05:55 · in 4 min · fine until 06:20"},
		{"late", func(m *view.Picture) { m.Now = six(2) }, "B1.5", "due 05:55 · 7 min late · fine until 06:20"},
		{"on it", func(m *view.Picture) { m.Now, m.OnIt["B1.5"] = six(2), true }, "B1.5", "due 05:55 · 7 min ago · fine until 06:20"},
		{"too far", func(m *view.Picture) { m.Now = six(22) }, "B1.5", "due 05:55 · 27 min late · was fine until 06:20 · too far"},
		{"out late", func(m *view.Picture) { m.Now = six(5) }, "A1.5", "due 05:58 · 7 min late"},
		{"moved", func(m *view.Picture) {
			m.Now, m.Planned = six(-3), m.Plan
			log := []schedule.Slip{{Kind: schedule.Started, Task: "A1.5", At: six(-10)}}
			m.Plan = schedule.Follow(m.Day, m.Plan, log)
		}, "A1.5", "due 06:03 (was 05:58) · in 6 min"},
	} {
		m := oven()
		tt.at(&m)
		if got := due(m, tt.task); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}

// What can be taken back is said in words, of every kind of tap.
func TestTapsInWords(t *testing.T) {
	t.Parallel()
	m := oven()
	for kind, want := range map[record.TapKind]string{
		record.Started: "Loaded: A1 Bun", record.Finished: "Out of the oven: A1 Bun", record.Ack: "On it: Bake, A1 Bun", record.NotYet: "Not yet: Bake, A1 Bun",
		record.Snooze: "Put off: Bake, A1 Bun", record.GoOn: "Going on with it: Bake, A1 Bun", record.Reshape: "Shape again: Bake, A1 Bun",
		record.Discard: "Thrown away: Bake, A1 Bun", record.WasFine: "It was fine: Bake, A1 Bun", record.TapKind(schedule.WasWarm): "Measured: Bake, A1 Bun",
	} {
		if got := m.Tapped(record.Tap{Kind: kind, Task: "A1.5"}); got != want {
			t.Errorf("%s: %q, want %q", kind, got, want)
		}
	}
	if got := m.Tapped(record.Tap{Kind: record.TapKind(schedule.Away)}); got != "Somebody away" {
		t.Errorf("%q", got)
	}
}

// What the dough of a task went into being done, the task is done, too; and what
// does not spoil never comes before what does, however long it is late.
func TestCardsLeaveOutWhatIsOvertaken(t *testing.T) {
	t.Parallel()
	titles := func(m view.Picture) (out []string) {
		now, _ := view.Cards(&m)
		for _, c := range now {
			out = append(out, c.Title+" "+c.Of)
		}
		return out
	}
	m := oven()
	m.Now = six(0)
	m.Plan.Tasks = append(m.Plan.Tasks, schedule.Task{ID: "A.1", Batch: "A", Kind: schedule.Mix, Name: "Dough", Start: six(-120), End: six(-110), Hands: []schedule.Hands{{Baker: "Orla", From: six(-120), To: six(-110)}}},
		schedule.Task{ID: "D.1", Batch: "D", Kind: schedule.Mix, Name: "Sponge", Start: six(-900), End: six(-890), Hands: []schedule.Hands{{Baker: "Orla", From: six(-900), To: six(-890)}}})
	if diff := cmp.Diff([]string{"Take out A1 Bun", "Load B1 Loaf", "Mix D Sponge", "Mix C Rye"}, titles(m)); diff != "" {
		t.Errorf("A1 is loaded: %s", diff)
	}
	m.Begun["A1.5"] = false
	if !slices.Contains(titles(m), "Mix A Dough") {
		t.Errorf("nothing of A is begun, and its mix is not asked for: %v", titles(m))
	}
}
