package schedule_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// six is the moment the calls of these tests are due.
var six = time.Date(2026, 11, 28, 6, 0, 0, 0, time.UTC)

func pastSix(d time.Duration) time.Time { return six.Add(d) }

// callAtSix is due at six, too far some time later (0 = never) and takes some
// minutes.
func callAtSix(class schedule.AlertClass, slack time.Duration, takes unit.Minutes) schedule.Alert {
	a := schedule.Alert{Task: "A.1", Kind: schedule.CallStart, Class: class, Due: six, Takes: takes}
	if slack > 0 {
		a.TooFar = six.Add(slack)
	}
	return a
}

// unanswered lists when a call rings that nobody answers, after six.
func unanswered(a schedule.Alert) (at []time.Duration) {
	var h schedule.Heard
	for {
		next, ok := a.Next(h)
		if !ok || len(at) > 2000 {
			return at
		}
		at = append(at, next.Sub(six))
		h.Last = next
	}
}

func durations(at []time.Duration) string {
	s := make([]string, len(at))
	for i, d := range at {
		s[i] = d.String()
	}
	return strings.Join(s, " ")
}

// The ladder, for D due, F too far, S = F - D: repeats at 20 s, 60 s, then every
// 2 min; faster from D + min(5 min, S/4); choices at D + S/2; now or lost at F -
// (what it takes + 2 min), every 15 s and after 3 min every minute; at F the
// sound ends within 3 min. No outside source: the ideas of a re-alarm time and of
// timed shelving are those of OPC 10000-9; the figures are this program's own.
func TestUnansweredCallRings(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name string
		call schedule.Alert
		want string
	}{
		{"sixteen minutes of room, four of work", callAtSix(schedule.Due, 16*time.Minute, 4),
			"0s 20s 1m0s 3m0s 4m0s 5m0s 6m0s 7m0s 8m0s 9m0s 10m0s " + // presses at 4, choices at 8
				"10m15s 10m30s 10m45s 11m0s 11m15s 11m30s 11m45s 12m0s 12m15s 12m30s 12m45s 13m0s 14m0s 15m0s " + // last call from 10
				"16m0s 17m0s 18m0s"}, // too far at 16
		{"bread in the oven", callAtSix(schedule.NowOrLost, 5*time.Minute, 5),
			"0s 15s 30s 45s 1m0s 1m15s 1m30s 1m45s 2m0s 2m15s 2m30s 2m45s 3m0s 4m0s 5m0s 6m0s 7m0s"},
		{"nothing spoils", callAtSix(schedule.Due, 0, 5),
			"0s 20s 1m0s 3m0s 5m0s 6m0s 7m0s 8m0s 9m0s 10m0s 11m0s 12m0s 13m0s 14m0s 15m0s 16m0s 17m0s 18m0s 19m0s 20m0s 21m0s 22m0s 23m0s 24m0s 25m0s 26m0s 27m0s 28m0s 29m0s"},
		{"heads-up", callAtSix(schedule.HeadsUp, 0, 0), "0s"},
		{"due at too far", callAtSix(schedule.Due, time.Nanosecond, 5), "0s 1ns 1m0.000000001s 2m0.000000001s"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if diff := cmp.Diff(tt.want, durations(unanswered(tt.call))); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

func TestStepAndClass(t *testing.T) {
	t.Parallel()
	long, short := callAtSix(schedule.Due, 40*time.Minute, 8), callAtSix(schedule.Due, 8*time.Minute, 2)
	tests := []struct {
		call schedule.Alert
		at   time.Duration
		step schedule.Step
		want schedule.AlertClass
	}{
		{long, -time.Second, schedule.Ahead, schedule.Due},
		{long, 0, schedule.Calling, schedule.Due},
		{long, 5*time.Minute - 1, schedule.Calling, schedule.Due},
		{long, 5 * time.Minute, schedule.Pressing, schedule.Due},
		{long, 20 * time.Minute, schedule.Choosing, schedule.Due},
		{long, 30 * time.Minute, schedule.LastCall, schedule.NowOrLost}, // 40 - 8 - 2
		{long, 40 * time.Minute, schedule.Lost, schedule.NowOrLost},
		{short, 2 * time.Minute, schedule.Pressing, schedule.Due}, // S/4
		{short, 4 * time.Minute, schedule.LastCall, schedule.NowOrLost},
		{callAtSix(schedule.Due, 0, 8), 24 * time.Hour, schedule.Pressing, schedule.Due},
		{callAtSix(schedule.HeadsUp, 0, 0), 24 * time.Hour, schedule.Calling, schedule.HeadsUp},
	}
	for _, tt := range tests {
		if step, class := tt.call.Step(pastSix(tt.at)), tt.call.ClassAt(pastSix(tt.at)); step != tt.step || class != tt.want {
			t.Errorf("S %v at %v: step %d class %s, want %d %s", tt.call.TooFar.Sub(six), tt.at, step, class, tt.step, tt.want)
		}
	}
}

// On it is silent for min(5 min, S/4), then heard once, and a last time at too
// far; a shelf is silent until it ends, then the ladder goes on.
func TestAnsweredCallRings(t *testing.T) {
	t.Parallel()
	at := func(m time.Duration) time.Time { return pastSix(m * time.Minute) }
	tests := []struct {
		name  string
		slack time.Duration
		heard schedule.Heard
		want  string // after six, "" = never
	}{
		{"on it", 40 * time.Minute, schedule.Heard{Last: at(1), Acked: at(2)}, "7m0s"},
		{"on it, little slack", 8 * time.Minute, schedule.Heard{Last: at(1), Acked: at(2)}, "4m0s"},
		{"on it, reminded", 40 * time.Minute, schedule.Heard{Last: at(7), Acked: at(2)}, "40m0s"},
		{"on it, reminded, too far told", 40 * time.Minute, schedule.Heard{Last: at(40), Acked: at(2)}, ""},
		{"on it just before too far", 40 * time.Minute, schedule.Heard{Last: at(37), Acked: at(38)}, "43m0s"},
		{"on it just before too far, reminded", 40 * time.Minute, schedule.Heard{Last: at(43), Acked: at(38)}, ""},
		{"on it, nothing spoils", 0, schedule.Heard{Last: at(1), Acked: at(2)}, "7m0s"},
		{"on it, nothing spoils, reminded", 0, schedule.Heard{Last: at(7), Acked: at(2)}, ""},
		{"shelved", 40 * time.Minute, schedule.Heard{Last: at(1), Shelved: at(11)}, "11m0s"},
		{"shelf over", 40 * time.Minute, schedule.Heard{Last: at(11), Shelved: at(11)}, "12m0s"},
		{"slept from 1 to 25", 40 * time.Minute, schedule.Heard{Last: at(25)}, "26m0s"},
		{"slept past it all", 40 * time.Minute, schedule.Heard{Last: at(300)}, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			got := ""
			if next, ok := callAtSix(schedule.Due, tt.slack, 8).Next(tt.heard); ok {
				got = next.Sub(six).String()
			}
			if got != tt.want {
				t.Errorf("rings %q, want %q", got, tt.want)
			}
		})
	}
}

// Whatever the call: its urgency never falls as time runs out, a ring is never
// given twice, no ring comes before it is due, and the sound ends.
func TestCallProperties(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(7, 11))
	classes := []schedule.AlertClass{schedule.NowOrLost, schedule.Due, schedule.HeadsUp}
	for range 400 {
		a := callAtSix(classes[r.IntN(3)], time.Duration(r.IntN(10*3600))*time.Second, unit.Minutes(r.IntN(60)))
		step, class := schedule.Ahead, schedule.HeadsUp
		for at := -time.Hour; at < 12*time.Hour; at += time.Duration(1+r.IntN(90)) * time.Second {
			s, c := a.Step(pastSix(at)), a.ClassAt(pastSix(at))
			if s < step || c > class { // "A" is before "B"
				t.Fatalf("%+v at %v: step %d after %d, class %s after %s", a, at, s, step, c, class)
			}
			step, class = s, c
		}
		end := 30 * time.Minute
		if !a.TooFar.IsZero() {
			end = a.TooFar.Sub(six) + 3*time.Minute
		}
		last := time.Duration(-1)
		for i, at := range unanswered(a) {
			if at <= last || at < 0 || at > end || i > 1999 {
				t.Fatalf("%+v: ring %d at %v after %v, end %v", a, i, at, last, end)
			}
			last = at
		}
	}
}

// However it is answered, in whatever order, and whatever clocks do, rings only
// go forward and come to an end.
func TestRingsOnlyGoForward(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(3, 5))
	for range 300 {
		a := callAtSix(schedule.Due, time.Duration(1+r.IntN(7200))*time.Second, unit.Minutes(r.IntN(20)))
		var h schedule.Heard
		answers := r.IntN(6)
		for n := 0; ; n++ {
			at, ok := a.Next(h)
			if !ok {
				break
			}
			if !h.Last.IsZero() && !at.After(h.Last) || n > 1000 {
				t.Fatalf("%+v, ring %d: %v after %+v", a, n, at, h)
			}
			h.Last = at.Add(time.Duration(r.IntN(600)) * time.Second) // heard late, as after sleep
			if answers--; answers >= 0 {
				h.Acked, h.Shelved = time.Time{}, time.Time{}
				switch r.IntN(3) {
				case 0:
					h.Acked = h.Last.Add(time.Duration(r.IntN(60)) * time.Second)
				case 1:
					h.Shelved = h.Last.Add(time.Duration(r.IntN(600)) * time.Second)
				}
			}
		}
	}
}

func TestSnoozes(t *testing.T) {
	t.Parallel()
	roomy := callAtSix(schedule.Due, 40*time.Minute, 8) // must begin at 06:32
	tests := []struct {
		call    schedule.Alert
		at      time.Duration
		snoozes int
		want    []unit.Minutes
	}{
		{roomy, 0, 0, []unit.Minutes{5, 10, 20}},
		{roomy, 12 * time.Minute, 1, []unit.Minutes{5, 10, 20}},
		{roomy, 12*time.Minute + 1, 1, []unit.Minutes{5, 10}},
		{roomy, 12 * time.Minute, 2, nil},
		{roomy, 28 * time.Minute, 0, nil},
		{callAtSix(schedule.NowOrLost, 5*time.Minute, 5), 0, 0, nil},
		{callAtSix(schedule.Due, 0, 8), 0, 0, []unit.Minutes{5, 10, 20, 40}},
		{callAtSix(schedule.HeadsUp, 0, 0), 0, 0, nil},
	}
	for _, tt := range tests {
		got := tt.call.Snoozes(schedule.Heard{Snoozes: tt.snoozes}, pastSix(tt.at))
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("S %v at %v (-want +got):\n%s", tt.call.TooFar.Sub(six), tt.at, diff)
		}
	}
}

// A loaf shaped late goes into the oven late by what its proof cannot give up;
// the next load waits for the oven, and for the hands.
func TestPrice(t *testing.T) {
	t.Parallel()
	at := func(m int) time.Time { return pastSix(time.Duration(m) * time.Minute) }
	promise := func(m int) *time.Time { p := at(m); return &p }
	ana := func(from, to int) schedule.Hands { return schedule.Hands{Baker: "Ana", From: at(from), To: at(to)} }
	p := &schedule.Plan{Tasks: []schedule.Task{
		{ID: "A1.1", Batch: "A", Portion: "A1", Kind: schedule.Shape, Start: at(0), End: at(10), Hands: []schedule.Hands{ana(0, 10)}},
		{ID: "A1.2", Batch: "A", Portion: "A1", Kind: schedule.Proof, Start: at(10), End: at(60), Window: &schedule.Window{Ready: at(54), TooFar: at(80)}},
		{ID: "B1.1", Batch: "B", Portion: "B1", Kind: schedule.Shape, Start: at(14), End: at(20), Hands: []schedule.Hands{ana(14, 20)}},
		{ID: "B1.2", Batch: "B", Portion: "B1", Kind: schedule.Proof, Start: at(20), End: at(100), Window: &schedule.Window{Ready: at(85), TooFar: at(120)}},
		{ID: "A1.3", Batch: "A", Portion: "A1", Kind: schedule.Bake, Oven: "deck", Start: at(60), End: at(95), Hands: []schedule.Hands{ana(60, 62), ana(95, 96)}, Promise: promise(97)},
		{ID: "B1.3", Batch: "B", Portion: "B1", Kind: schedule.Bake, Oven: "deck", Start: at(100), End: at(130), Hands: []schedule.Hands{ana(100, 102), ana(130, 131)}, Promise: promise(125)},
	}}
	tests := []struct {
		task  string
		start int
		want  unit.Minutes
	}{
		{"A1.1", 0, 0},
		{"A1.1", -5, 0},
		{"A1.1", 6, 0},   // the proof gives up six minutes
		{"A1.1", 8, 0},   // two minutes late out, the promise has two to spare
		{"A1.1", 12, 4},  // six late out
		{"A1.1", 20, 12}, // fourteen late out; the second load, five late as planned, waits nine for the oven
		{"B1.1", 29, 0},  // fifteen minutes in its proof
		{"B1.1", 34, 5},
		{"B1.3", 110, 10}, // late already; ten more
	}
	for _, tt := range tests {
		if got := schedule.Price(p, tt.task, at(tt.start)); got != tt.want {
			t.Errorf("%s at %d: %v later, want %v", tt.task, tt.start, float64(got), float64(tt.want))
		}
	}
}

func TestMergeAlerts(t *testing.T) {
	t.Parallel()
	call := func(task, baker, place string, due, tooFar time.Duration) schedule.Alert {
		a := schedule.Alert{Task: task, Baker: baker, Place: place, Due: pastSix(due)}
		if tooFar > 0 {
			a.TooFar = pastSix(tooFar)
		}
		return a
	}
	calls := []schedule.Alert{
		call("late", "Ana", "", 4*time.Minute+1, 0),
		call("roomy", "Ana", "", 0, time.Hour),
		call("other hands", "Bo", "", time.Minute, 0),
		call("no limit", "Ana", "", time.Minute, 0),
		call("oven", "Ana", "deck", time.Minute, 0),
		call("tight", "Ana", "", 2*time.Minute, 20*time.Minute),
		call("chain", "Ana", "", 3*time.Minute, 0), // within two of the last, not of the first
	}
	var got []string
	for _, card := range schedule.MergeAlerts(calls, func(a schedule.Alert) schedule.Alert { return a }) {
		var names []string
		for _, a := range card {
			names = append(names, a.Task)
		}
		got = append(got, strings.Join(names, ", "))
	}
	want := []string{"tight, roomy, no limit", "other hands", "oven", "chain, late"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// Forecasts tremble: under three minutes nothing near moves.
func TestStays(t *testing.T) {
	t.Parallel()
	tests := []struct {
		ahead, shift time.Duration
		want         bool
	}{
		{9 * time.Minute, 2 * time.Minute, true},
		{9 * time.Minute, -2 * time.Minute, true},
		{9 * time.Minute, 3 * time.Minute, false},
		{10 * time.Minute, time.Minute, false},
		{time.Hour, 0, true},
		{0, 179 * time.Second, true},
	}
	for _, tt := range tests {
		a, b := callAtSix(schedule.Due, 0, 0), callAtSix(schedule.Due, 0, 0)
		b.Due = b.Due.Add(tt.shift)
		if got := a.Stays(b, pastSix(-tt.ahead)); got != tt.want {
			t.Errorf("%v ahead, shifted %v: %v, want %v", tt.ahead, tt.shift, got, tt.want)
		}
	}
}

// Bread goes by the clock: a bake's two calls move together, however near and
// little, so that it is out when it has had its time; lighting the oven may wait.
func TestCallsOfBreadFollow(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	bake := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Bake })
	of := func(p *schedule.Plan, kind schedule.AlertKind) schedule.Alert {
		all := schedule.Alerts(p)
		i := slices.IndexFunc(all, func(a schedule.Alert) bool { return a.Task == bake.ID && a.Kind == kind })
		if i < 0 {
			t.Fatalf("no call to %s %s", kind, bake.ID)
		}
		return all[i]
	}
	load, unload := of(&p, schedule.CallStart), of(&p, schedule.CallUnload)
	later := load
	later.Due = load.Due.Add(time.Minute)
	if load.Stays(later, load.Due.Add(-3*time.Minute)) {
		t.Error("the call to load stays when the plan loads a minute later: the call to unload would be a minute late")
	}
	light := schedule.Alert{Task: "Oven.1", Kind: schedule.CallPreheat, Place: bake.Oven, Due: load.Due}
	warmer := light
	warmer.Due = light.Due.Add(time.Minute)
	if !light.Stays(warmer, light.Due.Add(-3*time.Minute)) {
		t.Error("lighting the oven moves about by a minute")
	}
	// Loaded a minute before its time, and a plan after that while it bakes.
	const sooner = time.Minute
	now := unload.Due.Add(-6 * time.Minute)
	for _, c := range replan(t, d, &p, now, schedule.Slip{ID: "1", Kind: schedule.Started, At: bake.Start.Add(-sooner), Task: bake.ID}) {
		next := of(&c.Plan, schedule.CallUnload)
		if want := unload.Due.Add(-sooner); !next.Due.Equal(want) || unload.Stays(next, now) {
			t.Errorf("%s calls to unload at %s, want %s; the old call at %s stays: %t", c.Kind, next.Due.Format("15:04"), want.Format("15:04"), unload.Due.Format("15:04"), unload.Stays(next, now))
		}
	}
}

// More than two calls in ten minutes or six in an hour are too many.
func TestAlertLoad(t *testing.T) {
	t.Parallel()
	every := func(n int, minutes int) (all []schedule.Alert) {
		for i := range n {
			all = append(all, schedule.Alert{Task: fmt.Sprint(i), Due: pastSix(time.Duration(i*minutes) * time.Minute)})
		}
		return all
	}
	note := func(at time.Duration, n float64, by unit.Minutes) schedule.Note {
		when := pastSix(at)
		return schedule.Note{Code: "alert-load", At: &when, Num: n, By: by}
	}
	tests := []struct {
		name  string
		calls []schedule.Alert
		want  []schedule.Note
	}{
		{"none", nil, nil},
		{"six in an hour", every(6, 10), nil},
		{"steady, every ten minutes", every(20, 10), nil},
		{"seven within an hour", every(7, 9), []schedule.Note{note(0, 7, 60)}},
		{"three in ten minutes", every(3, 4), []schedule.Note{note(0, 3, 10)}},
		{"many at once are one", every(9, 0), nil},
		{"quiet, then a flood", append(every(2, 10), every(30, 4)[10:]...), []schedule.Note{note(40*time.Minute, 3, 10), note(40*time.Minute, 15, 60)}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if diff := cmp.Diff(tt.want, schedule.AlertLoad(tt.calls)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

func BenchmarkNextRing(b *testing.B) {
	a := callAtSix(schedule.Due, 8*time.Hour, 10)
	h := schedule.Heard{Last: pastSix(7 * time.Hour)}
	b.ReportAllocs()
	for b.Loop() {
		a.Next(h)
	}
}
