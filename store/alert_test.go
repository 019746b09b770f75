package store_test

import (
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

func TestClaimDue(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	for _, tt := range []struct {
		at   string
		want []string
		next string
	}{
		{"05:59", nil, "06:00"},
		{"06:00", []string{"A.1 start due"}, "07:10"},
		{"06:00", nil, "07:10"},
		{"04:00", nil, "07:10"}, // the clock was set back
		{"07:35", []string{"A.2 start due", "A.2 unload missed"}, ""},
		{"23:00", nil, ""},
	} {
		now := clock(t, tt.at)
		var got []string
		for _, a := range must(s.ClaimDue(ctx, now))(t) {
			got = append(got, a.Task+" "+string(a.Kind)+" "+string(a.State))
			if !a.Rung.Equal(now) || a.Day != day || a.Due.Location().String() != dublin {
				t.Errorf("at %s: rung %v for day %d in zone %v", tt.at, a.Rung, a.Day, a.Due.Location())
			}
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("at %s (-want +got):\n%s", tt.at, diff)
		}
		next, ok, err := s.NextDue(ctx)
		if err != nil || ok != (tt.next != "") || ok && !next.Equal(clock(t, tt.next)) {
			t.Errorf("at %s: next is %v, %v, %v; want %q", tt.at, next, ok, err, tt.next)
		}
	}
}

func TestAlertKeepsWholeValue(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	got := must(s.ClaimDue(ctx, clock(t, "07:24")))(t)
	if diff := cmp.Diff(got, must(s.ActiveAlerts(ctx, day))(t)); diff != "" {
		t.Errorf("claimed and active differ (-claimed +active):\n%s", diff)
	}
	want := record.Alert{
		Alert: sampleAlerts(t)[2], ID: 3, Day: day, Version: 1, Name: "Bun", Stage: schedule.Bake,
		State: record.Rung, Rung: clock(t, "07:24"), Changed: clock(t, "07:24"),
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

// However many ask at once, while plans change and clocks differ, every call is
// given to exactly one.
func TestClaimedExactlyOnce(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := must(s.ImportDay(ctx, sampleDay()))(t)
	const calls = 400
	var alerts []schedule.Alert
	p := samplePlan(t)
	for i := range calls {
		task := "T." + time.Duration(i).String()
		p.Tasks = append(p.Tasks, schedule.Task{ID: task, Kind: schedule.Fold})
		alerts = append(alerts, schedule.Alert{Task: task, Kind: schedule.CallStart, Class: schedule.Due, Due: clock(t, "06:00").Add(time.Duration(i) * time.Second)})
	}
	must(s.SavePlan(ctx, day, sampleDay(), p, alerts, clock(t, "05:00")))(t)

	var mu sync.Mutex
	times := map[int64]int{}
	var wg sync.WaitGroup
	for g := range 8 {
		wg.Go(func() {
			for i := range 60 {
				now := clock(t, "06:00").Add(time.Duration(i*8-g) * time.Second)
				got, err := s.ClaimDue(ctx, now)
				if err != nil {
					t.Error(err)
				}
				mu.Lock()
				for _, a := range got {
					times[a.ID]++
				}
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	if len(times) != calls {
		t.Errorf("%d calls rang, want %d", len(times), calls)
	}
	for id, n := range times {
		if n != 1 {
			t.Errorf("call %d rang %d times", id, n)
		}
	}
}

func TestAlertLog(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	must(s.ClaimDue(ctx, clock(t, "06:00")))(t)
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
