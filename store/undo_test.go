package store_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

// Two words about one call, taken back one after the other, either first.
func TestUndoEitherFirst(t *testing.T) {
	tests := []struct {
		name  string
		steps []string
		want  []string
	}{
		{"done, then on it", []string{"07:10 look", "07:11 ack", "07:12 done", "07:13 undo 2", "07:14 undo 1"},
			[]string{"due 1 next 07:10:20", "acked 1 next 07:16:00", "done 1", "acked 1 next 07:16:00", "due 1 next 07:10:20"}},
		{"on it, then done", []string{"07:10 look", "07:11 ack", "07:12 done", "07:13 undo 1", "07:14 undo 2"},
			[]string{"due 1 next 07:10:20", "acked 1 next 07:16:00", "done 1", "done 1", "due 1 next 07:10:20"}},
		{"begun, under done", []string{"07:10 look", "07:11 start", "07:12 done", "07:13 undo 1", "07:14 undo 2"},
			[]string{"due 1 next 07:10:20", "done 1", "done 1", "done 1", "due 1 next 07:10:20"}},
		{"not yet, twice, the later first", []string{"07:10 look", "07:11 not-yet 10", "07:12 not-yet 20", "07:13 undo 2", "07:14 undo 1"},
			[]string{"due 1 next 07:10:20", "shelved 1 next 07:21:00", "shelved 1 next 07:32:00", "shelved 1 next 07:21:00", "due 1 next 07:10:20"}},
		{"not yet, twice, the earlier first", []string{"07:10 look", "07:11 not-yet 10", "07:12 not-yet 20", "07:13 undo 1", "07:14 undo 2"},
			[]string{"due 1 next 07:10:20", "shelved 1 next 07:21:00", "shelved 1 next 07:32:00", "shelved 1 next 07:32:00", "due 1 next 07:10:20"}},
		{"put off, then on it, then not", []string{"07:10 look", "07:10 snooze 10", "07:12 ack", "07:13 undo 2", "07:14 undo 1"},
			[]string{"due 1 next 07:10:20", "shelved 1 next 07:20:00", "acked 1 next 07:17:00", "shelved 1 next 07:20:00", "due 1 next 07:10:20"}},
		{"going on with it, then done, then not", []string{"07:10 look", "07:55 look", "07:56 anyway", "07:57 done", "07:58 undo 2", "07:59 undo 1"},
			[]string{"due 1 next 07:10:20", "past 2", "acked 2 anyway next 08:01:00", "done 2 anyway", "acked 2 anyway next 08:01:00", "past 2"}},
		{"a shelf that has ended meanwhile", []string{"07:10 look", "07:10 snooze 5", "07:15 look", "07:16 undo 1"},
			[]string{"due 1 next 07:10:20", "shelved 1 next 07:15:00", "due 2 next 07:16:00", "due 2 next 07:16:00"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if diff := cmp.Diff(tt.want, newBench(t).do(tt.steps...)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// Whatever is said of works of a dough and whatever of it is taken back, in whatever
// order: the calls are as if only the rest had been said. Of several works only
// what settles them, for what a call does not hear since it was moved away, it does
// not hear when it comes back.
func TestUndoIsAsIfNeverSaid(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 3))
	for n := range 24 {
		tasks, kinds := []string{"A.1", "A.2", "A.3"}, []record.TapKind{record.Started, record.Finished, record.Skipped}
		if n%2 == 0 {
			tasks, kinds = tasks[2:], append(kinds, record.Ack, record.NotYet, record.Ready, record.Over)
		}
		var said []record.Tap
		for i := range 2 + r.IntN(5) {
			at := clock(t, "07:12").Add(time.Duration(i) * time.Second)
			said = append(said, record.Tap{ID: fmt.Sprint(i), Version: 1, Task: tasks[r.IntN(len(tasks))], Kind: kinds[r.IntN(len(kinds))], At: at, Recorded: at, Minutes: 5 + r.IntN(20)})
		}
		back := r.Perm(len(said))[:1+r.IntN(len(said))]
		play := func(taps []record.Tap, back ...int) []string {
			s, day := kneaded(t)
			must(s.ClaimDue(t.Context(), clock(t, "07:11")))(t)
			for _, x := range taps {
				x.Day = day
				must(s.Tap(t.Context(), x))(t)
			}
			for _, i := range back {
				at := clock(t, "07:14")
				must(s.Tap(t.Context(), record.Tap{ID: fmt.Sprint("undo", i), Day: day, Version: 1, Kind: record.Undo, Of: fmt.Sprint(i), At: at, Recorded: at}))(t)
			}
			must(s.ClaimDue(t.Context(), clock(t, "07:15")))(t)
			calls := states(t, s, day)
			slices.Sort(calls) // one that is done stays where it was due, if it had been moved there
			return calls
		}
		var rest []record.Tap
		for i, x := range said {
			if !slices.Contains(back, i) {
				rest = append(rest, x)
			}
		}
		if diff := cmp.Diff(play(rest), play(said, back...)); diff != "" {
			t.Fatalf("%d: of %+v was taken back %v (-without +taken back):\n%s", n, said, back, diff)
		}
	}
}

// kneaded is a day with three works at one dough, all called by 07:10.
func kneaded(t *testing.T) (*store.Store, int64) {
	t.Helper()
	s, p := storetest.Open(t), samplePlan(t)
	p.Tasks = nil
	for i, at := range []string{"06:50", "07:00", "07:10"} {
		from := clock(t, at)
		p.Tasks = append(p.Tasks, schedule.Task{ID: fmt.Sprint("A.", i+1), Batch: "A", Kind: []schedule.StageKind{schedule.Divide, schedule.Round, schedule.Shape}[i], Name: "Bun",
			Start: from, End: from.Add(5 * time.Minute), Hands: []schedule.Hands{{Baker: "Orla", From: from, To: from.Add(5 * time.Minute)}}})
	}
	day := must(s.ImportDay(t.Context(), sampleDay()))(t)
	must(s.SavePlan(t.Context(), day, sampleDay(), p, schedule.Alerts(&p), clock(t, "05:00")))(t)
	return s, day
}

// A plan that was taken goes with an undo: the plan before is the day's again, with
// its orders and its calls, and the next undo may go further back.
func TestUndoOfAPlan(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	said := func(id string, kind record.TapKind, version int, at string) error {
		tap := record.Tap{ID: id, Day: day, Version: version, Kind: kind, At: clock(t, at), Recorded: clock(t, at)}
		if of, ok := strings.CutPrefix(id, "undo-"); ok {
			tap.Kind, tap.Of = record.Undo, of
		}
		_, err := s.Tap(ctx, tap)
		return err
	}
	first := must(s.Running(ctx, day))(t)
	accept := func(key string, former int, at string) {
		t.Helper()
		p, from := samplePlan(t), first.From
		p.Tasks = p.Tasks[:1]
		from.Orders = from.Orders[:1]
		must(s.Accept(ctx, day, key, former, from, p, sampleAlerts(t)[:1], clock(t, at)))(t)
	}
	if err := said("oven", "place", 1, "06:00"); err != nil {
		t.Fatal(err)
	}
	before := must(s.DayRecord(ctx, day))(t)
	accept("one", 1, "06:01")
	accept("two", 2, "06:02")
	if got := must(s.DayRecord(ctx, day))(t).Orders; len(got) != 1 {
		t.Fatalf("the plan taken has %d orders", len(got))
	}
	if err := said("undo-one", record.Undo, 3, "06:03"); !errors.Is(err, record.ErrInvalid) {
		t.Errorf("the plan beneath another: %v", err)
	}
	for i, id := range []string{"undo-two", "undo-one"} {
		if err := said(id, record.Undo, 3+i, "06:04"); err != nil {
			t.Fatal(err)
		}
		if err := said(id, record.Undo, 3+i, "06:05"); err != nil { // sent twice
			t.Error(err)
		}
	}
	if err := said("undo-", record.Undo, 5, "06:05"); !errors.Is(err, record.ErrInvalid) {
		t.Errorf("nothing taken back: %v", err)
	}
	r := must(s.Running(ctx, day))(t)
	if diff := cmp.Diff(first.Plan.Plan, r.Plan.Plan); diff != "" || r.Version != 5 || r.Since != 1 {
		t.Errorf("plan %d since %d (-first +now):\n%s", r.Version, r.Since, diff)
	}
	after := must(s.DayRecord(ctx, day))(t)
	before.Version, before.Updated = after.Version, after.Updated
	if diff := cmp.Diff(before, after); diff != "" {
		t.Errorf("the day (-before +after):\n%s", diff)
	}
	waiting := []string{}
	for _, a := range must(s.Alerts(ctx, day))(t) {
		if a.State == record.Scheduled {
			waiting = append(waiting, fmt.Sprint(a.Task, " ", a.Kind, a.Due.Format(" 15:04")))
		}
	}
	var want []string
	for _, a := range schedule.AlertsFrom(&first.Plan.Plan, clock(t, "06:04")) {
		want = append(want, fmt.Sprint(a.Task, " ", a.Kind, a.Due.Format(" 15:04")))
	}
	if diff := cmp.Diff(want, waiting); diff != "" {
		t.Errorf("calls (-of the first plan +that wait):\n%s", diff)
	}
	if err := said("by hand", record.Accepted, 5, "06:06"); !errors.Is(err, record.ErrInvalid) {
		t.Errorf("a plan taken by a tap: %v", err)
	}
	accept("three", 5, "06:06")
	savePlan(t, s, day, nil, clock(t, "06:07"))
	if err := said("undo-three", record.Undo, 7, "06:08"); !errors.Is(err, record.ErrInvalid) {
		t.Errorf("a plan from before the day was planned anew: %v", err)
	}
}

// What cannot be taken back is refused in sentences for the baker.
func TestUndoRefuses(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day, other := planned(t, s), planned(t, s)
	now := clock(t, "06:00")
	must(s.Tap(ctx, record.Tap{ID: "a", Day: day, Version: 1, Task: "A.1", Kind: record.Finished, At: now, Recorded: now}))(t)
	undo := func(id string, day int64, of string, after time.Duration) string {
		_, err := s.Tap(ctx, record.Tap{ID: id, Day: day, Version: 1, Kind: record.Undo, Of: of, At: now.Add(after), Recorded: now.Add(after)})
		if e, ok := errors.AsType[*record.Error](err); ok {
			return e.Message
		}
		return fmt.Sprint(err)
	}
	const never = "nothing like that was said on this day, so it cannot be taken back"
	got := []string{
		undo("1", other, "a", time.Minute), undo("2", day, "b", time.Minute), undo("3", day, "a", record.UndoFor+time.Second),
		undo("4", day, "a", record.UndoFor), undo("5", day, "a", record.UndoFor), undo("6", day, "4", record.UndoFor),
	}
	want := []string{never, never, "this can no longer be taken back: it was tapped more than 10 minutes ago", "<nil>",
		"this has been taken back already", "this has been taken back already"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// One touch says several things: they are counted, and taken back, as one.
func TestTouches(t *testing.T) {
	at := clock(t, "06:00")
	tap := func(id string, kind record.TapKind, at time.Time) record.Tap {
		return record.Tap{ID: id, Kind: kind, Recorded: at}
	}
	undone := tap("gone", record.Ack, at)
	undone.Undone = true
	taps := []record.Tap{
		tap("a-1", record.Finished, at), tap("a-1-x", record.Lost, at), tap("a", record.Finished, at), tap("ab", record.Ack, at),
		undone, tap("undo-gone", record.Undo, at), tap("a-2", record.Ack, at.Add(time.Second)),
	}
	var got []string
	for _, x := range record.Touches(taps) {
		line := x.ID
		for _, w := range x.With {
			line += " " + w.ID
		}
		got = append(got, line)
	}
	if diff := cmp.Diff([]string{"a a-1 a-1-x", "ab", "a-2"}, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
