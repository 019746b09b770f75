package schedule

import (
	"cmp"
	"slices"

	"ovenward/schedule/solve"
)

// push is where repairing begins: everything in the order and by the hands it
// had, each as much later as what comes before it, the people and the oven make
// it. It is what people do by themselves; the search starts from it, for a small
// one seldom finds it. Jobs with something new in them are left out.
func (m *model) push() *solve.Plan {
	floor := map[workAt]int{}
	var x *pusher
	for range pushes {
		if x = m.pusher(floor); !x.run() {
			break
		}
	}
	for j := range x.plan.Jobs {
		if jp := &x.plan.Jobs[j]; jp.Ops != nil && !x.wait(j) {
			*jp = solve.JobPlan{}
		}
	}
	return &x.plan
}

// pushes bounds how often works are put later for what comes after them.
const pushes = 30

// workAt is a work by its job and place in it.
type workAt struct{ job, op int }

// pusher puts works where they can be, one after the other.
type pusher struct {
	*model
	plan  solve.Plan
	floor map[workAt]int // not before, for the sake of what comes after
	taken [][]int32      // of a resource, by minute
	uses  []solve.Lying
}

// pushed is a work to be placed.
type pushed struct {
	workAt
	*solve.Op
	task *Task // in the plan before
}

func (m *model) pusher(floor map[workAt]int) *pusher {
	x := &pusher{model: m, floor: floor, plan: solve.Plan{Jobs: make([]solve.JobPlan, len(m.problem.Jobs))}}
	for range m.problem.Resources {
		x.taken = append(x.taken, make([]int32, m.grid.slots+1))
	}
	return x
}

// run places all works. again says that one had to be put later for another, and
// all is to be placed anew.
func (x *pusher) run() (again bool) {
	var rest []pushed
	for j := range x.problem.Jobs {
		rest = append(rest, x.begin(j)...)
	}
	slices.SortStableFunc(rest, func(a, b pushed) int { return cmp.Compare(a.Was, b.Was) })
	for _, w := range rest {
		jp := &x.plan.Jobs[w.job]
		if jp.Ops == nil {
			continue
		}
		if ok, later := x.place(w); later {
			return true
		} else if !ok {
			*jp = solve.JobPlan{}
		}
	}
	return false
}

// begin takes over what is fixed of a job and gives the rest; nothing of a job
// that the plan before did not have.
func (x *pusher) begin(j int) (rest []pushed) {
	job := &x.problem.Jobs[j]
	if slices.ContainsFunc(job.Ops, func(o solve.Op) bool { return o.Fixed == solve.Free && o.Was == solve.Free }) {
		return nil
	}
	x.plan.Jobs[j].Ops = make([]solve.OpPlan, len(job.Ops))
	for k, p := range x.jobs[j].passages {
		for i := range p.at {
			at := x.jobs[j].first[k] + i
			w := pushed{workAt{j, at}, &job.Ops[at], p.past.task[i]}
			if w.Fixed == solve.Free {
				x.plan.Jobs[j].Ops[at].Start = solve.Free
				rest = append(rest, w)
				continue
			}
			x.book(w, w.Fixed, *w.FixedChoice)
		}
	}
	return rest
}

// book enters a work with what it holds.
func (x *pusher) book(w pushed, at int, c solve.Choice) {
	x.plan.Jobs[w.job].Ops[w.op] = solve.OpPlan{Start: at, Choice: c}
	for i, n := range w.Needs {
		for t := max(at+n.From, 0); t < min(at+n.End(w.Dur), x.grid.slots); t++ {
			x.taken[c.Needs[i]][t] += n.Amount
		}
	}
	if u := w.Machine; u != nil {
		x.uses = append(x.uses, solve.Lying{Use: u, Choice: c, From: at, To: at + w.Dur})
	}
}

// place puts a work where it was or later; earlier only where its dough does not
// wait. Where that is too late for its dough, what comes before is to be later.
func (x *pusher) place(w pushed) (ok, later bool) {
	least, most := max(x.problem.Now, w.Release, x.floor[w.workAt]), x.grid.slots-w.Dur
	tight := -1 // what comes before and does not let it be later
	for _, l := range x.problem.Jobs[w.job].Links {
		if l.To != w.op {
			continue
		}
		from := &x.plan.Jobs[w.job].Ops[l.From]
		if from.Start == solve.Free {
			return false, false
		}
		end := from.Start + x.problem.Jobs[w.job].Ops[l.From].Dur
		lo, hi := x.grid.slots, -1
		for i := range l.Modes {
			if a, b := bounds(&l.Modes[i], end); l.Modes[i].Name != "broken" && a <= b {
				lo, hi = min(lo, a), max(hi, b)
			}
		}
		if least = max(least, end+lo); end+hi < most {
			most, tight = end+hi, l.From
		}
	}
	for t := max(least, min(w.Was, most)); t <= x.grid.slots-w.Dur; t++ {
		c, ok := x.fits(w, t)
		switch {
		case ok && t <= most:
			x.book(w, t, c)
			return true, false
		case ok && x.problem.Jobs[w.job].Ops[tight].Fixed == solve.Free:
			x.floor[workAt{w.job, tight}] = x.plan.Jobs[w.job].Ops[tight].Start + t - most
			return false, true
		case ok:
			return false, false
		}
	}
	return false, false
}

// bounds of a wait that begins at a minute.
func bounds(m *solve.Mode, end int) (least, most int) {
	if m.Window != nil {
		end = clampIndex(end, len(m.Window.Min))
		return int(m.Window.Min[end]), int(m.Window.Max[end])
	}
	return m.Min, m.Max
}

// fits says whether a work can begin at a minute, and with whom and where: as
// before if that can be.
func (x *pusher) fits(w pushed, t int) (c solve.Choice, ok bool) {
	c = *x.choiceOf(w.Op, w.task, t)
	for i, n := range w.Needs {
		if free := func(r int) bool { return x.spare(r, n.Amount, t+n.From, t+n.End(w.Dur)) }; !free(c.Needs[i]) {
			k := slices.IndexFunc(n.Any, free)
			if k < 0 {
				return c, false
			}
			c.Needs[i] = n.Any[k]
		}
	}
	if w.Machine == nil {
		return c, true
	}
	for _, m := range append([]int{c.Machine}, w.Machine.Any...) {
		if x.admits(w, m, t) {
			if c.Spread, ok = x.problem.Spread(w.Machine, m, x.uses, t, t+w.Dur); ok {
				c.Machine = m
				return c, true
			}
		}
	}
	return c, false
}

// spare says whether there is so much left of a resource.
func (x *pusher) spare(r int, amount int32, from, to int) bool {
	caps := x.problem.Resources[r].Cap
	for t := from; t < min(to, x.grid.slots); t++ {
		if has := caps[min(t, len(caps)-1)]; x.taken[r][t]+amount > has {
			return false
		}
	}
	return true
}

// admits says whether a machine takes a work at a minute beside what is in it.
func (x *pusher) admits(w pushed, machine, t int) bool {
	m, u, end := &x.problem.Machines[machine], w.Machine, t+w.Dur
	if m.Cold != nil && t < x.problem.Now+m.Cold[u.Profile] {
		return false
	}
	if slices.ContainsFunc(m.Closed, func(c solve.Interval) bool { return t < c.To && c.From < end }) {
		return false
	}
	places := u.Places
	for _, o := range x.uses {
		p, q := o.Use.Profile, u.Profile
		switch join := x.problem.Join[q]; {
		case o.Choice.Machine != machine, t >= o.To+x.problem.Setup[p][q], o.From >= end+x.problem.Setup[q][p]:
			continue
		case p != q, join >= 0 && max(t-o.From, o.From-t) > join:
			return false
		}
		if t < o.To && o.From < end {
			places += o.Use.Places
		}
	}
	return places <= m.Cap
}

// wait finds the cheapest way for every wait of a job.
func (x *pusher) wait(j int) bool {
	job, jp := &x.problem.Jobs[j], &x.plan.Jobs[j]
	for _, l := range job.Links {
		end, best := jp.Ops[l.From].Start+job.Ops[l.From].Dur, -1
		history := job.Ops[l.From].Fixed != solve.Free && job.Ops[l.To].Fixed != solve.Free
		for i := range l.Modes {
			least, most := bounds(&l.Modes[i], end)
			is := jp.Ops[l.To].Start - end
			if history || least <= is && is <= most {
				if best < 0 || l.Modes[i].Cost < l.Modes[best].Cost && !history {
					best = i
				}
			}
		}
		if best < 0 {
			return false
		}
		lp := solve.LinkPlan{Mode: best}
		for _, h := range l.Modes[best].Space {
			lp.Space = append(lp.Space, h.Any[0])
		}
		jp.Links = append(jp.Links, lp)
	}
	return true
}
