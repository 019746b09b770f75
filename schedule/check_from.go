package schedule

import (
	"cmp"
	"math"
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// CheckFrom judges what a plan under way still holds for, given its log: what
// Check finds, without what lies before now and without what was left out on
// purpose. Rises of doughs that were seen to be other than forecast, or are
// moved by a rescue, are judged by what they have become; so are ovens that
// cannot be used or are not hot by then, and the shelf a rescue takes. d is the
// day as it was before the log.
func CheckFrom(d *Day, p *Plan, log []Slip, now time.Time) ([]Violation, error) {
	r, err := newRepair(d, p, log, now, d.Settings, false)
	if err != nil {
		return nil, err
	}
	return r.check(p), nil
}

// check judges a plan from now on.
func (r *repair) check(p *Plan) []Violation {
	tasks := map[string]*Task{}
	own := map[string]bool{} // batches whose rises are judged here
	for i := range p.Tasks {
		t := &p.Tasks[i]
		tasks[t.ID] = t
		own[t.Batch] = own[t.Batch] || t.Rescue != nil || r.seen.on(t.Batch)
	}
	out := slices.DeleteFunc(Check(r.day, p), func(v Violation) bool {
		t := tasks[v.Task]
		switch {
		case v.Code == BeforeNow, v.At.Before(r.now) && v.Task != "":
			return true
		case t == nil:
			return false
		case r.skipped(t):
			return true
		case v.Code == BadWait && t.Rescue != nil && t.Rescue.Kind == FinishWarm:
			return true // how long it may stand in the cold is of no account
		case v.Code == TooEarly, v.Code == TooLate, v.Code == BadWait && t.Kind == Fold:
			return own[t.Batch]
		}
		return false
	})
	for i := range p.Batches {
		if own[p.Batches[i].ID] {
			out = append(out, r.ripe(p, i, tasks)...)
		}
	}
	out = append(out, r.closures(p)...)
	out = append(out, r.unheated(p)...)
	out = append(out, r.shelves(p)...)
	slices.SortFunc(out, func(a, b Violation) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Code, b.Code), cmp.Compare(a.Task, b.Task), cmp.Compare(a.Of, b.Of))
	})
	return out
}

// skipped says whether a task, or the one it follows, was left out.
func (r *repair) skipped(t *Task) bool {
	return slices.ContainsFunc(r.log, func(s Slip) bool {
		return s.Kind == Skipped && (s.Task == t.ID || batchOf(s.Task) == t.Batch && !t.Start.Before(s.At) && t.Kind == Fold)
	})
}

// ripe judges the rises of batch i that end from now on, by the doughs as they
// were seen and rescued.
func (r *repair) ripe(p *Plan, i int, tasks map[string]*Task) []Violation {
	k := slices.IndexFunc(r.trees, func(t *tree) bool { return t.batch.ID == p.Batches[i].ID })
	if k < 0 {
		return nil
	}
	b := &jobModel{tree: plant(r.day, r.trees[k].batch)}
	for _, st := range slices.Concat(b.tree.parts, []*strand{b.tree.trunk}, b.tree.branches) {
		pa, err := passageOf(st, r.grid, tasks)
		if err != nil {
			return nil // reported by Check
		}
		b.passages = append(b.passages, pa)
	}
	w := r.walker()
	if err := w.batch(b.tree, b.passages, false); err != nil {
		return nil
	}
	var out []Violation
	b.rises(func(pa *passage, wait, end int) {
		if end < r.minute {
			return
		}
		v := w.window(pa, wait)
		add := func(code ViolationCode, by float64) {
			out = append(out, Violation{Code: code, Task: b.after(pa, wait, end), At: r.grid.at(end), By: minutesOf(by)})
		}
		switch e := float64(end); {
		case e+riseTolerance < v.Ready && !r.said(pa, wait, end):
			add(TooEarly, v.Ready-e)
		case e-riseTolerance > v.TooFar:
			add(TooLate, e-v.TooFar)
		}
	})
	return out
}

// said says whether somebody found a rise ready by the minute it is ended.
func (r *repair) said(p *passage, wait, end int) bool {
	id := p.strand.taskID(p.strand.waits[wait].stage, 0)
	return slices.ContainsFunc(r.log, func(s Slip) bool {
		return s.Task == id && (s.Kind == Ready || s.Kind == Over || s.Kind == Done) && r.grid.minute(s.At) <= end
	})
}

// after is the task a rise is ended by, else the rise itself.
func (j *jobModel) after(p *passage, wait, end int) string {
	id := func(q *passage, i int) string {
		wk := q.strand.works[i]
		return q.strand.taskID(wk.stage, wk.fold)
	}
	next := ""
	if wait+1 < len(p.at) {
		next = id(p, wait+1)
	} else if p.strand.part == "" && p.strand.portion == nil {
		for _, q := range j.passages[len(j.tree.parts)+1:] {
			if q.at[0] == end && next == "" {
				next = id(q, 0)
			}
		}
	}
	if next == "" {
		return p.strand.taskID(p.strand.waits[wait].stage, 0)
	}
	return next
}

// closures reports bakes in ovens that cannot be used.
func (r *repair) closures(p *Plan) []Violation {
	var out []Violation
	for _, t := range p.Tasks {
		for _, c := range r.closed[t.Oven] {
			if t.Kind == Bake && !t.End.Before(r.now) && t.Start.Before(c.to) && t.End.After(c.from) {
				out = append(out, Violation{Code: OvenHeat, Task: t.ID, Of: t.Oven, At: t.Start, By: minutesOf(c.to.Sub(t.Start).Minutes())})
			}
		}
	}
	return out
}

// unheated reports the next bake of an empty oven that is not hot by then, as it
// has been lit and as it heats.
func (r *repair) unheated(p *Plan) []Violation {
	var out []Violation
	for i := range r.day.Kitchen.Ovens {
		o := &r.day.Kitchen.Ovens[i]
		var next *Task
		inside := false
		for k := range p.Tasks { // by start
			if t := &p.Tasks[k]; t.Kind != Bake || t.Oven != o.Name {
				continue
			} else if t.Start.Before(r.now) {
				inside = inside || t.End.After(r.now)
			} else if next == nil {
				next = t
			}
		}
		if next == nil || inside {
			continue
		}
		f := r.fireOf(o)
		if lack := minutes(o.Change(f.celsius, next.Celsius)) - next.Start.Sub(f.at); lack > time.Minute {
			out = append(out, Violation{Code: OvenHeat, Task: next.ID, Of: o.Name, At: next.Start, By: minutesOf(lack.Minutes())})
		}
	}
	return out
}

// shelves reports rescues for which the place they need has no room.
func (r *repair) shelves(p *Plan) []Violation {
	var out []Violation
	need := func(t *Task) int {
		if t.Portion != "" {
			return p.portion(t.Portion).Trays
		}
		return r.day.Kitchen.tubs(t.Mass)
	}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if t.Rescue == nil || t.Rescue.Place == "" || t.Rescue.To.Before(r.now) {
			continue
		}
		place, ok := r.day.Kitchen.Place(t.Rescue.Place)
		taken := need(t)
		for k := range p.Tasks {
			o := &p.Tasks[k]
			from, to := o.Start, o.End
			if o.Rescue != nil && o.Rescue.Place == t.Rescue.Place {
				from, to = o.Rescue.From, o.Rescue.To
			} else if o.Place != t.Rescue.Place {
				continue
			}
			if k != i && !from.After(t.Rescue.From) && to.After(t.Rescue.From) {
				taken += need(o)
			}
		}
		if ok && place.Spaces > 0 && taken > place.Spaces {
			out = append(out, Violation{Code: SpaceFull, Task: t.ID, Of: place.Name, At: t.Rescue.From})
		}
	}
	return out
}

// minutesOf rounds a length of time up.
func minutesOf(m float64) unit.Minutes { return unit.Minutes(math.Ceil(m)) }
