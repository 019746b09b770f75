package store_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

// oven is a day with one bake, in at 07:10 and out at 07:24, its calls as the
// plan makes them.
func oven(t *testing.T) (*store.Store, int64) {
	s, p := storetest.Open(t), samplePlan(t)
	p.Tasks[1].Hands = []schedule.Hands{{Baker: "Orla", From: clock(t, "07:10"), To: clock(t, "07:12")}, {Baker: "Orla", From: clock(t, "07:22"), To: clock(t, "07:24")}}
	p.Tasks[1].Oven = "deck"
	day := must(s.ImportDay(t.Context(), sampleDay()))(t)
	must(s.SavePlan(t.Context(), day, sampleDay(), p, schedule.Alerts(&p), clock(t, "05:00")))(t)
	return s, day
}

// The call to unload goes with what is said of the bake, each step such as
// "07:17 start", "07:17 look" (ring what is due) or "07:18 undo 1"; it follows from
// the 14 min the bread bakes, of which the hands take the last 2.
func TestUnloadFollowsTheLoad(t *testing.T) {
	tests := []struct {
		name  string
		steps []string
		want  []string // after each step: state, due, what it was, how often it rang
	}{
		{"loaded as planned", []string{"07:10 start"}, []string{"scheduled 07:22"}},
		{"loaded late", []string{"07:17 start", "07:22 look", "07:29 look"},
			[]string{"scheduled 07:29 was 07:22", "scheduled 07:29 was 07:22", "due 07:29 was 07:22, rang 1"}},
		{"loaded early", []string{"07:05 start", "07:17 look"}, []string{"scheduled 07:17 was 07:22", "due 07:17 was 07:22, rang 1"}},
		{"loaded late, taken back", []string{"07:17 start", "07:18 undo 1", "07:22 look"},
			[]string{"scheduled 07:29 was 07:22", "scheduled 07:22", "due 07:22, rang 1"}},
		{"said only once the call rings", []string{"07:22 look", "07:23 start", "07:24 look", "07:35 look"},
			[]string{"due 07:22, rang 1", "scheduled 07:35 was 07:22", "scheduled 07:35 was 07:22", "due 07:35 was 07:22, rang 1"}},
		{"pale: a few minutes more", []string{"07:10 start", "07:22 look", "07:23 not-yet 3", "07:24 look"},
			[]string{"scheduled 07:22", "due 07:22, rang 1", "scheduled 07:24 was 07:22", "due 07:24 was 07:22, rang 1"}},
		{"out before it was called", []string{"07:10 start", "07:20 done", "07:22 look"}, []string{"scheduled 07:22", "done 07:22", "done 07:22"}},
		{"another word moves nothing", []string{"07:10 start", "07:12 ack"}, []string{"scheduled 07:22", "scheduled 07:22"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, day := oven(t)
			var got []string
			for i, step := range tt.steps {
				f := strings.Fields(step)
				at := clock(t, f[0])
				tap := record.Tap{ID: fmt.Sprint(i + 1), Day: day, Version: 1, Task: "A.2", Kind: record.TapKind(f[1]), At: at, Recorded: at}
				if f[1] == "undo" {
					tap.Of = f[2]
				} else if len(f) > 2 {
					fmt.Sscan(f[2], &tap.Minutes)
				}
				if f[1] == "look" {
					must(s.ClaimDue(t.Context(), at))(t)
				} else {
					must(s.Tap(t.Context(), tap))(t)
				}
				got = append(got, unloading(t, s, day))
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

func unloading(t *testing.T, s *store.Store, day int64) string {
	t.Helper()
	for _, a := range must(s.Alerts(t.Context(), day))(t) {
		if a.Kind != schedule.CallUnload {
			continue
		}
		line := string(a.State) + a.Due.Format(" 15:04")
		if !a.Was.IsZero() {
			line += a.Was.Format(" was 15:04")
		}
		if a.Rings > 0 {
			line += fmt.Sprintf(", rang %d", a.Rings)
		}
		return line
	}
	t.Fatal("no call to unload")
	return ""
}

// The log tells that the call moved, and when.
func TestMoveIsLogged(t *testing.T) {
	s, day := oven(t)
	at := clock(t, "07:17")
	must(s.Tap(t.Context(), record.Tap{ID: "in", Day: day, Version: 1, Task: "A.2", Kind: record.Started, At: at, Recorded: at}))(t)
	id := int64(0)
	for _, a := range must(s.Alerts(t.Context(), day))(t) {
		if a.Kind == schedule.CallUnload {
			id = a.ID
		}
	}
	var got []record.Transition
	for _, l := range must(s.AlertLog(t.Context(), day))(t) {
		if l.Alert == id {
			got = append(got, l)
		}
	}
	want := []record.Transition{
		{Alert: id, At: clock(t, "05:00").UTC(), To: record.Scheduled},
		{Alert: id, At: at.UTC(), From: record.Scheduled, To: record.Scheduled, Reason: record.Moved},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// What is accepted after the load keeps the call where the load put it.
func TestNextPlanKeepsTheUnload(t *testing.T) {
	s, day := oven(t)
	at := clock(t, "07:17")
	must(s.Tap(t.Context(), record.Tap{ID: "in", Day: day, Version: 1, Task: "A.2", Kind: record.Started, At: at, Recorded: at}))(t)
	d := sampleDay()
	p := must(s.Plan(t.Context(), day))(t)
	run := must(s.Running(t.Context(), day))(t)
	next := schedule.Follow(&d, &p.Plan, run.Log)
	must(s.Accept(t.Context(), day, "yes", 1, d, *next, schedule.Alerts(next), clock(t, "07:18")))(t)
	if got := unloading(t, s, day); got != "scheduled 07:29 was 07:22" {
		t.Error(got)
	}
	at = clock(t, "07:19") // said anew on the new plan, which has it already
	must(s.Tap(t.Context(), record.Tap{ID: "shaped", Day: day, Version: 2, Task: "A.1", Kind: record.Finished, At: at, Recorded: at}))(t)
	if got := unloading(t, s, day); got != "scheduled 07:29 was 07:22" {
		t.Error(got)
	}
}

// When the bread goes in, its dough was shaped, though nobody said so: the call to
// shape is settled, and comes back when the load is taken back. A call of another
// dough stays.
func TestWhatIsOvertakenIsSettled(t *testing.T) {
	s, p := storetest.Open(t), samplePlan(t)
	for i := range p.Tasks {
		p.Tasks[i].Batch = "A"
	}
	p.Tasks[1].Hands = []schedule.Hands{{Baker: "Orla", From: clock(t, "07:10"), To: clock(t, "07:12")}, {Baker: "Orla", From: clock(t, "07:22"), To: clock(t, "07:24")}}
	other := p.Tasks[0]
	other.ID, other.Batch, other.Name = "B.1", "B", "Loaf"
	p.Tasks = append(p.Tasks, other)
	day := must(s.ImportDay(t.Context(), sampleDay()))(t)
	must(s.SavePlan(t.Context(), day, sampleDay(), p, schedule.Alerts(&p), clock(t, "05:00")))(t)
	must(s.ClaimDue(t.Context(), clock(t, "06:05")))(t)
	shaping := func() (out []string) {
		for _, a := range must(s.Alerts(t.Context(), day))(t) {
			if a.Stage == schedule.Shape && a.Kind == schedule.CallStart {
				out = append(out, a.Task+" "+string(a.State))
			}
		}
		return out
	}
	say := func(tap record.Tap, at string) {
		t.Helper()
		tap.Day, tap.Version, tap.At, tap.Recorded = day, 1, clock(t, at), clock(t, at)
		must(s.Tap(t.Context(), tap))(t)
	}
	say(record.Tap{ID: "in", Task: "A.2", Kind: record.Started}, "07:10")
	if diff := cmp.Diff([]string{"A.1 done", "B.1 due"}, shaping()); diff != "" {
		t.Errorf("loaded: %s", diff)
	}
	say(record.Tap{ID: "back", Kind: record.Undo, Of: "in"}, "07:11")
	if diff := cmp.Diff([]string{"A.1 due", "B.1 due"}, shaping()); diff != "" {
		t.Errorf("taken back: %s", diff)
	}
}
