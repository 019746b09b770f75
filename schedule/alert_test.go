package schedule_test

import (
	"slices"
	"testing"
	"time"

	"ovenward/schedule"
)

// Every work calls its baker just once, every bake once more to unload, every
// oven once to be lit; no call twice, none after the dough is lost.
func TestAlertsOfPlans(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"example", "cold-kitchen", "three-breads-one-dough", "retard-clocks-back"} {
		d := dayOf(t, name)
		p := planned(t, d)
		alerts := schedule.Alerts(&p)
		type key struct {
			task string
			kind schedule.AlertKind
		}
		at := map[key]schedule.Alert{}
		for i, a := range alerts {
			k := key{a.Task, a.Kind}
			if _, twice := at[k]; twice {
				t.Errorf("%s: %s of %s calls twice", name, a.Kind, a.Task)
			}
			at[k] = a
			if i > 0 && a.Due.Before(alerts[i-1].Due) {
				t.Errorf("%s: %s of %s is out of order", name, a.Kind, a.Task)
			}
			if !a.TooFar.IsZero() && a.Due.After(a.TooFar.Add(time.Minute)) && p.Outcome.Kept {
				t.Errorf("%s: %s of %s calls at %v, lost at %v", name, a.Kind, a.Task, a.Due, a.TooFar)
			}
			lost := !a.TooFar.IsZero() && a.TooFar.Sub(a.Due) <= 5*time.Minute
			if a.Kind != schedule.CallHeadsUp && lost != (a.Class == schedule.NowOrLost) {
				t.Errorf("%s: %s of %s is of class %s with %v left", name, a.Kind, a.Task, a.Class, a.TooFar.Sub(a.Due))
			}
		}
		for _, task := range p.Tasks {
			want := map[schedule.AlertKind]time.Time{}
			switch {
			case task.Kind == schedule.Preheat:
				want[schedule.CallPreheat] = task.Start
			case len(task.Hands) > 0:
				want[schedule.CallStart] = task.Start
				if task.Kind == schedule.Bake {
					want[schedule.CallUnload] = task.End.Add(-2 * time.Minute)
				}
			}
			for _, kind := range []schedule.AlertKind{schedule.CallStart, schedule.CallUnload, schedule.CallPreheat} {
				a, called := at[key{task.ID, kind}]
				due, wanted := want[kind]
				if called != wanted || called && !a.Due.Equal(due) {
					t.Errorf("%s: %s of %s at %v (%v), want %v (%v)", name, kind, task.ID, a.Due, called, due, wanted)
				}
				if called && len(task.Hands) > 0 && !slices.ContainsFunc(task.Hands, func(h schedule.Hands) bool { return h.Baker == a.Baker }) {
					t.Errorf("%s: %s of %s calls %q, who does not do it", name, kind, task.ID, a.Baker)
				}
			}
		}
	}
}
