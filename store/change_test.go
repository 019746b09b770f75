package store_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

// What becomes of a call due at 06:00 when, at the given time and after the
// given taps, a new plan wants it at another time, or not at all. No outside
// source: these are the product's own promises, that nothing rings twice and
// nothing is silently missed.
func TestCallsOfTheNextPlan(t *testing.T) {
	tests := []struct {
		name   string
		tap    record.TapKind // on the task, before the new plan
		at     string         // when the new plan is saved
		wanted string         // "" = no longer
		want   []string
	}{
		{"not yet rung, moved later", "", "05:10", "06:20", []string{"suppressed moved", "scheduled"}},
		{"not yet rung, not moved", "", "05:10", "06:00", []string{"scheduled"}},
		{"far, trembles", "", "05:50", "06:02", []string{"suppressed moved", "scheduled"}},
		{"near, trembles", "", "05:51", "06:02", []string{"scheduled"}},
		{"near, moved", "", "05:51", "06:03", []string{"suppressed moved", "scheduled"}},
		{"put off, wanted before that", record.Snooze, "06:00", "06:10", []string{"shelved"}},
		{"put off, wanted later still", record.Snooze, "06:00", "06:14", []string{"suppressed moved", "scheduled"}},
		{"not yet rung, gone", "", "05:10", "", []string{"suppressed dropped"}},
		{"rung, wanted at once", "", "06:05", "06:05", []string{"due"}},
		{"rung, trembles", "", "06:05", "06:08", []string{"due"}},
		{"rung, distinctly later", "", "06:05", "06:09", []string{"suppressed moved", "scheduled"}},
		{"rung, gone", "", "06:05", "", []string{"suppressed dropped"}},
		{"on it, wanted at once", record.Ack, "06:05", "06:05", []string{"acked"}},
		{"on it, much later", record.Ack, "06:05", "06:40", []string{"suppressed moved", "scheduled"}},
		{"done early, the plan still has it", record.Finished, "05:40", "06:00", []string{"done"}},
		{"done early, then much later", record.Finished, "05:40", "06:30", []string{"done", "scheduled"}},
		{"done, frozen in the past", record.Finished, "06:30", "06:00", []string{"done"}},
		{"done, gone", record.Finished, "06:30", "", []string{"done"}},
		{"not yet, asked again later", record.NotYet, "06:05", "06:15", []string{"suppressed moved", "scheduled"}},
		{"not yet, the plan stays", record.NotYet, "06:05", "06:00", []string{"shelved"}},
		{"not yet, gone", record.NotYet, "06:05", "", []string{"suppressed dropped"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s, ctx := storetest.Open(t), t.Context()
			day := must(s.ImportDay(ctx, sampleDay()))(t)
			savePlan(t, s, day, sampleAlerts(t)[:1], clock(t, "05:00"))
			now := clock(t, tt.at)
			must(s.ClaimDue(ctx, now))(t)
			if tt.tap != "" {
				must(s.Tap(ctx, record.Tap{ID: "t", Day: day, Version: 1, Task: "A.1", Kind: tt.tap, Minutes: 10, At: now, Recorded: now}))(t)
			}
			var next []schedule.Alert
			if tt.wanted != "" {
				next = []schedule.Alert{{Task: "A.1", Kind: schedule.CallStart, Class: schedule.Due, Due: clock(t, tt.wanted)}}
			}
			savePlan(t, s, day, next, now)
			want := make([]string, len(tt.want))
			for i, state := range tt.want {
				want[i] = "A.1 start " + state
			}
			if diff := cmp.Diff(want, states(t, s, day)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// A moved call says when it was due before.
func TestMovedCallTellsWhatItWas(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	next := sampleAlerts(t)
	next[1].Due = clock(t, "07:25")
	savePlan(t, s, day, next, clock(t, "05:30"))
	var got []time.Time
	for _, a := range must(s.Alerts(ctx, day))(t) {
		if a.State == record.Scheduled {
			got = append(got, a.Was)
		}
	}
	if diff := cmp.Diff([]time.Time{{}, {}, clock(t, "07:10")}, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// Task IDs are given anew with the batches: A.1 done for one dough must not
// silence A.1 of another.
func TestSameTaskOfAnotherDough(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	now := clock(t, "05:50")
	must(s.Tap(ctx, record.Tap{ID: "t", Day: day, Version: 1, Task: "A.1", Kind: record.Finished, At: now, Recorded: now}))(t)
	p := samplePlan(t)
	p.Tasks[0].Name = "Loaf"
	must(s.SavePlan(ctx, day, sampleDay(), p, sampleAlerts(t)[:1], now))(t)
	due := must(s.ClaimDue(ctx, clock(t, "06:00")))(t)
	if len(due) != 1 || due[0].Name != "Loaf" || due[0].Stage != schedule.Shape {
		t.Errorf("rang %+v, want the shaping of the loaf", due)
	}
}
