package schedule

import (
	"cmp"
	"context"
	"fmt"
	"math"
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
	o.Notes = append(notes(d, p), best.lateFolds()...)
	var err error
	o.LeastLate, err = best.leastLate(ctx)
	return o, err
}

// leastLate says whether it is proved that no plan is less late.
func (s *solved) leastLate(ctx context.Context) (bool, error) {
	if s.relaxed {
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
		said := slices.ContainsFunc(ns, func(n Note) bool { return n.Of == t.Name })
		if t.Kind == Mix && t.Part == "" && t.Portion == "" && t.Mixer == "" && !said && machineMix(d, p, t) {
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

// lateFolds are folds at times at which the dough has long been ready: the note
// has the fold's minutes after the rise began, and since how many it is ready.
func (m *model) lateFolds() []Note {
	var ns []Note
	for _, j := range m.jobs {
		for _, p := range j.passages {
			for i, wt := range p.strand.waits {
				if wt.minutes == 0 || !p.rising(i) || p.past.fixed(i+1) {
					continue
				}
				ready := int(math.Ceil(float64(p.at[i+1]) - m.walker.window(p, i).Ready))
				n := Note{Code: "late-fold", Of: p.strand.name, Num: float64(p.strand.stage(wt.stage).FoldTimes[p.strand.works[i+1].fold-1]), By: unit.Minutes(ready)}
				if ready > 0 && !slices.ContainsFunc(ns, func(o Note) bool { return o.Of == n.Of && o.Num == n.Num }) {
					ns = append(ns, n)
				}
			}
		}
	}
	return ns
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
