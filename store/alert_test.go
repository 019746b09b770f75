package store_test

import (
	"fmt"
	"slices"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

// Shaping rings at 06:00 and nobody answers; loading and unloading too. By the
// ladder of package schedule, repeats come at 20 s, 60 s and then every 2 min.
func TestClaimDue(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	for _, tt := range []struct {
		at   string
		want []string
		next string
	}{
		{"05:59:00", nil, "06:00:00"},
		{"06:00:00", []string{"A.1 start due 1"}, "06:00:20"},
		{"06:00:00", nil, "06:00:20"},
		{"06:00:20", []string{"A.1 start due 2"}, "06:01:00"},
		{"04:00:00", nil, "06:01:00"}, // the clock was set back
		{"06:02:30", []string{"A.1 start due 3"}, "06:03:00"},
		{"07:09:59", []string{"A.1 start due 4"}, "07:10:00"}, // slept; nothing spoils, so after half an hour it is silent
		{"07:10:00", []string{"A.2 start due 1"}, "07:10:20"},
		{"07:35:00", []string{"A.2 start due 2", "A.2 unload missed 1"}, "07:36:00"},
		{"08:00:00", []string{"A.2 start past 3"}, ""},
		{"23:00:00", nil, ""},
	} {
		now := second(t, tt.at)
		var got []string
		for _, a := range must(s.ClaimDue(ctx, now))(t) {
			got = append(got, fmt.Sprint(a.Task, " ", a.Kind, " ", a.State, " ", a.Rings))
			if !a.Heard.Last.Equal(now) || a.Rings == 1 && !a.Rung.Equal(now) || a.Day != day || a.Due.Location().String() != dublin {
				t.Errorf("at %s: rung %v, last %v, for day %d in zone %v", tt.at, a.Rung, a.Heard.Last, a.Day, a.Due.Location())
			}
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("at %s (-want +got):\n%s", tt.at, diff)
		}
		next, ok, err := s.NextDue(ctx)
		if err != nil || ok != (tt.next != "") || ok && !next.Equal(second(t, tt.next)) {
			t.Errorf("at %s: next is %v, %v, %v; want %q", tt.at, next, ok, err, tt.next)
		}
	}
}

// second is like clock, to the second.
func second(t testing.TB, hhmmss string) time.Time {
	t.Helper()
	s := must(strconv.Atoi(hhmmss[6:]))(t)
	return clock(t, hhmmss[:5]).Add(time.Duration(s) * time.Second)
}

func TestAlertKeepsWholeValue(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	got := must(s.ClaimDue(ctx, clock(t, "07:24")))(t)
	rung := slices.DeleteFunc(must(s.Alerts(ctx, day))(t), func(a record.Alert) bool { return a.Rings == 0 })
	if diff := cmp.Diff(got, rung); diff != "" {
		t.Errorf("claimed and kept differ (-claimed +kept):\n%s", diff)
	}
	want := record.Alert{
		Alert: sampleAlerts(t)[2], ID: 3, Day: day, Version: 1, Name: "Bun", Stage: schedule.Bake,
		State: record.Rung, Changed: clock(t, "07:24"),
		Rung: clock(t, "07:24"), Rings: 1, Next: second(t, "07:24:15"), Heard: schedule.Heard{Last: clock(t, "07:24")},
	}
	if diff := cmp.Diff(want, got[2]); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// A rehearsal never rings; when it is given back to the clock, it does.
func TestFixedNowNeverRings(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	r := must(s.DayRecord(ctx, day))(t)
	r.Now = "2026-11-28T05:00"
	must(0, s.SaveDay(ctx, r))(t)
	if got := must(s.ClaimDue(ctx, clock(t, "09:00")))(t); got != nil {
		t.Errorf("rang %v", got)
	}
	if at, ok, err := s.NextDue(ctx); ok || err != nil {
		t.Errorf("next is %v, %v", at, err)
	}
	r.Now = ""
	must(0, s.SaveDay(ctx, r))(t)
	if got := must(s.ClaimDue(ctx, clock(t, "09:00")))(t); len(got) != 3 {
		t.Errorf("rang %d calls, want 3", len(got))
	}
}

// However many ask at once, while clocks differ, every ring of every call is
// given to exactly one, and each call's rings go forward.
func TestClaimedExactlyOnce(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := must(s.ImportDay(ctx, sampleDay()))(t)
	const calls = 60
	var alerts []schedule.Alert
	p := samplePlan(t)
	for i := range calls {
		task := "T." + time.Duration(i).String()
		p.Tasks = append(p.Tasks, schedule.Task{ID: task, Kind: schedule.Fold})
		alerts = append(alerts, schedule.Alert{Task: task, Kind: schedule.CallStart, Class: schedule.Due, Due: clock(t, "06:00").Add(time.Duration(i) * 6 * time.Second)})
	}
	must(s.SavePlan(ctx, day, sampleDay(), p, alerts, clock(t, "05:00")))(t)

	type ring struct {
		id int64
		n  int
	}
	var mu sync.Mutex
	given := map[ring]time.Time{}
	var wg sync.WaitGroup
	for g := range 8 {
		wg.Go(func() {
			for i := range 40 {
				now := clock(t, "06:00").Add(time.Duration(i*10-g) * time.Second)
				got, err := s.ClaimDue(ctx, now)
				if err != nil {
					t.Error(err)
				}
				mu.Lock()
				for _, a := range got {
					if _, twice := given[ring{a.ID, a.Rings}]; twice {
						t.Errorf("ring %d of call %d was given twice", a.Rings, a.ID)
					}
					given[ring{a.ID, a.Rings}] = a.Heard.Last
				}
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	rung := 0
	for r, at := range given {
		if r.n == 1 {
			rung++
		} else if before, ok := given[ring{r.id, r.n - 1}]; !ok || !at.After(before) {
			t.Errorf("ring %d of call %d came at %v after %v, %v", r.n, r.id, at, before, ok)
		}
	}
	if rung != calls {
		t.Errorf("%d calls rang, want %d", rung, calls)
	}
}

func TestAlertLog(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	must(s.ClaimDue(ctx, clock(t, "06:00")))(t)
	must(s.ClaimDue(ctx, second(t, "06:00:20")))(t)
	tap := func(id string, kind record.TapKind, at string) {
		must(s.Tap(ctx, record.Tap{ID: id, Day: day, Version: 1, Task: "A.1", Kind: kind, At: clock(t, at), Recorded: clock(t, at)}))(t)
	}
	tap("one", record.Ack, "06:01")
	tap("two", record.Finished, "06:18")
	savePlan(t, s, day, nil, clock(t, "06:20"))
	made := clock(t, "05:00")
	want := []record.Transition{
		{Alert: 1, At: made, To: record.Scheduled},
		{Alert: 2, At: made, To: record.Scheduled},
		{Alert: 3, At: made, To: record.Scheduled},
		{Alert: 1, At: clock(t, "06:00"), From: record.Scheduled, To: record.Rung},
		{Alert: 1, At: second(t, "06:00:20"), From: record.Rung, To: record.Rung, Reason: record.Again},
		{Alert: 1, At: clock(t, "06:01"), From: record.Rung, To: record.Acked, Tap: "one"},
		{Alert: 1, At: clock(t, "06:18"), From: record.Acked, To: record.Done, Tap: "two"},
		{Alert: 2, At: clock(t, "06:20"), From: record.Scheduled, To: record.Suppressed, Reason: record.Dropped},
		{Alert: 3, At: clock(t, "06:20"), From: record.Scheduled, To: record.Suppressed, Reason: record.Dropped},
	}
	if diff := cmp.Diff(want, must(s.AlertLog(ctx, day))(t)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func BenchmarkClaimNothing(b *testing.B) {
	s := storetest.Open(b)
	planned(b, s)
	b.ReportAllocs()
	for b.Loop() {
		must(s.ClaimDue(b.Context(), clock(b, "05:00")))(b)
	}
}
