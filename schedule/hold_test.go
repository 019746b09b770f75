package schedule_test

import (
	"testing"

	"ovenward/schedule"
)

// A night in the cold is planned so that the dough may be faster or slower there
// than forecast: Check, which follows it by itself, finds it neither unripe nor too
// far at a fifth off to either side, and what goes into the cold later goes in while
// somebody is there. Straight into the cold the same dough is unripe if it is slow.
func TestColdNightIsKeptBySlowerAndFaster(t *testing.T) {
	t.Parallel()
	d := dayOf(t, "retard-clocks-back")
	p := planned(t, d)
	rise := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Rise })
	if r := rise.Rescue; r == nil || r.Kind != schedule.ColdLater || r.Place != "Bench" || !r.From.Equal(rise.Start) {
		t.Fatalf("%+v of %v to %v", rise.Rescue, rise.Start, rise.End)
	}
	if to := rise.Rescue.To; to.Hour() > 20 || to.Hour() == 20 && to.Minute() > 30 {
		t.Errorf("into the cold at %v, when nobody is there", to)
	}
	calls := 0
	for _, a := range schedule.Alerts(&p) {
		if a.Kind == schedule.CallFridge && a.Task == rise.ID && a.Due.Equal(rise.Rescue.To) {
			calls++
		}
	}
	if calls != 1 {
		t.Errorf("%d calls to put it into the cold", calls)
	}
	unripe := func(p *schedule.Plan, speed float64) (missed []schedule.Violation) {
		off := *d
		off.Learned = []schedule.Learned{{Dough: d.Breads[0].ID, Pace: schedule.Pace{Speed: 1, SD: 0.3, ColdSpeed: speed}}}
		for _, v := range schedule.Check(&off, p) {
			if v.Code == schedule.TooEarly || v.Code == schedule.TooLate {
				missed = append(missed, v)
			}
		}
		return missed
	}
	for _, speed := range []float64{0.83, 1, 1.2} {
		if missed := unripe(&p, speed); len(missed) > 0 {
			t.Errorf("at %v of the speed: %v", speed, missed)
		}
	}
	straight := p
	straight.Tasks = append([]schedule.Task(nil), p.Tasks...)
	for i := range straight.Tasks {
		straight.Tasks[i].Rescue = nil
	}
	if missed := unripe(&straight, 0.83); len(missed) == 0 {
		t.Error("a slow dough put straight into the cold is ready all the same: nothing to plan for")
	}
}
