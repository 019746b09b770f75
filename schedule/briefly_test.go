package schedule_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
)

// A day that can be kept is planned briefly as it is planned else. One that cannot is
// planned by fewer steps, no less late than by all, and says what was not looked for.
func TestPlanBriefly(t *testing.T) {
	t.Parallel()
	briefly := func(d *schedule.Day, steps int) schedule.Plan {
		t.Helper()
		p, err := schedule.PlanBriefly(t.Context(), d, d.Settings, steps)
		if err != nil {
			t.Fatal(err)
		}
		agreesWithCheck(t, d, &p)
		return p
	}
	d := loafDay(22)
	if diff := cmp.Diff(planned(t, d), briefly(d, 0)); diff != "" {
		t.Error(diff)
	}
	d.Kitchen.Tins[0].Count, d.Orders[0].Pieces, d.Orders[0].Out = 2, 6, "2026-11-27T17:00"
	whole := planned(t, d)
	last := briefly(d, 0)
	for _, steps := range []int{500, 1 << 20} {
		p := briefly(d, steps)
		if p.Outcome.LateTotal > last.Outcome.LateTotal || p.Outcome.LateTotal < whole.Outcome.LateTotal {
			t.Errorf("%d steps: late %v; with fewer %v, with all %v", steps, p.Outcome.LateTotal, last.Outcome.LateTotal, whole.Outcome.LateTotal)
		}
		last = p
	}
	want := whole.Outcome
	want.Brief, want.Binding, want.WaysOut, want.Steps = true, nil, nil, last.Outcome.Steps
	if diff := cmp.Diff(want, last.Outcome); diff != "" {
		t.Error("with as many steps as there are: " + diff)
	}
}
