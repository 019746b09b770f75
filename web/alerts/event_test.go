package alerts_test

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/alerts"
	"ovenward/web/live"
)

// fixed is a book in which some calls are due at once.
type fixed []record.Alert

func (f *fixed) ClaimDue(context.Context, time.Time) ([]record.Alert, error) {
	all := *f
	*f = nil
	return all, nil
}
func (f *fixed) NextDue(context.Context) (time.Time, bool, error) { return time.Time{}, false, nil }

type published []live.Event

func (p *published) Publish(e live.Event) { *p = append(*p, e) }

func TestEventTellsEverything(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		now := time.Now()
		book := fixed{
			{Alert: schedule.Alert{Task: "A.1", Kind: schedule.CallStart, Class: schedule.Due, Due: now.Add(-15 * time.Second), Baker: "Orla"},
				ID: 4, Day: 2, Name: "Bun", Stage: schedule.Shape, State: record.Rung},
			{Alert: schedule.Alert{Task: "B.2", Kind: schedule.CallUnload, Class: schedule.NowOrLost, Due: now, TooFar: now},
				ID: 5, Day: 2, Name: "Loaf", Stage: schedule.Bake, State: record.Missed},
		}
		var got published
		ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
		defer cancel()
		alerts.New(alerts.Config{Book: &book, Hub: &got}).Run(ctx)
		ms := now.UnixMilli()
		want := published{live.Alert{Now: ms, Class: "A", Calls: []live.Call{
			{ID: 4, Day: 2, Task: "A.1", Kind: "start", Name: "Bun", Stage: "shape", Class: "B", Baker: "Orla", Due: ms - 15000},
			{ID: 5, Day: 2, Task: "B.2", Kind: "unload", Name: "Loaf", Stage: "bake", Class: "A", Due: ms, TooFar: ms, Missed: true},
		}}}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	})
}
