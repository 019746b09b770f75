package alerts_test

import (
	"context"
	"encoding/json"
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
				ID: 4, Day: 2, Name: "Bun", Stage: schedule.Shape, State: record.Rung, Rings: 2},
			{Alert: schedule.Alert{Task: "B.2", Kind: schedule.CallUnload, Class: schedule.NowOrLost, Due: now, TooFar: now},
				ID: 5, Day: 2, Name: "Loaf", Stage: schedule.Bake, State: record.Missed, Rings: 1},
		}
		var got published
		ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
		defer cancel()
		alerts.New(alerts.Config{Book: &book, Hub: &got}).Run(ctx)
		ms := now.UnixMilli()
		want := published{live.Alert{Now: ms, Class: "A", Everywhere: true, Calls: []live.Call{
			{ID: 5, Day: 2, Task: "B.2", Kind: "unload", Name: "Loaf", Stage: "bake", Class: "A", State: "missed", Ring: 1, Due: ms, TooFar: ms},
			{ID: 4, Day: 2, Task: "A.1", Kind: "start", Name: "Bun", Stage: "shape", Class: "B", State: "due", Ring: 2, Baker: "Orla", Due: ms - 15000},
		}}}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	})
}

// An event stays small however much was slept through
// (2 kB is this program's own limit).
func TestEventIsSmall(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var book fixed
		for i := range int64(60) {
			book = append(book, record.Alert{
				Alert: schedule.Alert{Task: "A12.13", Kind: schedule.CallUnload, Class: schedule.NowOrLost, Due: time.Now().Add(-time.Hour), TooFar: time.Now(), Baker: "Gwendolyn"},
				ID:    1000 + i, Day: 100, Name: "Potato and rosemary hearth loaf", Stage: schedule.Bake, State: record.Missed, Rings: 1,
			})
		}
		var got published
		ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
		defer cancel()
		alerts.New(alerts.Config{Book: &book, Hub: &got}).Run(ctx)
		if len(got) != 1 {
			t.Fatalf("told %d events, want 1", len(got))
		}
		e := got[0].(live.Alert)
		data, err := json.Marshal(e)
		if err != nil || len(data) > 2000 || len(e.Calls)+e.More != 60 || !e.CatchUp {
			t.Errorf("%d bytes, %d calls and %d more, catch-up %v, %v", len(data), len(e.Calls), e.More, e.CatchUp, err)
		}
	})
}
