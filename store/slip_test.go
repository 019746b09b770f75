package store_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/learn"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

// What was said comes back as it was, in order of arrival, without what was
// taken back and without what only answered a call.
func TestRunning(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	now := clock(t, "06:00")
	say := func(id, task string, kind record.TapKind, more *schedule.Slip) {
		t.Helper()
		tap := record.Tap{ID: id, Day: day, Version: 1, Task: task, Kind: kind, At: now, Recorded: now, Minutes: 10, Value: 24.5}
		if kind == record.Undo {
			tap.Of = "b"
		}
		for want := range []bool{false, true} { // sent twice, kept once
			if stored := must(s.Say(ctx, tap, more))(t); stored != (want == 0) {
				t.Errorf("%s: stored %v", id, stored)
			}
		}
	}
	wedding := &schedule.Order{Bread: "loaf", Pieces: 3, Out: "2026-11-28T10:00"}
	say("a", "A.1", record.Finished, nil)
	say("b", "A.2", record.NotYet, nil)
	say("c", "A.2", record.Ack, nil)
	say("d", "A.2", "temperature", nil)
	say("e", "", "order-add", &schedule.Slip{Kind: schedule.OrderAdded, At: now, New: wedding})
	say("f", "A.2", record.NotYet, &schedule.Slip{Kind: schedule.NotYet, At: now, Task: "A.1", Minutes: 10})
	say("g", "A.2", record.Undo, nil)
	want := []schedule.Slip{
		{ID: "a", Kind: schedule.Done, At: now, Task: "A.1"},
		{ID: "d", Kind: schedule.WasWarm, At: now, Task: "A.2", Celsius: 24.5},
		{ID: "e", Kind: schedule.OrderAdded, At: now, New: wedding},
		{ID: "f", Kind: schedule.NotYet, At: now, Task: "A.1", Minutes: 10},
	}
	r := must(s.Running(ctx, day))(t)
	if diff := cmp.Diff(want, r.Log); diff != "" {
		t.Errorf("log (-want +got):\n%s", diff)
	}

	amended := r.Base
	amended.Orders = append(amended.Orders[:2:2], *wedding)
	version := must(s.Accept(ctx, day, "k", 1, amended, r.Plan.Plan, nil, now))(t)
	if again := must(s.Accept(ctx, day, "k", 1, amended, r.Plan.Plan, nil, now))(t); version != 2 || again != 2 {
		t.Errorf("accepted as %d, then %d", version, again)
	}
	if _, err := s.Accept(ctx, day, "other", 1, amended, r.Plan.Plan, nil, now); !errors.Is(err, record.ErrReplaced) {
		t.Errorf("a choice on the plan before: %v", err)
	}
	got := must(s.Running(ctx, day))(t)
	if diff := cmp.Diff(want, got.Log); diff != "" {
		t.Errorf("log after accepting (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff(r.Base, got.Base); diff != "" {
		t.Errorf("the base has changed:\n%s", diff)
	}
	if d := must(s.DayRecord(ctx, day))(t); len(d.Orders) != 3 || d.Orders[2] != *wedding {
		t.Errorf("orders are %v", d.Orders)
	}
	if len(got.From.Orders) != 3 || len(got.Keys) != 1 {
		t.Errorf("from %v, keys %v", got.From.Orders, got.Keys)
	}

	savePlan(t, s, day, nil, now) // planned anew: the log begins again
	if r := must(s.Running(ctx, day))(t); len(r.Log) != 0 {
		t.Errorf("a day planned anew remembers %v", r.Log)
	}
}

// What doughs taught stays after their day; what was taken back or forgotten
// does not come again.
func TestObservations(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	now := clock(t, "06:00")
	taught := func(tap, dough string) record.Observation {
		return record.Observation{Day: day, Lesson: schedule.Lesson{
			Slip: tap, Task: "A.1", At: now.UTC(), Dough: dough, Name: dough,
			Observation: learn.Observation{Day: 20785, Bread: dough + "/rise", Predicted: 100, Observed: 130},
		}}
	}
	for _, id := range []string{"a", "b", "c"} {
		must(s.Tap(ctx, record.Tap{ID: id, Day: day, Version: 1, Task: "A.1", Kind: record.Ready, At: now, Recorded: now}))(t)
	}
	all := []record.Observation{taught("a", "sweet"), taught("b", "sweet"), taught("c", "loaf")}
	check := func(what string, want ...record.Observation) {
		t.Helper()
		if diff := cmp.Diff(want, must(s.Observations(ctx))(t)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", what, diff)
		}
	}
	for range 2 {
		if err := s.Observe(ctx, day, all); err != nil {
			t.Fatal(err)
		}
	}
	check("as given", all...)
	d := must(s.Day(ctx, day, now))(t)
	if len(d.Learned) != 2 || d.Learned[0].Speed > 0.95 {
		t.Errorf("the day knows %v", d.Learned)
	}
	must(s.Tap(ctx, record.Tap{ID: "u", Day: day, Version: 1, Task: "A.1", Kind: record.Undo, Of: "b", At: now, Recorded: now}))(t)
	if err := s.Observe(ctx, day, []record.Observation{all[0], all[2]}); err != nil {
		t.Fatal(err)
	}
	check("taken back", all[0], all[2])
	if err := s.Forget(ctx, "sweet"); err != nil {
		t.Fatal(err)
	}
	if err := s.Observe(ctx, day, []record.Observation{all[0], all[2]}); err != nil {
		t.Fatal(err)
	}
	check("forgotten", all[2])
	if err := s.DeleteDay(ctx, day); err != nil {
		t.Fatal(err)
	}
	check("the day is gone", all[2])
	if err := s.Forget(ctx, ""); err != nil {
		t.Fatal(err)
	}
	check("all forgotten")
}

// What one touch says is kept whole or not at all, once, and taken back with its first.
func TestSayAll(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	now := clock(t, "06:00")
	tap := record.Tap{ID: "a", Day: day, Version: 1, Recorded: now}
	all := []schedule.Slip{
		{Kind: schedule.Stays, At: now, Of: "Ana", From: now, To: now.Add(time.Hour)},
		{Kind: schedule.OrderDropped, At: now, Order: 1},
	}
	bad := append(slices.Clone(all), schedule.Slip{Kind: "No Kind", At: now})
	if err := s.SayAll(ctx, tap, bad); !errors.Is(err, record.ErrInvalid) {
		t.Errorf("with what is nothing: %v", err)
	}
	former := tap
	former.Version = 0
	if err := s.SayAll(ctx, former, all); !errors.Is(err, record.ErrReplaced) {
		t.Errorf("on a former plan: %v", err)
	}
	if log := must(s.Running(ctx, day))(t).Log; len(log) != 0 {
		t.Errorf("kept in part: %+v", log)
	}
	for range 2 {
		if err := s.SayAll(ctx, tap, all); err != nil {
			t.Fatal(err)
		}
	}
	want := slices.Clone(all)
	want[0].ID, want[1].ID = "a", "a-1"
	if diff := cmp.Diff(want, must(s.Running(ctx, day))(t).Log); diff != "" {
		t.Errorf("log (-want +got):\n%s", diff)
	}
	undo := record.Tap{ID: "u", Day: day, Version: 1, Kind: record.Undo, Of: "a", At: now, Recorded: now}
	if stored := must(s.Tap(ctx, undo))(t); !stored {
		t.Error("it cannot be taken back")
	}
	if log := must(s.Running(ctx, day))(t).Log; len(log) != 0 {
		t.Errorf("taken back: %+v", log)
	}
}

// Who stays, or is away, is so for whatever is planned of the day later, as long as the
// day lasts; what was taken back, and what is of another day, is not.
func TestPeopleOfTheDay(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	now := clock(t, "06:00")
	say := func(key string, version int, slip schedule.Slip) {
		t.Helper()
		slip.Of, slip.At = "Orla", now
		tap := record.Tap{ID: key, Day: day, Version: version, Kind: record.TapKind(slip.Kind), At: now, Recorded: now}
		if stored := must(s.Say(ctx, tap, &slip))(t); !stored {
			t.Fatalf("%s is not kept", key)
		}
	}
	check := func(what string, id int64, stays, away []schedule.Span) {
		t.Helper()
		want := sampleKitchen().Bakers
		want[0].Stays, want[0].Away = stays, away
		if diff := cmp.Diff(want, must(s.Day(ctx, id, now))(t).Kitchen.Bakers); diff != "" {
			t.Errorf("%s (-want +got):\n%s", what, diff)
		}
	}
	plan := func() int {
		t.Helper()
		return must(s.SavePlan(ctx, day, must(s.Day(ctx, day, now))(t), samplePlan(t), nil, now))(t)
	}
	stays, away := schedule.Span{From: "2026-11-28T13:00", To: "2026-11-28T14:30"}, schedule.Span{From: "2026-11-28T07:00", To: "2026-11-28T07:30"}
	say("a", 1, schedule.Slip{Kind: schedule.Stays, From: clock(t, "13:00"), To: clock(t, "14:30")})
	say("b", 1, schedule.Slip{Kind: schedule.Away, From: clock(t, "07:00"), To: clock(t, "07:30")})
	check("as said", day, []schedule.Span{stays}, []schedule.Span{away})
	undo := record.Tap{ID: "u", Day: day, Version: 1, Kind: record.Undo, Of: "b", At: now, Recorded: now}
	must(s.Tap(ctx, undo))(t)
	for range 2 {
		version := plan()
		check("planned anew", day, []schedule.Span{stays}, nil)
		run := must(s.Running(ctx, day))(t)
		if run.Version != version || len(run.Log) != 0 || !cmp.Equal(run.Base.Kitchen.Bakers[0].Stays, []schedule.Span{stays}) {
			t.Errorf("version %d runs with %+v and %+v", run.Version, run.Log, run.Base.Kitchen.Bakers)
		}
	}
	other := sampleDay()
	other.Name = "Another"
	check("of another day", must(s.ImportDay(ctx, other))(t), nil, nil)
	say("c", 3, schedule.Slip{Kind: schedule.AsUsual})
	check("as usual again", day, nil, nil)
	plan()
	check("and planned anew", day, nil, nil)
}
