package schedule_test

import (
	"slices"
	"testing"
	"time"

	"ovenward/schedule"
)

// tookAid is a log with what is said to take an aid.
func tookAid(log []schedule.Slip, a schedule.Aid) []schedule.Slip {
	out := slices.Clone(log)
	for i, s := range a.Slips {
		s.ID = "aid" + string(rune('0'+i))
		out = append(out, s)
	}
	return out
}

// Where every choice is late or broken, what would help is named, what costs
// customers nothing first. What can be said is said here: then some choice is on
// time and breaks nothing, as a repair shows that knows nothing of the aid.
func TestAids(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	first := p.Tasks[0].Start
	at := func(clock time.Duration) time.Time { // of the day of the bake
		return time.Date(2026, 11, 28, 0, 0, 0, 0, first.Location()).Add(clock)
	}
	for _, c := range []struct {
		name string
		now  time.Time
		slip schedule.Slip
		want []schedule.AidCode
	}{
		{"the first baker does not come", at(4*time.Hour + 45*time.Minute),
			schedule.Slip{Kind: schedule.Away, Of: d.Kitchen.Bakers[0].Name, To: at(7*time.Hour + 45*time.Minute)},
			[]schedule.AidCode{schedule.AidHands, schedule.AidLater}},
		{"the oven is out", at(6*time.Hour + 45*time.Minute),
			schedule.Slip{Kind: schedule.OvenOut, Of: d.Kitchen.Ovens[0].Name, To: at(8*time.Hour + 15*time.Minute)},
			[]schedule.AidCode{schedule.AidLater}},
		{"a large order comes in", at(5*time.Hour + 15*time.Minute),
			schedule.Slip{Kind: schedule.OrderAdded, New: &schedule.Order{Bread: "plain-bun", Pieces: 90, Ready: "2026-11-28T09:00", For: "the fair"}},
			[]schedule.AidCode{schedule.AidOven, schedule.AidLater}},
		{"an order comes in for too soon", at(5*time.Hour + 15*time.Minute),
			schedule.Slip{Kind: schedule.OrderAdded, New: &schedule.Order{Bread: "plain-bun", Pieces: 6, Ready: "2026-11-28T06:00"}},
			[]schedule.AidCode{schedule.AidLater, schedule.AidDrop}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			c.slip.ID, c.slip.At = "1", c.now
			log := []schedule.Slip{c.slip}
			cs := replan(t, d, &p, c.now, log...)
			if !schedule.Stuck(cs) {
				t.Fatalf("it is not stuck: %s", sentence(d, cs[0]))
			}
			aids, err := schedule.Aids(t.Context(), d, &p, log, c.now, cs)
			if err != nil {
				t.Fatal(err)
			}
			var got []schedule.AidCode
			for _, a := range aids {
				got = append(got, a.Code)
				taken := tookAid(log, a)
				if len(a.Slips) > 0 && !slices.ContainsFunc(replan(t, d, &p, c.now, taken...), func(x schedule.Choice) bool {
					found, err := schedule.CheckFrom(d, &x.Plan, taken, c.now)
					return err == nil && x.LateTotal == 0 && len(x.Broken) == 0 && !slices.ContainsFunc(found, func(v schedule.Violation) bool { return v.Code == schedule.LatePromise })
				}) {
					t.Errorf("%s does not help", a.Code)
				}
				if a.Code == schedule.AidHands && (!a.From.Before(a.To) || a.From.Before(c.now)) {
					t.Errorf("hands from %s to %s", a.From, a.To)
				}
			}
			for _, want := range c.want {
				if !slices.Contains(got, want) {
					t.Errorf("aids: %v, want %v", got, c.want)
				}
			}
			dear := []schedule.AidCode{schedule.AidHands, schedule.AidOven, schedule.AidLater, schedule.AidFewer, schedule.AidDrop, schedule.AidLeave}
			if len(got) > 3 || !slices.IsSortedFunc(got, func(a, b schedule.AidCode) int { return slices.Index(dear, a) - slices.Index(dear, b) }) {
				t.Errorf("aids: %v", got)
			}
		})
	}
}

// A day that keeps its promises is not stuck, nor is one a few minutes late.
func TestStuck(t *testing.T) {
	t.Parallel()
	late := schedule.Choice{Late: []schedule.Lateness{{By: 15}, {Was: 40}}}
	broken := schedule.Choice{Broken: []schedule.Violation{{Code: schedule.OffHours}}}
	raw := schedule.Choice{Risks: []schedule.Violation{{Code: schedule.TooEarly, By: 16}}}
	very := schedule.Choice{Late: []schedule.Lateness{{By: 16}}}
	for _, c := range []struct {
		cs   []schedule.Choice
		want bool
	}{{nil, false}, {[]schedule.Choice{{}}, false}, {[]schedule.Choice{late}, false}, {[]schedule.Choice{very, broken, raw}, true}, {[]schedule.Choice{very, late}, false}} {
		if got := schedule.Stuck(c.cs); got != c.want {
			t.Errorf("%+v: %v", c.cs, got)
		}
	}
}
