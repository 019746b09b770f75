package solve

import "slices"

// Kind says what keeps an operation where it is.
type Kind int

const (
	// Nothing: the operation could move by a slot at no cost.
	Nothing Kind = iota
	// Frozen: Reason.Op is fixed.
	Frozen
	// Horizon: Reason.Op would start before now or end after the last slot.
	Horizon
	// Released: Reason.Op would start before its release.
	Released
	// WindowEnd: the wait on Reason.Link would be too short or too long, and
	// its other end cannot give way.
	WindowEnd
	// Busy: Reason.Resource is held by Reason.ByJob.
	Busy
	// Short: there is not enough of Reason.Resource, whoever holds it.
	Short
	// MachineBusy: Reason.Machine is used by Reason.ByJob, or on its way
	// between that use's profile and this one's.
	MachineBusy
	// MachineShut: Reason.Machine is closed or still cold.
	MachineShut
	// Promise: Reason.Op would be late or later, or earlier than promised.
	Promise
	// Moved: Reason.Op would be farther from where it was.
	Moved
)

// Reason is why an operation does not start a slot later, or earlier. What
// does not apply is -1.
type Reason struct {
	Kind Kind
	// Op is the operation of the same job that is hindered: the one asked for,
	// or another that would have to move along with it. Link is the wait that is.
	Op, Link int
	// Resource and Machine are what is wanted at slot At.
	Resource, Machine, At int
	// ByJob and either ByOp or ByLink hold it.
	ByJob, ByOp, ByLink int
}

// Binding tells what keeps an operation of a plan that Check accepts from
// starting a slot later and a slot earlier, all choices and other jobs as they
// are. Operations tied by a window that has no slack move along.
func Binding(p *Problem, plan *Plan, job, op int) (later, earlier Reason) {
	if slices.Contains(plan.Unplaced, job) {
		return none(Nothing), none(Nothing)
	}
	return nudge(p, plan, job, op, 1), nudge(p, plan, job, op, -1)
}

func none(k Kind) Reason {
	return Reason{Kind: k, Op: -1, Link: -1, Resource: -1, Machine: -1, At: -1, ByJob: -1, ByOp: -1, ByLink: -1}
}

// nudged is a job with some operations shifted by a slot.
type nudged struct {
	p     *Problem
	plan  *Plan
	job   int
	shift int
	moved []bool
}

func nudge(p *Problem, plan *Plan, job, op, shift int) Reason {
	n := nudged{p, plan, job, shift, make([]bool, len(p.Jobs[job].Ops))}
	n.moved[op] = true
	for _, find := range []func() (Reason, bool){n.drag, n.bounds, n.holdings, n.machines, n.costs} {
		if r, ok := find(); ok {
			return r
		}
	}
	return none(Nothing)
}

func (n *nudged) start(i int) int {
	if n.moved[i] {
		return n.plan.Jobs[n.job].Ops[i].Start + n.shift
	}
	return n.plan.Jobs[n.job].Ops[i].Start
}

// drag moves along whatever a window without slack ties to what moves.
func (n *nudged) drag() (Reason, bool) {
	job := &n.p.Jobs[n.job]
	for range job.Ops {
		for i := range job.Links {
			l := &job.Links[i]
			if n.moved[l.From] == n.moved[l.To] && !n.moved[l.From] || n.allows(i) {
				continue
			}
			other := l.To
			if n.moved[l.To] {
				other = l.From
			}
			if n.moved[other] || job.Ops[other].Fixed != Free {
				r := none(WindowEnd)
				r.Link, r.Op = i, other
				return r, true
			}
			n.moved[other] = true
		}
	}
	return Reason{}, false
}

func (n *nudged) allows(i int) bool {
	l := &n.p.Jobs[n.job].Links[i]
	m := &l.Modes[n.plan.Jobs[n.job].Links[i].Mode]
	end := n.start(l.From) + n.p.Jobs[n.job].Ops[l.From].Dur
	wait := n.start(l.To) - end
	if m.Window == nil {
		return wait >= m.Min && wait <= m.Max
	}
	return end >= 0 && end <= n.p.Slots && wait >= int(m.Window.Min[end]) && wait <= int(m.Window.Max[end])
}

func (n *nudged) bounds() (Reason, bool) {
	for i, moved := range n.moved {
		o, t, kind := &n.p.Jobs[n.job].Ops[i], n.start(i), Nothing
		switch {
		case !moved:
		case o.Fixed != Free:
			kind = Frozen
		case t < n.p.Now || t+o.Dur > n.p.Slots:
			kind = Horizon
		case t < o.Release:
			kind = Released
		}
		if kind != Nothing {
			r := none(kind)
			r.Op = i
			return r, true
		}
	}
	return Reason{}, false
}

// held lists what job j holds, with the starts given.
func held(p *Problem, plan *Plan, j int, start func(i int) int) []taking {
	var out []taking
	job, jp := &p.Jobs[j], &plan.Jobs[j]
	for i := range jp.Ops {
		for k, need := range job.Ops[i].Needs {
			out = append(out, taking{j, i, -1, jp.Ops[i].Needs[k], start(i) + need.From, start(i) + need.End(job.Ops[i].Dur), int64(need.Amount), false})
		}
	}
	for i := range jp.Links {
		l := &job.Links[i]
		for k, h := range l.Modes[jp.Links[i].Mode].Space {
			out = append(out, taking{j, -1, i, jp.Links[i].Space[k], start(l.From) + job.Ops[l.From].Dur, start(l.To), int64(h.Amount), false})
		}
	}
	return out
}

// holdings looks for a resource that the job would want more of than there is.
func (n *nudged) holdings() (Reason, bool) {
	mine := held(n.p, n.plan, n.job, n.start)
	before := held(n.p, n.plan, n.job, func(i int) int { return n.plan.Jobs[n.job].Ops[i].Start })
	all := slices.Clone(mine)
	for j := range n.plan.Jobs {
		if j != n.job {
			all = append(all, held(n.p, n.plan, j, func(i int) int { return n.plan.Jobs[j].Ops[i].Start })...)
		}
	}
	for k, a := range mine {
		for t := max(a.from, n.p.Now); t < a.to && t < n.p.Slots; t++ {
			if before[k].from <= t && t < before[k].to {
				continue // held already
			}
			sum := int64(0)
			r := none(Short)
			r.Op, r.Link, r.Resource, r.At = a.op, a.link, a.resource, t
			for _, b := range all {
				if b.resource == a.resource && b.from <= t && t < b.to {
					sum += b.amount
					if b.job != n.job && r.Kind == Short {
						r.Kind, r.ByJob, r.ByOp, r.ByLink = Busy, b.job, b.op, b.link
					}
				}
			}
			room := capacity(n.p.Resources[a.resource].Cap, t)
			if sum > room {
				if room < a.amount {
					r.Kind, r.ByJob, r.ByOp, r.ByLink = Short, -1, -1, -1
				}
				return r, true
			}
		}
	}
	return Reason{}, false
}

// machines looks for a machine that would not do, with Check's eyes.
func (n *nudged) machines() (Reason, bool) {
	for i, moved := range n.moved {
		o := &n.p.Jobs[n.job].Ops[i]
		if !moved || o.Machine == nil {
			continue
		}
		m := n.plan.Jobs[n.job].Ops[i].Machine
		mine := using{n.job, i, m, n.start(i), n.start(i) + o.Dur, o.Machine, false}
		r := none(MachineShut)
		r.Op, r.Machine, r.At = i, m, mine.from
		c := checker{p: n.p}
		if c.loneUse(mine); len(c.found) > 0 {
			return r, true
		}
		r.Kind = MachineBusy
		c.uses = append(c.uses, mine)
		for j := range n.plan.Jobs {
			for k := range n.plan.Jobs[j].Ops {
				u := &n.p.Jobs[j].Ops[k]
				if u.Machine == nil || n.plan.Jobs[j].Ops[k].Machine != m || j == n.job && k == i {
					continue
				}
				w := using{j, k, m, n.plan.Jobs[j].Ops[k].Start, 0, u.Machine, false}
				if j == n.job {
					w.from = n.start(k)
				}
				w.to = w.from + u.Dur
				c.uses = append(c.uses, w)
				if a, b := mine, w; a.from <= b.from {
					c.pair(a, b)
				} else {
					c.pair(b, a)
				}
				if c.places(m); len(c.found) > 0 {
					r.ByJob, r.ByOp = j, k
					return r, true
				}
			}
		}
	}
	return Reason{}, false
}

func (n *nudged) costs() (Reason, bool) {
	for i, moved := range n.moved {
		if !moved {
			continue
		}
		o, was, is := &n.p.Jobs[n.job].Ops[i], n.plan.Jobs[n.job].Ops[i].Start, n.start(i)
		if o.Weight > 0 && (n.shift > 0 && is+o.Dur > o.Due && n.p.Late > 0 || n.shift < 0 && is+o.Dur < o.Due && n.p.Early > 0 && o.EarlyWeight > 0) {
			r := none(Promise)
			r.Op = i
			return r, true
		}
		if o.Was != Free && abs(is-o.Was) > abs(was-o.Was) && (o.Move > 0 || o.MoveFlat > 0 && was == o.Was) {
			r := none(Moved)
			r.Op = i
			return r, true
		}
	}
	return Reason{}, false
}
