package schedule_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// rushDay is a day of n orders all wanted within two hours, some sooner than can be.
func rushDay(tb testing.TB, seed uint64, n int) *schedule.Day {
	tb.Helper()
	d := randomDayOf(tb, seed, n)
	loc, err := d.Location()
	if err != nil {
		tb.Fatal(err)
	}
	now, err := d.Now.In(loc)
	if err != nil {
		tb.Fatal(err)
	}
	r := rand.New(rand.NewPCG(seed, 11))
	first := now.Add(time.Duration(16+r.IntN(20)) * 15 * time.Minute).Truncate(15 * time.Minute)
	for i := range d.Orders {
		o := &d.Orders[i]
		o.Out, o.Ready = schedule.WallOf(first.Add(time.Duration(r.IntN(9))*15*time.Minute)), ""
	}
	if err := d.Validate().Err(); err != nil {
		tb.Fatal(err)
	}
	return d
}

// amiss sums up what a baker would say is wrong: promises broken, then lateness.
func amiss(p *schedule.Plan) [2]unit.Minutes {
	return [2]unit.Minutes{unit.Minutes(min(1, len(p.Outcome.Broken))), p.Outcome.LateTotal}
}

func worseOff(a, b *schedule.Plan) bool {
	x, y := amiss(a), amiss(b)
	return slices.Compare(x[:], y[:]) > 0
}

// rushed runs f on days in which not every promise can be kept.
func rushed(t *testing.T, f func(t *testing.T, seed uint64, d *schedule.Day)) {
	for seed := range invented() / 8 {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			f(t, seed, rushDay(t, 500+seed, 2+int(seed%4)))
		})
	}
}

// copied is a day to be changed.
func copied(d *schedule.Day) *schedule.Day {
	c := *d
	c.Orders = slices.Clone(d.Orders)
	c.Kitchen.Ovens, c.Kitchen.Bakers = slices.Clone(d.Kitchen.Ovens), slices.Clone(d.Kitchen.Bakers)
	return &c
}

// A longer search is never later.
func TestMoreStepsAreNeverLater(t *testing.T) {
	t.Parallel()
	rushed(t, func(t *testing.T, _ uint64, d *schedule.Day) {
		var last schedule.Plan
		for i, steps := range []int{1, 150, 500, 1700} {
			d.Settings.Steps = steps
			p := planned(t, d)
			if i > 0 && worseOff(&p, &last) {
				t.Errorf("%d steps: %v, fewer: %v", steps, amiss(&p), amiss(&last))
			}
			last = p
		}
	})
}

// The sequence in which orders are written down does not matter.
func TestSequenceOfOrders(t *testing.T) {
	t.Parallel()
	rushed(t, func(t *testing.T, seed uint64, d *schedule.Day) {
		d.Settings.Steps = 1
		p := planned(t, d)
		if again := planned(t, d); !bytes.Equal(inJSON(t, p), inJSON(t, again)) {
			t.Error("two plans of one day differ")
		}
		c := copied(d)
		at := rand.New(rand.NewPCG(seed, 1)).Perm(len(d.Orders))
		for i, k := range at {
			c.Orders[k] = d.Orders[i]
		}
		q := planned(t, c)
		for i := range p.Batches {
			for k := range p.Batches[i].Portions {
				o := &p.Batches[i].Portions[k].Order
				*o = at[*o]
			}
		}
		for i := range p.Outcome.WaysOut {
			if o := &p.Outcome.WaysOut[i].Order; *o > 0 {
				*o = at[*o-1] + 1
			}
		}
		if a, b := inJSON(t, p), inJSON(t, q); !bytes.Equal(a, b) {
			t.Errorf("another plan in another sequence:\n%s\n%s", a, b)
		}
	})
}

// With an oven more, another pair of hands, or later promises, nothing is later.
func TestWiderKitchenIsNeverLater(t *testing.T) {
	t.Parallel()
	rushed(t, func(t *testing.T, _ uint64, d *schedule.Day) {
		p := planned(t, d)
		for what, widen := range map[string]func(c *schedule.Day){
			"oven": func(c *schedule.Day) {
				o := c.Kitchen.Ovens[0]
				o.Name = "Another"
				c.Kitchen.Ovens = append(c.Kitchen.Ovens, o)
			},
			"hands": func(c *schedule.Day) {
				c.Kitchen.Bakers = append(c.Kitchen.Bakers, schedule.Baker{Name: "Another", Hours: []schedule.Hours{{From: 0, To: 24 * 60}}})
			},
			"promises": func(c *schedule.Day) {
				loc, _ := c.Location()
				for i := range c.Orders {
					at, err := c.Orders[i].Out.In(loc)
					if err != nil {
						t.Fatal(err)
					}
					c.Orders[i].Out = schedule.WallOf(at.Add(45 * time.Minute))
				}
			},
		} {
			c := copied(d)
			widen(c)
			if q := planned(t, c); worseOff(&q, &p) {
				t.Errorf("with more of %s: %v, without: %v", what, amiss(&q), amiss(&p))
			}
		}
	})
}

// One order more makes the rest no sooner: what was proved least stays it.
func TestMoreOrdersAreNeverSooner(t *testing.T) {
	t.Parallel()
	rushed(t, func(t *testing.T, _ uint64, d *schedule.Day) {
		p := planned(t, d)
		c := copied(d)
		c.Orders = append(c.Orders, c.Orders[0])
		if q := planned(t, c); worseOff(&p, &q) && (p.Outcome.LeastLate || len(p.Outcome.Broken) > 0) {
			t.Errorf("%v, with an order more only %v", amiss(&p), amiss(&q))
		}
	})
}
