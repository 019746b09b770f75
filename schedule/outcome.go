package schedule

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"ovenward/schedule/solve"
	"ovenward/schedule/unit"
)

// outcome sums a plan up: figures, what is late or broken, and why.
func outcome(ctx context.Context, d *Day, best *solved, p *Plan) (Outcome, error) {
	o := Outcome{Steps: best.steps}
	o.LateTotal = lateness(d, p)
	o.Broken = broken(Check(d, p))
	o.Kept = o.LateTotal == 0 && len(o.Broken) == 0
	o.workday(p)
	o.Notes = notes(d, p)
	var err error
	o.LeastLate, err = best.leastLate(ctx)
	return o, err
}

// leastLate says whether it is proved that no plan is less late. Where something
// is kept in hand, that counts as late, and nothing is proved.
func (s *solved) leastLate(ctx context.Context) (bool, error) {
	if s.relaxed || s.late() > 0 && s.choices.reserve > 0 {
		return false, nil
	}
	if s.late() == 0 {
		return true, nil
	}
	late := s.result.Plan.Cost.Late
	bound, err := solve.LateBound(ctx, s.problem, late, 0)
	if err != nil {
		return false, fmt.Errorf("schedule: %w", err)
	}
	return bound == late, nil
}

// broken leaves out lateness, which is counted apart.
func broken(vs []Violation) []Violation {
	return slices.DeleteFunc(vs, func(v Violation) bool { return v.Code == LatePromise })
}

// lateness is the weighted minutes past promises.
func lateness(d *Day, p *Plan) (late unit.Minutes) {
	for _, t := range p.Tasks {
		if t.Late > 0 {
			late += t.Late * unit.Minutes(max(1, d.Orders[p.portion(t.Portion).Order].Weight))
		}
	}
	return late
}

// Late is how late order i is in the plan, 0 for in time.
func (p *Plan) Late(i int) (late time.Duration) {
	for _, t := range p.Tasks {
		if t.Late > 0 && p.portion(t.Portion).Order == i {
			late = max(late, time.Duration(t.Late)*time.Minute)
		}
	}
	return late
}

// workday takes start, end, hands and the longest pause from the tasks.
func (o *Outcome) workday(p *Plan) {
	var hands []Hands
	for _, t := range p.Tasks {
		hands = append(hands, t.Hands...)
	}
	slices.SortFunc(hands, func(a, b Hands) int { return cmp.Or(a.From.Compare(b.From), a.To.Compare(b.To)) })
	for i, h := range hands {
		o.HandsTotal += unit.Minutes(h.To.Sub(h.From).Minutes())
		if i == 0 {
			o.WorkStart, o.WorkEnd = h.From, h.To
			continue
		}
		if pause := unit.Minutes(h.From.Sub(o.WorkEnd).Minutes()); pause > o.Pause {
			o.Pause = pause
		}
		if h.To.After(o.WorkEnd) {
			o.WorkEnd = h.To
		}
	}
}

// notes are what is worth knowing about a plan that breaks nothing.
func notes(d *Day, p *Plan) []Note {
	var ns []Note
	for _, t := range p.Tasks {
		if t.Kind == Mix && t.Part == "" && t.Portion == "" && t.Mixer == "" && machineMix(d, p, t) {
			ns = append(ns, Note{Code: "below-mixer", Of: t.Name, Num: float64(t.Mass)})
		}
	}
	if len(p.Tasks) > 0 {
		first, last := p.Tasks[0].Start, p.Tasks[len(p.Tasks)-1].End
		if _, end := first.ZoneBounds(); !end.IsZero() && end.Before(last) {
			ns = append(ns, Note{Code: "clocks-change", At: &end})
		}
	}
	return append(ns, AlertLoad(Alerts(p))...)
}

// machineMix says whether the mix wanted a mixer.
func machineMix(d *Day, p *Plan, t Task) bool {
	i := slices.IndexFunc(p.Batches, func(b Batch) bool { return b.ID == t.Batch })
	b, ok := d.Bread(p.Batches[i].Portions[0].Bread)
	if !ok {
		return false
	}
	r, _ := d.recipeOf(b)
	return t.Stage < len(r.whole) && r.whole[t.Stage].Machine
}

// A relief is one thing more in the kitchen, tried to find what binds.
type relief struct {
	reason ReasonCode
	way    string
	of     string
	change func(d *Day)
}

// reliefs lists what is tried, the likeliest to be had first.
func reliefs(d *Day) []relief {
	clock := func(from, to Clock) []Hours { return []Hours{{from, to}} }
	rs := []relief{
		{ByHands, "hands", "", func(d *Day) {
			d.Kitchen.Bakers = append(slices.Clone(d.Kitchen.Bakers), Baker{Name: "+", Hours: clock(0, 24*60)})
		}},
		{ByOven, "oven", "", func(d *Day) {
			ovens := slices.Clone(d.Kitchen.Ovens)
			for _, o := range d.Kitchen.Ovens {
				o.Name += " +"
				ovens = append(ovens, o)
			}
			d.Kitchen.Ovens = ovens
		}},
	}
	if len(d.Kitchen.Mixers) > 0 {
		rs = append(rs, relief{ByMixer, "mixer", "", func(d *Day) {
			m := d.Kitchen.Mixers[0]
			m.Name += " +"
			d.Kitchen.Mixers = append(slices.Clone(d.Kitchen.Mixers), m)
		}})
	}
	for i, p := range d.Kitchen.Places {
		if p.Spaces > 0 {
			rs = append(rs, relief{BySpace, "space", p.Name, func(d *Day) {
				d.Kitchen.Places = slices.Clone(d.Kitchen.Places)
				d.Kitchen.Places[i].Spaces *= 2
			}})
		}
	}
	for i, t := range d.Kitchen.Tins {
		rs = append(rs, relief{ByTin, "tins", t.Name, func(d *Day) {
			d.Kitchen.Tins = slices.Clone(d.Kitchen.Tins)
			d.Kitchen.Tins[i].Count *= 2
		}})
	}
	return append(rs, relief{ByNow, "now", "", func(d *Day) {
		loc, _ := d.Location()
		now, _ := d.Now.In(loc)
		d.Now = WallOf(now.Add(-12 * time.Hour))
	}})
}

// waysOut tries every relief and returns the one that helps most as what binds,
// and up to three that help at all. Where none does, the time left binds.
func waysOut(ctx context.Context, d *Day, s Settings, now *Plan) (*Reason, []WayOut) {
	type tried struct {
		relief
		bad  int
		late unit.Minutes
	}
	o := now.Outcome
	keeping := 0 // reliefs that keep everything
	var all []tried
	for _, r := range reliefs(d) {
		eased := *d
		eased.Settings = s
		r.change(&eased)
		best, err := attempt(ctx, &eased, choices{once: true})
		if err != nil {
			continue
		}
		t := tried{r, len(best.result.Plan.Unplaced), unit.Minutes(best.late())}
		all = append(all, t)
		if t.bad == 0 && t.late == 0 {
			if keeping++; keeping == 2 {
				break
			}
		}
	}
	bad := min(1, len(o.Broken))
	all = slices.DeleteFunc(all, func(t tried) bool {
		return t.bad > bad || t.bad == bad && t.late >= o.LateTotal
	})
	slices.SortStableFunc(all, func(a, b tried) int { return cmp.Or(cmp.Compare(a.bad, b.bad), cmp.Compare(a.late, b.late)) })
	binding := &Reason{Code: ByReady}
	var ways []WayOut
	for i, t := range all {
		if i == 0 {
			binding = &Reason{Code: t.reason, Of: t.of}
		}
		if t.reason != ByNow && len(ways) < 2 {
			ways = append(ways, WayOut{Code: t.way, Of: t.of, Late: t.late})
		}
	}
	if late := latest(now); late > 0 && len(o.Broken) == 0 {
		ways = append(ways, WayOut{Code: "promise", By: late})
	}
	return binding, ways
}

// latest is by how much the promises would have to move to be kept.
func latest(p *Plan) (late unit.Minutes) {
	for _, t := range p.Tasks {
		late = max(late, t.Late)
	}
	return late
}
