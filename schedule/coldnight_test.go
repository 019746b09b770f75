package schedule_test

import (
	"slices"
	"testing"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// A dough of ordinary yeast put warm into the fridge goes too far in a few hours
// (TM 10-412 and handbooks on retarding: chilling does not stop yeast, the dough
// is knocked down in its first hours; less yeast and cool dough for a long hold),
// and the planner does not leave it there: what is said and what is planned
// agree.
func TestColdNight(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		day, bread string
		lo, hi     unit.Minutes // too far
		stands     bool
		kept       bool // planned with that night in it
	}{
		{"example", "potato-loaf", 60, 240, false, false},        // 2.7 % fresh, 520 g
		{"example", "slipway", 90, 300, false, false},            // 1.6 % fresh, 750 g
		{"example", "pan-loaf", 480, 720, true, true},            // rich and sweet, in metal
		{"retard-clocks-back", "country", 600, 1200, true, true}, // cold from its bulk rise, which is ready for having begun at the bench
	} {
		d := dayOf(t, c.day)
		day, p, err := schedule.Forecast(t.Context(), d, c.bread, false)
		if err != nil {
			t.Fatal(err)
		}
		o, ok, err := schedule.ColdNightOf(day, &p)
		if err != nil || !ok {
			t.Fatalf("%s: %v %v", c.bread, ok, err)
		}
		if o.TooFar < c.lo || o.TooFar > c.hi || o.Stands() != c.stands {
			t.Errorf("%s: %+v, want too far after %v to %v", c.bread, o, c.lo, c.hi)
		}
		if o.HalfYeast <= o.TooFar || o.Cooler <= o.TooFar || o.Half != 0 && o.Half <= o.TooFar {
			t.Errorf("%s: what helps does not: %+v", c.bread, o)
		}
		if kept := overnight(t, d, c.bread); kept != c.kept {
			t.Errorf("%s: too far after %v, and a plan that leaves it there for the night is kept: %v", c.bread, o.TooFar, kept)
		}
	}
	d := dayOf(t, "cold-kitchen")
	day, p, err := schedule.Forecast(t.Context(), d, d.Breads[0].ID, false)
	if err != nil {
		t.Fatal(err)
	}
	if _, ok, err := schedule.ColdNightOf(day, &p); ok || err != nil {
		t.Errorf("a kitchen without a cold place: %v, %v", ok, err)
	}
}

// overnight says whether a bread can be planned with its final proof held in the
// fridge for the night.
func overnight(t *testing.T, d *schedule.Day, bread string) bool {
	held := *d
	held.Breads = slices.Clone(d.Breads)
	for i := range held.Breads {
		m := slices.Clone(held.Breads[i].Method)
		for k := range m {
			if m[k].Kind == schedule.Proof {
				m[k].Chill = &schedule.Chill{Place: "Fridge", Least: schedule.Night, Most: 16 * 60, Always: true}
			}
		}
		held.Breads[i].Method = m
	}
	_, p, err := schedule.Forecast(t.Context(), &held, bread, false)
	if err != nil {
		t.Fatal(err)
	}
	return p.Outcome.Kept
}
