package schedule_test

import (
	"math"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/learn"
)

// A dough said to be ready as much later as a slower dough takes teaches that
// speed: the model's own time against the one seen.
func TestObserve(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	bulk := taskOf(t, &p, func(x schedule.Task) bool { return x.Kind == schedule.Rise && x.Part == "" && !x.Chilled })
	for _, tt := range []struct {
		name string
		slip schedule.Slip
		want learn.Observation
	}{
		{"ready", schedule.Slip{Kind: schedule.Ready, At: bulk.Window.Best}, learn.Observation{Kind: learn.Reached, SD: 0.15}},
		{"not yet", schedule.Slip{Kind: schedule.NotYet, At: bulk.Window.Ready, Minutes: 10}, learn.Observation{Kind: learn.NotYet}},
		{"over", schedule.Slip{Kind: schedule.Over, At: bulk.Window.TooFar}, learn.Observation{Kind: learn.Past}},
	} {
		s := tt.slip
		s.ID, s.Task = tt.name, bulk.ID
		got, err := schedule.Observe(d, &p, []schedule.Slip{s}, s.At)
		if err != nil || len(got) != 1 {
			t.Fatalf("%s: %v, %v", tt.name, got, err)
		}
		o := got[0]
		// seen just when the model says so: predicted and observed agree, to the minutes of the plan
		if math.Abs(o.Predicted-o.Observed) > 2 || math.Abs(o.Observed-s.At.Sub(bulk.Start).Minutes()) > 1 {
			t.Errorf("%s: predicted %.1f, observed %.1f, rising for %.0f", tt.name, o.Predicted, o.Observed, s.At.Sub(bulk.Start).Minutes())
		}
		if o.Kind != tt.want.Kind || o.SD != tt.want.SD || o.Regime != learn.Plain || o.Slip != tt.name || o.Bread != o.Dough+"/rise" {
			t.Errorf("%s: %+v", tt.name, o)
		}
	}
	if got, err := schedule.Observe(d, &p, []schedule.Slip{{ID: "x", Kind: schedule.Done, Task: bulk.ID, At: bulk.End}}, bulk.End); err != nil || len(got) != 0 {
		t.Errorf("work done on time teaches %v, %v", got, err)
	}
}

// What is taught is uncorrected: a day that believes its dough to be fast
// records the same.
func TestObserveUncorrected(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	bulk := taskOf(t, &p, func(x schedule.Task) bool { return x.Kind == schedule.Rise && x.Part == "" && !x.Chilled })
	log := []schedule.Slip{{ID: "r", Kind: schedule.Ready, Task: bulk.ID, At: bulk.Window.Best}}
	plain, err := schedule.Observe(d, &p, log, bulk.Window.Best)
	if err != nil {
		t.Fatal(err)
	}
	fast := *d
	fast.Learned = []schedule.Learned{{Dough: plain[0].Dough, Pace: schedule.Pace{Speed: 1.3, SD: 0.2}}}
	got, err := schedule.Observe(&fast, &p, log, bulk.Window.Best)
	if err != nil || len(got) != 1 || math.Abs(got[0].Predicted-plain[0].Predicted) > 0.5 {
		t.Errorf("%+v, %v, want %+v", got, err, plain)
	}
}

// Doughs seen a fifth slower on several days are believed nearly so; others of
// the kitchen somewhat; and the day so taught is valid.
func TestLearn(t *testing.T) {
	t.Parallel()
	d, _ := tearoom()
	day := *d
	day.Learn(learn.Book{}, time.Unix(0, 0))
	if day.Learned != nil {
		t.Errorf("knows %v of nothing", day.Learned)
	}
	at := time.Date(2026, 11, 28, 0, 0, 0, 0, time.UTC)
	var b learn.Book
	seen := day.Bases[0].ID
	for k := range 8 {
		for _, rise := range []string{"/rise", "/proof"} {
			if err := b.Observe(learn.Observation{Day: int(at.Unix()/86400) - 1 - k, Bread: seen + rise, Predicted: 100, Observed: 125}); err != nil {
				t.Fatal(err)
			}
		}
	}
	day.Learn(b, at)
	if err := day.Validate().Err(); err != nil {
		t.Fatal(err)
	}
	for _, l := range day.Learned {
		if lo, hi := 0.78, 0.87; l.Dough == seen && (l.Speed < lo || l.Speed > hi || l.SD > 0.2) {
			t.Errorf("%+v, want about 0.8", l)
		}
		if l.Dough != seen && (l.Speed > 0.97 || l.Speed < 0.80 || l.SD < 0.2) {
			t.Errorf("%+v, want slower, and less sure", l)
		}
	}
	if len(day.Learned) < 2 {
		t.Errorf("only %v", day.Learned)
	}
}
