package schedule_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"ovenward/schedule"
)

// Wishes no kitchen can keep get the nearest plan: late before broken, broken
// before nothing, always with what binds.
func TestNearestPlan(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name   string
		change func(*schedule.Day)
		late   bool
		broken schedule.ViolationCode // "" for nothing
	}{
		{"two hours from now", func(d *schedule.Day) { d.Orders[0].Out = "2026-11-27T14:00" }, true, ""},
		{"nobody at work", func(d *schedule.Day) {
			for i := range d.Kitchen.Bakers {
				d.Kitchen.Bakers[i].Away = []schedule.Span{{From: "2026-11-27T00:00", To: "2026-12-02T00:00"}}
			}
		}, false, schedule.OffHours},
		{"three times the tins", func(d *schedule.Day) {
			d.Kitchen.Tins[0].Count, d.Orders[0].Pieces, d.Orders[0].Out = 2, 6, "2026-11-27T17:00"
		}, true, ""},
		{"a rest longer than there is time", func(d *schedule.Day) {
			d.Breads[0].Method[3] = resting(26*60, 30*60)
		}, true, ""},
		{"a rest longer than a day", func(d *schedule.Day) {
			d.Breads[0].Method[3], d.Orders[0].Out = resting(26*60, 30*60), "2026-11-29T10:00"
		}, false, ""},
		{"a fridge too small", func(d *schedule.Day) {
			d.Kitchen.Places[1].Spaces = 1
			d.Orders[0].Pieces = 8
			d.Breads[0].Method[5].Chill = &schedule.Chill{Place: "Fridge", Least: 300, Most: 600, Always: true}
		}, false, schedule.SpaceFull},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			d := loafDay(22)
			d.Settings.Steps = 200
			row.change(d)
			p := planned(t, d)
			agreesWithCheck(t, d, &p)
			wholeOrders(t, d, &p)
			if got := p.Outcome.LateTotal > 0; got != row.late {
				t.Errorf("late by %v, want late: %v", p.Outcome.LateTotal, row.late)
			}
			for _, v := range p.Outcome.Broken {
				if v.Code != row.broken {
					t.Errorf("broken: %v, want %q only", v, row.broken)
				}
			}
			if (row.broken != "") != (len(p.Outcome.Broken) > 0) {
				t.Errorf("broken: %v, want %q", p.Outcome.Broken, row.broken)
			}
			t.Logf("late %v, binding %+v, ways out %+v", p.Outcome.LateTotal, p.Outcome.Binding, p.Outcome.WaysOut)
		})
	}
}

// What can never be baked is refused in words, with the field at fault.
func TestRefused(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, where string
		change      func(*schedule.Day)
	}{
		{"oven too cool", "breads[0].method[6].steps[0].celsius", func(d *schedule.Day) { d.Kitchen.Ovens[0].Max = 180 }},
		{"piece larger than the mixer", "breads[0].piece_grams", func(d *schedule.Day) {
			d.Kitchen.Mixers = []schedule.Mixer{{Name: "Mixer", Most: 500}}
			d.Breads[0].Method[0].Machine = true
		}},
		{"promised for yesterday", "orders[0].out_by", func(d *schedule.Day) { d.Orders[0].Out = "2026-11-26T10:00" }},
		{"no oven", "kitchen.ovens", func(d *schedule.Day) { d.Kitchen.Ovens = nil }},
	} {
		d := loafDay(22)
		row.change(d)
		_, err := schedule.PlanDay(t.Context(), d, d.Settings)
		var faults schedule.Faults
		if !errors.As(err, &faults) || !strings.Contains(err.Error(), row.where) {
			t.Errorf("%s: %v, want a fault at %s", row.name, err, row.where)
		}
	}
}

// A cancelled search still gives a plan or says why not, at once.
func TestCancelled(t *testing.T) {
	t.Parallel()
	d := dayOf(t, "example")
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	p, err := schedule.PlanDay(ctx, d, d.Settings)
	if err != nil && !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	if err == nil {
		agreesWithCheck(t, d, &p)
	}
}

// What is late when a search is told to end says that it was cut short, and no more.
func TestCutShort(t *testing.T) {
	t.Parallel()
	d := loafDay(22)
	d.Kitchen.Tins[0].Count, d.Orders[0].Pieces, d.Orders[0].Out = 2, 6, "2026-11-27T17:00"
	whole := planned(t, d)
	if o := whole.Outcome; o.Kept || o.Brief || o.Binding == nil || len(o.WaysOut) == 0 {
		t.Fatalf("searched to its end: %+v", o)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	p, err := schedule.PlanDay(ctx, d, d.Settings)
	if o := p.Outcome; err != nil || !o.Brief || o.Kept || o.Binding != nil || len(o.WaysOut) > 0 {
		t.Errorf("cut short: %v, %+v", err, o)
	}
	agreesWithCheck(t, d, &p)
	if ways, err := schedule.Alternatives(ctx, d, d.Settings); err != nil || len(ways) != 1 {
		t.Errorf("%d ways, %v", len(ways), err)
	}
}

// FuzzPlanDay jolts valid days: whatever still passes Validate is planned, and
// the plan says of itself what the judge says of it. Planning a day that cannot be
// kept tries every way out and may take seconds; the fuzzer gives up on an input after
// ten, so the search is ended after two, and the plan must be right all the same.
func FuzzPlanDay(f *testing.F) {
	for seed := range uint64(8) {
		f.Add(seed, seed%5)
	}
	f.Add(uint64(18), uint64(88)) // a rise whose forecast is surer the later it begins
	f.Fuzz(func(t *testing.T, seed, jolts uint64) {
		d := randomDayOf(t, seed, 1)
		r := rand.New(rand.NewPCG(seed, jolts))
		for range jolts % 6 {
			jolt(r, d)
		}
		d.Settings.Steps = 40
		ctx, cancel := context.WithTimeout(t.Context(), 2*time.Second)
		defer cancel()
		p, err := schedule.PlanDay(ctx, d, d.Settings)
		if faults := d.Validate().Err(); faults != nil {
			if fmt.Sprint(err) != faults.Error() {
				t.Fatalf("got %v, want the day's faults: %v", err, faults)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		agreesWithCheck(t, d, &p)
		wholeOrders(t, d, &p)
		onePairOfHands(t, &p)
		lacking := slices.ContainsFunc(p.Outcome.Broken, func(v schedule.Violation) bool { return v.Code == schedule.BadTask })
		if _, err := schedule.Traces(d, &p); err != nil && !lacking {
			t.Error(err)
		}
		schedule.Alerts(&p)
	})
}

// jolt makes one thing of a day harder, or wrong.
func jolt(r *rand.Rand, d *schedule.Day) {
	k := &d.Kitchen
	o := &d.Orders[r.IntN(len(d.Orders))]
	b := &d.Breads[r.IntN(len(d.Breads))]
	s := &b.Method[r.IntN(len(b.Method))]
	switch r.IntN(14) {
	case 0:
		o.Pieces *= 1 + r.IntN(12)
	case 1:
		o.Out, o.Ready = d.Now, ""
	case 2:
		k.Tins[0].Count = 1
	case 3:
		k.Places[1+r.IntN(2)].Spaces = 1
	case 4:
		k.Bakers = k.Bakers[:1]
	case 5:
		k.Bakers[0].Hours = []schedule.Hours{{From: 9 * 60, To: 10 * 60}}
	case 6:
		k.Bakers[0].Cannot = schedule.StageKinds()
	case 7:
		k.Ovens = k.Ovens[:1]
		k.Ovens[0].Decks, k.Ovens[0].TraysPerDeck = 1, 1
	case 8:
		k.Ovens[0].Heat, k.Ovens[0].Cool = 0.1, 0.1
	case 9:
		s.Least, s.Most = s.Least*20, s.Most*30
	case 10:
		s.Minutes *= 30
	case 11:
		k.Places[0].Curve[0].Celsius -= 10
	case 12:
		k.Mixers = nil
	case 13:
		b.Piece /= 4
	}
}
