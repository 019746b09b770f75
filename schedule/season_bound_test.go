package schedule_test

import (
	"math"
	"slices"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// bound takes something away from a day's luck, to find how much of what is late
// is due to it; no plan can do better than have none of it.
type bound struct {
	steady   bool // doughs and rooms are as forecast
	punctual bool // everybody is there
	hot      bool // ovens heat at their pace
	foreseen bool // the morning's plan knows doughs, rooms and ovens of the day
}

// bounds are the arms that say what is to be gained, and where.
func bounds() []arm {
	arms := []arm{neither, both}
	for _, b := range []struct {
		name string
		bound
	}{
		{"doughs as forecast", bound{steady: true}},
		{"nobody late", bound{punctual: true}},
		{"ovens at their pace", bound{hot: true}},
		{"none of these", bound{steady: true, punctual: true, hot: true}},
		{"knowing the day", bound{foreseen: true}},
	} {
		for _, replans := range []bool{false, true} {
			a := arm{name: b.name, replans: replans, bound: b.bound}
			if replans {
				a.name = "  and replanning"
			}
			arms = append(arms, a)
		}
	}
	return arms
}

// in is the bakery with something taken away.
func (b *bakery) in(w bound) *bakery {
	c := *b
	c.bound = w
	if w.steady {
		c.nature = nature{}
	}
	return &c
}

// weather is by how much rooms are off their forecast on day n.
func (b *bakery) weather(n int) float64 {
	if b.steady {
		return 0
	}
	return b.room + 0.3*b.normal("weather", n)
}

// foresee is day n as it will be, but for its people. Of a dough's rises the day
// knows the mean.
func (b *bakery) foresee(d *schedule.Day, p *schedule.Plan, n int) *schedule.Day {
	known := *d
	known.Kitchen.Places = slices.Clone(d.Kitchen.Places)
	for i := range known.Kitchen.Places {
		if pl := &known.Kitchen.Places[i]; pl.Kind == schedule.Room {
			pl.Curve = slices.Clone(pl.Curve)
			for k := range pl.Curve {
				pl.Curve[k].Celsius += unit.Celsius(b.weather(n))
			}
		}
	}
	known.Kitchen.Ovens = slices.Clone(d.Kitchen.Ovens)
	for i := range known.Kitchen.Ovens {
		o := &known.Kitchen.Ovens[i]
		o.Heat = unit.Kelvins(float64(o.Heat) * b.misfortune(n).oven)
	}
	rises := map[string][]float64{}
	for i := range p.Batches {
		_, whole, portions, err := schedule.Lanes(d, p, i)
		if err != nil {
			panic(err) // a plan of its own day
		}
		for _, l := range append(portions, whole) {
			for _, beat := range l.Beats {
				if beat.Rises() && l.Dough != nil {
					ln := b.speed(riseName(l, beat.Stage.Kind), n)
					if scarce(&l.Dough.Recipe) {
						ln += b.nature.scarce
					}
					rises[l.Recipe()] = append(rises[l.Recipe()], ln)
				}
			}
		}
	}
	known.Learned = nil
	for id, lns := range rises { // any order: looked up by dough
		mean := 0.0
		for _, ln := range lns {
			mean += ln / float64(len(lns))
		}
		known.Learned = append(known.Learned, schedule.Learned{Dough: id, Pace: schedule.Pace{Speed: math.Exp(max(-math.Ln2, min(mean, math.Ln2))), SD: 0.1}})
	}
	slices.SortFunc(known.Learned, func(a, b schedule.Learned) int { return strings.Compare(a.Dough, b.Dough) })
	if known.Validate().Err() != nil {
		return d
	}
	return &known
}
