package schedule_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// ball is a day with one lean ball of 1 kg that proofs in a room of 26 °C, with
// a fridge of 4 °C beside it. So little yeast hardly warms it.
func ball() *schedule.Day {
	steady := func(t unit.Celsius) []schedule.Reading { return []schedule.Reading{{Celsius: t}} }
	return &schedule.Day{
		Format: schedule.DayFormat, Name: "ball", Zone: "UTC", Now: "2026-11-27T06:00",
		Kitchen: schedule.Kitchen{
			Places: []schedule.Place{
				{Name: "Bench", Kind: schedule.Room, Air: schedule.Covered, Curve: steady(26)},
				{Name: "Fridge", Kind: schedule.Cold, Air: schedule.Fridge, Curve: steady(4)},
			},
			Ovens:  []schedule.Oven{{Name: "Oven", Decks: 1, TraysPerDeck: 1, Max: 250, Heat: 5, Cool: 2}},
			Bakers: []schedule.Baker{{Name: "Baker", Hours: []schedule.Hours{{From: 0, To: 24 * 60}}}},
			Tub:    2000, Flour: 20, Tap: 12,
		},
		Breads: []schedule.Bread{{
			ID: "ball", Name: "Ball", Piece: 1000, PerTray: 1, Loss: 12,
			Formula: dough.Formula{Ingredients: []dough.Ingredient{
				{Food: "bread-flour", Percent: 100}, {Food: "water", Percent: 62}, {Food: "salt", Percent: 1.8}, {Food: "fresh-yeast", Percent: 0.8},
			}},
			Method: []schedule.Stage{
				{Kind: schedule.Mix, Minutes: 8, Dough: 26},
				{Kind: schedule.Rise, Until: schedule.Target{Word: schedule.HalfMore}},
				{Kind: schedule.Shape, Minutes: 3},
				{Kind: schedule.Proof, Until: schedule.Target{Word: schedule.ThreeQuarters}},
				{Kind: schedule.Bake, Steps: []schedule.BakeStep{{Celsius: 230, Minutes: 40}}},
			},
		}},
		Orders: []schedule.Order{{Bread: "ball", Pieces: 1, Out: "2026-11-27T20:00"}},
	}
}

// A ball of 1 kg at 26 °C put into a fridge of 4 °C with still air, its mean
// after 1, 2 and 4 hours: 20.1, 16.0 and 10.7 °C, from a separate computation
// for a density of 1000 and no heat of its own. A dough of 1150 is smaller and
// cools a little faster, its yeast warms it; within 1 K. Out again it is back at
// the room's only after hours.
func TestRescueCools(t *testing.T) {
	t.Parallel()
	d := ball()
	p := planned(t, d)
	for i := range p.Tasks {
		k := &p.Tasks[i]
		switch {
		case k.Kind == schedule.Proof:
			k.Rescue = &schedule.Rescue{Kind: schedule.ChillAWhile, Place: "Fridge", From: k.Start, To: k.Start.Add(4 * time.Hour)}
			k.End = k.Start.Add(6 * time.Hour)
		case k.Kind == schedule.Bake:
			k.Start, k.End = k.Start.Add(6*time.Hour), k.End.Add(6*time.Hour)
		}
	}
	proof := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Proof })
	for i := range p.Tasks { // the bake follows the proof
		if k := &p.Tasks[i]; k.Kind == schedule.Bake {
			long := k.End.Sub(k.Start)
			k.Start, k.End = proof.End, proof.End.Add(long)
		}
	}
	traces, err := schedule.Traces(d, &p)
	if err != nil {
		t.Fatal(err)
	}
	mean := func(at time.Time) (unit.Celsius, string) {
		best, place, off := unit.Celsius(math.NaN()), "", time.Hour
		for _, tr := range traces {
			for _, x := range tr.Points {
				if gap := x.At.Sub(at).Abs(); x.Task == proof.ID && gap <= off {
					best, place, off = x.Mean, x.Place, gap
				}
			}
		}
		return best, place
	}
	for _, row := range []struct {
		hours time.Duration
		want  unit.Celsius
	}{{1, 20.1}, {2, 16.0}, {4, 10.7}} {
		if got, _ := mean(proof.Start.Add(row.hours * time.Hour)); math.Abs(float64(got-row.want)) > 1 {
			t.Errorf("after %d h in the cold: %v, want %v", row.hours, got, row.want)
		}
	}
	got, place := mean(proof.Start.Add(5 * time.Hour))
	if place != "Bench" || got < 15 || got > 23 {
		t.Errorf("an hour out of the cold: %v in %q", got, place)
	}
}

// A clock does not stop in the fridge. By the same table a 1 kg ball does 0.75 h
// of work at 27 °C in its first hour there and 0.50 h in its second, where the
// room of 26 °C, with a speed of 0.935, does 0.935 h: so much it is put off at
// least, and as much again at most until it is warm.
func TestRescueDelays(t *testing.T) {
	t.Parallel()
	d := ball()
	p := planned(t, d)
	proof := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Proof })
	now := proof.Start.Add(5 * time.Minute)
	bake := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Bake })
	back := bake.Start.Add(time.Hour)
	cs := replan(t, d, &p, now, schedule.Slip{ID: "1", Kind: schedule.OvenOut, At: now, Of: "Oven", From: bake.Start.Add(-time.Minute), To: back})
	for _, c := range cs {
		t.Log(sentence(d, c))
	}
	i := 0
	for i < len(cs) && cs[i].Kind != schedule.PutInCold {
		i++
	}
	if i == len(cs) {
		t.Fatal("the proof is not chilled")
	}
	r := cs[i].Rescues[0]
	delayed := taskOf(t, &cs[i].Plan, func(k schedule.Task) bool { return k.ID == proof.ID })
	off, cold := delayed.Window.Best.Sub(proof.Window.Best), r.To.Sub(r.From)
	work := 0.75*min(cold.Hours(), 1) + 0.50*max(0, min(cold.Hours()-1, 1))
	if lost := cold.Hours() - work/0.935; cold > 2*time.Hour || off.Hours() < 0.8*lost || off.Hours() > 2.2*lost {
		t.Errorf("%v in the cold put the proof off by %v, want %.2f to %.2f h", cold, off, lost, 2*lost)
	}
}

// coldBall is ball with its bulk rise in the cold, from the evening before.
func coldBall() *schedule.Day {
	d := ball()
	d.Now = "2026-11-26T17:00"
	d.Breads[0].Method[1].Chill = &schedule.Chill{Place: "Fridge", Least: 7 * 60, Most: 16 * 60, Always: true}
	d.Kitchen.Bakers[0].Hours = []schedule.Hours{{From: 6 * 60, To: 21 * 60}}
	d.Orders[0].Out = "2026-11-27T13:00"
	return d
}

// Conduction is linear: what cools a ball of 1 kg from 26 °C to 20.1, 16.0 and 10.7 °C
// in 1, 2 and 4 hours in air of 4 °C warms one of 4 °C to 9.9, 14.0 and 19.3 °C in
// air of 26 °C (the table of TestRescueCools, turned round); within 1.5 K for the
// density and what is left of the evening's warmth.
func TestTakenOutWarms(t *testing.T) {
	t.Parallel()
	d := ball()
	p := planned(t, d)
	d.Kitchen.Places[0].Air = schedule.Fridge         // as still as in there
	d.Breads[0].Formula.Ingredients[3].Percent = 0.02 // neither grows nor warms itself
	d.Breads[0].Method[3].Chill = &schedule.Chill{Place: "Fridge", Least: 60, Most: 24 * 60}
	var out time.Time
	for i := range p.Tasks {
		switch k := &p.Tasks[i]; k.Kind {
		case schedule.Proof:
			out = k.Start.Add(12 * time.Hour)
			k.Chilled, k.Place, k.End = true, "Fridge", out.Add(5*time.Hour)
			k.Rescue = &schedule.Rescue{Kind: schedule.FinishWarm, Place: "Bench", From: out, To: k.End}
		case schedule.Bake:
			k.Start, k.End = out.Add(5*time.Hour), out.Add(6*time.Hour)
		}
	}
	traces, err := schedule.Traces(d, &p)
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, row := range []struct {
		hours time.Duration
		want  unit.Celsius
	}{{1, 9.9}, {2, 14.0}, {4, 19.3}} {
		at := out.Add(row.hours * time.Hour)
		for _, x := range traces[len(traces)-1].Points {
			if x.At.Sub(at).Abs() > 5*time.Minute {
				continue
			}
			if seen++; math.Abs(float64(x.Mean-row.want)) > 1.5 || x.Place != "Bench" {
				t.Errorf("%d h out of the cold: %v in %q, want %v", row.hours, x.Mean, x.Place, row.want)
			}
		}
	}
	if seen < 3 {
		t.Errorf("followed at %d of 3 moments", seen)
	}
}

// A dough behind in the cold is offered to come out now; it is then shaped by so
// much sooner that hardly anything is late, where waiting in the cold is late by
// hours. Then it is followed outside: what the plan says passes CheckFrom.
func TestTakenOut(t *testing.T) {
	t.Parallel()
	d := coldBall()
	p := planned(t, d)
	rise := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Rise })
	now := rise.End
	log := []schedule.Slip{{ID: "1", Kind: schedule.NotYet, Task: rise.ID, At: now, Minutes: 10}}
	cs := replan(t, d, &p, now, log...)
	for _, c := range cs {
		t.Log(sentence(d, c))
	}
	best := cs[0]
	if best.Kind != schedule.OutOfCold || len(best.Rescues) != 1 || best.Rescues[0].Kind != schedule.FinishWarm || best.Rescues[0].Place != "Bench" || !best.Rescues[0].From.Equal(now) {
		t.Fatalf("%s %+v", best.Kind, best.Rescues)
	}
	if best.AtRisk() > 0 || len(best.Broken) > 0 || best.LateTotal > 60 {
		t.Errorf("late %v, risks %v, broken %v", best.LateTotal, best.Risks, best.Broken)
	}
	calls := 0
	for _, a := range schedule.Alerts(&best.Plan) {
		if a.Kind == schedule.CallOut && a.Task == rise.ID && a.Due.Equal(now) {
			calls++
		}
	}
	if calls != 1 {
		t.Errorf("%d calls to take it out", calls)
	}
	// Half an hour on it is not ready yet: it stays outside, and is not put back.
	later := now.Add(30 * time.Minute)
	log = append(log, schedule.Slip{ID: "2", Kind: schedule.NotYet, Task: rise.ID, At: later, Minutes: 10})
	cs = replan(t, d, &best.Plan, later, log...)
	again := taskOf(t, &cs[0].Plan, func(k schedule.Task) bool { return k.ID == rise.ID })
	if r := again.Rescue; r == nil || r.Kind != schedule.FinishWarm || !r.From.Equal(now) || !r.To.Equal(again.End) || !again.Chilled {
		t.Errorf("half an hour on: %+v of %v", r, again)
	}
}

// A dough that has gone over in the cold hours before hands were to come is offered to
// be knocked back, where it stands; it goes far less too far than one that is only
// shaped as soon as may be, and nothing is late. Common practice, no source: dough that
// has risen too much overnight is knocked back and stands in the cold again.
func TestKnockedBackInCold(t *testing.T) {
	t.Parallel()
	d := coldBall()
	p := planned(t, d)
	rise := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Rise })
	now := rise.End.Add(-3 * time.Hour)
	cs := replan(t, d, &p, now, schedule.Slip{ID: "1", Kind: schedule.Over, Task: rise.ID, At: now})
	i := slices.IndexFunc(cs, func(c schedule.Choice) bool { return c.Kind == schedule.PressOnce })
	if i < 0 {
		for _, c := range cs {
			t.Log(sentence(d, c))
		}
		t.Fatal("it is not offered")
	}
	back := &cs[i]
	k := taskOf(t, &back.Plan, func(k schedule.Task) bool { return k.ID == rise.ID })
	if r := k.Rescue; r == nil || r.Kind != schedule.PressAgain || !r.From.Equal(now) || !k.Chilled || k.Place != "Fridge" {
		t.Errorf("%+v of %v in %q", r, k, k.Place)
	}
	calls := slices.DeleteFunc(schedule.Alerts(&back.Plan), func(a schedule.Alert) bool { return a.Task != rise.ID })
	want := []schedule.Alert{{Task: rise.ID, Kind: schedule.CallPress, Class: schedule.Due, Due: now}}
	if diff := cmp.Diff(want, calls); diff != "" {
		t.Errorf("calls of the rise (-want +got):\n%s", diff)
	}
	for _, c := range cs {
		if c.Kind != schedule.PressOnce && c.AtRisk() <= 2*back.AtRisk() || back.LateTotal > 0 {
			t.Errorf("%s; knocked back: %s", sentence(d, c), sentence(d, *back))
		}
	}
}
