package schedule_test

import (
	"slices"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// What a season of days found. A preferment that is not ready holds up the mix it
// is for.
func TestPrefermentNotYet(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	rise := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Rise && k.Part == "poolish" })
	mix := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Mix && k.Part == "" && k.Batch == rise.Batch })
	for _, more := range []time.Duration{10 * time.Minute, 40 * time.Minute} {
		now := mix.Start
		cs := replan(t, d, &p, now, schedule.Slip{ID: "1", Kind: schedule.NotYet, At: now, Task: rise.ID, Minutes: unit.Minutes(more.Minutes())})
		got := taskOf(t, &cs[0].Plan, func(k schedule.Task) bool { return k.ID == mix.ID })
		if late := got.Start.Sub(mix.Start); late < more || late > more+time.Hour {
			t.Errorf("not ready for %v more, it is mixed %v later (%s)", more, late, cs[0].Kind)
		}
	}
}

// An oven found slow when the first load should go in is not hot yet, and the
// load waits for it.
func TestOvenFoundSlow(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	i := slices.IndexFunc(p.Tasks, func(k schedule.Task) bool { return k.Kind == schedule.Bake })
	bake := p.Tasks[i]
	lit := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Preheat })
	const share = 0.6
	cs := replan(t, d, &p, bake.Start, schedule.Slip{ID: "1", Kind: schedule.OvenSlow, At: bake.Start, Of: bake.Oven, Share: share})
	first := taskOf(t, &cs[0].Plan, func(k schedule.Task) bool { return k.Kind == schedule.Bake })
	took := lit.End.Sub(lit.Start)
	want := time.Duration(float64(took) * (1/share - 1)).Truncate(time.Minute)
	if late := first.Start.Sub(bake.Start); late < want {
		t.Errorf("heated for %v at %v of its pace, the oven is given %v more (%s), want %v", took, share, late, cs[0].Kind, want)
	}
}
