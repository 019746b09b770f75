package solve_test

import (
	"slices"

	"ovenward/schedule/solve"
)

// oracle finds the least cost of placing every job by trying everything. It
// wants operation i > 0 of a job to be linked to exactly one earlier operation.
type oracle struct {
	p       *solve.Problem
	steps   []oracleStep
	plan    solve.Plan
	room    [][]int // resource, then machine places, by slot
	uses    []oracleUse
	best    int64 // -1: no plan
	bestRun solve.Plan
	visited int
}

type oracleStep struct {
	job, op int
	frozen  bool
}

type oracleUse struct {
	machine, from, to, profile int
	takes                      []int64 // of each part
}

// exhaust gives the least cost and a plan that has it, or -1; and false if it
// gave up for size.
func exhaust(p *solve.Problem, visits int) (int64, solve.Plan, bool) {
	o := oracle{p: p, best: -1, visited: visits}
	for j := range p.Jobs {
		o.plan.Jobs = append(o.plan.Jobs, solve.JobPlan{Ops: make([]solve.OpPlan, len(p.Jobs[j].Ops)), Links: make([]solve.LinkPlan, len(p.Jobs[j].Links))})
	}
	for _, frozen := range []bool{true, false} {
		for j := range p.Jobs {
			for i := range p.Jobs[j].Ops {
				if (p.Jobs[j].Ops[i].Fixed != solve.Free) == frozen {
					o.steps = append(o.steps, oracleStep{job: j, op: i, frozen: frozen})
				}
			}
		}
	}
	for _, r := range p.Resources {
		row := make([]int, p.Slots)
		for t := range row {
			row[t] = int(r.Cap[min(t, len(r.Cap)-1)])
		}
		o.room = append(o.room, row)
	}
	for _, m := range p.Machines {
		row := make([]int, p.Slots)
		for t := range row {
			row[t] = m.Cap
			for _, c := range m.Closed {
				if c.From <= t && t < c.To {
					row[t] = 0
				}
			}
		}
		o.room = append(o.room, row)
	}
	o.try(0, 0, p.Slots, 0)
	return o.best, o.bestRun, o.visited > 0
}

// try extends the plan by step k; cost is that of the steps before, without span.
func (o *oracle) try(k int, cost int64, first, last int) {
	if o.visited--; o.visited < 0 {
		return
	}
	total := cost
	if first < last {
		total += o.p.Span * int64(last-first)
	}
	if o.best >= 0 && total >= o.best {
		return // nothing gets cheaper by adding
	}
	if k == len(o.steps) {
		o.best = total
		o.bestRun = clonePlan(&o.plan)
		o.bestRun.Cost = recount(o.p, &o.bestRun)
		return
	}
	s := o.steps[k]
	op := &o.p.Jobs[s.job].Ops[s.op]
	lo, hi := max(o.p.Now, op.Release), o.p.Slots-op.Dur
	if s.frozen {
		lo, hi = op.Fixed, op.Fixed
	}
	for t := lo; t <= hi; t++ {
		o.at(k, t, cost, first, last)
	}
}

// at tries step k at t with every choice.
func (o *oracle) at(k, t int, cost int64, first, last int) {
	s := o.steps[k]
	op := &o.p.Jobs[s.job].Ops[s.op]
	mine := &o.plan.Jobs[s.job].Ops[s.op]
	mine.Start, mine.Needs, mine.Machine = t, make([]int, len(op.Needs)), solve.Free
	cost += ownCost(o.p, op, t)
	first, last = min(first, t), max(last, t+op.Dur)
	o.needs(k, 0, cost, func(cost int64) {
		o.machine(k, cost, func(cost int64) {
			o.links(k, 0, cost, func(cost int64) { o.try(k+1, cost, first, last) })
		})
	})
}

func (o *oracle) needs(k, i int, cost int64, then func(int64)) {
	s := o.steps[k]
	op, mine := &o.p.Jobs[s.job].Ops[s.op], &o.plan.Jobs[s.job].Ops[s.op]
	if i == len(op.Needs) {
		then(cost)
		return
	}
	n := op.Needs[i]
	to := n.To
	if to == 0 {
		to = op.Dur
	}
	for _, r := range frozenOr(s.frozen, n.Any, op.FixedChoice, func(c *solve.Choice) []int {
		if c.Needs == nil {
			return nil
		}
		return c.Needs[i : i+1]
	}) {
		o.take(r, int(n.Amount), mine.Start+n.From, mine.Start+to, s.frozen, func() {
			mine.Needs[i] = r
			o.needs(k, i+1, cost+cheapest(n.Any, n.Cost, r), then)
		})
	}
}

// frozenOr gives the alternatives: those named, or the first, of what is frozen.
func frozenOr(frozen bool, anyOf []int, c *solve.Choice, named func(*solve.Choice) []int) []int {
	if !frozen {
		return anyOf
	}
	if c != nil {
		if n := named(c); n != nil {
			return n
		}
	}
	return anyOf[:1]
}

func (o *oracle) machine(k int, cost int64, then func(int64)) {
	s := o.steps[k]
	op, mine := &o.p.Jobs[s.job].Ops[s.op], &o.plan.Jobs[s.job].Ops[s.op]
	u := op.Machine
	if u == nil {
		then(cost)
		return
	}
	for _, m := range frozenOr(s.frozen, u.Any, op.FixedChoice, func(c *solve.Choice) []int { return []int{c.Machine} }) {
		w := oracleUse{m, mine.Start, mine.Start + op.Dur, u.Profile, nil}
		if !s.frozen && !o.admits(w) {
			continue
		}
		o.take(len(o.p.Resources)+m, u.Places, w.from, w.to, s.frozen, func() {
			mine.Machine, mine.Spread = m, nil
			o.lie(w, u, 0, u.Items, mine, func(w oracleUse) {
				o.uses = append(o.uses, w)
				then(cost + cheapest(u.Any, u.Cost, m))
				o.uses = o.uses[:len(o.uses)-1]
			})
		})
	}
}

// lie tries all ways to put left items on the parts of a machine from part on.
func (o *oracle) lie(w oracleUse, u *solve.Use, part, left int, mine *solve.OpPlan, then func(oracleUse)) {
	parts := o.p.Machines[w.machine].Parts
	if u.Items == 0 || part == len(parts) {
		if u.Items == 0 || left == 0 {
			then(w)
		}
		return
	}
	share := u.Share[slices.Index(u.Any, w.machine)][part]
	for n := range left + 1 {
		if n > 0 && (share == 0 || !o.lies(&w, part, int64(n)*share)) {
			break
		}
		next := w
		next.takes = append(slices.Clone(w.takes), int64(n)*share)
		mine.Spread = append(mine.Spread[:part:part], n)
		o.lie(next, u, part+1, left-n, mine, then)
	}
}

// lies says whether part of a machine has room for more.
func (o *oracle) lies(w *oracleUse, part int, more int64) bool {
	for t := max(w.from, o.p.Now); t < w.to; t++ {
		sum := more
		for _, x := range o.uses {
			if x.machine == w.machine && x.from <= t && t < x.to && part < len(x.takes) {
				sum += x.takes[part]
			}
		}
		if sum > o.p.Machines[w.machine].Parts[part] {
			return false
		}
	}
	return true
}

func (o *oracle) admits(w oracleUse) bool {
	cold := o.p.Cold
	if c := o.p.Machines[w.machine].Cold; c != nil {
		cold = c
	}
	if cold != nil && w.from < o.p.Now+cold[w.profile] {
		return false
	}
	for _, x := range o.uses {
		if x.machine != w.machine {
			continue
		}
		a, b := x, w
		if b.from < a.from {
			a, b = b, a
		}
		free := a.profile == b.profile && (o.p.Join == nil || o.p.Join[a.profile] < 0 || b.from-a.from <= o.p.Join[a.profile])
		ab, ba := 0, 0
		if o.p.Setup != nil {
			ab, ba = o.p.Setup[a.profile][b.profile], o.p.Setup[b.profile][a.profile]
		}
		if !free && a.to+ab > b.from && b.to+ba > a.from {
			return false
		}
	}
	return true
}

// links tries the links between step k and operations before it.
func (o *oracle) links(k, i int, cost int64, then func(int64)) {
	s := o.steps[k]
	job, jp := &o.p.Jobs[s.job], &o.plan.Jobs[s.job]
	for ; i < len(job.Links); i++ {
		if l := job.Links[i]; (l.From == s.op && o.done(k, s.job, l.To)) || (l.To == s.op && o.done(k, s.job, l.From)) {
			break
		}
	}
	if i == len(job.Links) {
		then(cost)
		return
	}
	l := &job.Links[i]
	end, start := jp.Ops[l.From].Start+job.Ops[l.From].Dur, jp.Ops[l.To].Start
	frozen := job.Ops[l.From].Fixed != solve.Free && job.Ops[l.To].Fixed != solve.Free
	for m := range l.Modes {
		mode := &l.Modes[m]
		least, most := mode.Min, mode.Max
		if mode.Window != nil {
			least, most = int(mode.Window.Min[end]), int(mode.Window.Max[end])
		}
		if !frozen && (start-end < least || start-end > most) || frozen && m > 0 {
			continue
		}
		jp.Links[i] = solve.LinkPlan{Mode: m, Space: make([]int, len(mode.Space))}
		o.space(mode, &jp.Links[i], 0, end, start, frozen, cost+mode.Cost, func(cost int64) { o.links(k, i+1, cost, then) })
	}
}

func (o *oracle) done(k, job, op int) bool {
	return slices.ContainsFunc(o.steps[:k], func(s oracleStep) bool { return s.job == job && s.op == op })
}

func (o *oracle) space(m *solve.Mode, lp *solve.LinkPlan, i, from, to int, frozen bool, cost int64, then func(int64)) {
	if i == len(m.Space) {
		then(cost)
		return
	}
	h := &m.Space[i]
	for _, r := range frozenOr(frozen, h.Any, nil, nil) {
		o.take(r, int(h.Amount), from, to, frozen, func() {
			lp.Space[i] = r
			o.space(m, lp, i+1, from, to, frozen, cost+cheapest(h.Any, h.Cost, r), then)
		})
	}
}

// take books and goes on, if there is room; what is frozen needs none.
func (o *oracle) take(r, amount, from, to int, frozen bool, then func()) {
	for t := max(from, o.p.Now); t < to; t++ {
		if !frozen && o.room[r][t] < amount {
			return
		}
	}
	for t := from; t < to; t++ {
		o.room[r][t] -= amount
	}
	then()
	for t := from; t < to; t++ {
		o.room[r][t] += amount
	}
}

func cheapest(anyOf []int, cost []int64, k int) int64 {
	var prices []int64
	for i, a := range anyOf {
		if a == k && cost != nil {
			prices = append(prices, cost[i])
		}
	}
	if prices == nil {
		return 0
	}
	return slices.Min(prices)
}

func ownCost(p *solve.Problem, o *solve.Op, t int) int64 {
	c := int64(0)
	for slot := o.Due - o.Hand; o.Weight > 0 && slot < t+o.Dur; slot++ {
		if slot < o.Due {
			c += o.HandCost
		} else {
			c += p.Late * o.Weight
		}
	}
	if early := int64(o.Due - o.Hand - t - o.Dur); o.Weight > 0 && early > 0 {
		c += p.Early * o.EarlyWeight * early
	}
	if o.Was != solve.Free && o.Was != t {
		c += o.MoveFlat + o.Move*int64(max(t-o.Was, o.Was-t))
	}
	return c
}

// recount breaks the cost of a complete plan down.
func recount(p *solve.Problem, plan *solve.Plan) solve.Cost {
	var c solve.Cost
	first, last := p.Slots, 0
	for j, jp := range plan.Jobs {
		for i, op := range jp.Ops {
			o := &p.Jobs[j].Ops[i]
			first, last = min(first, op.Start), max(last, op.Start+o.Dur)
			if o.Weight > 0 {
				c.Late += o.Weight * int64(max(0, op.Start+o.Dur-o.Due))
				c.Early += o.EarlyWeight * int64(max(0, o.Due-o.Hand-op.Start-o.Dur))
				c.Hand += o.HandCost * int64(min(max(0, o.Hand-(o.Due-op.Start-o.Dur)), o.Hand))
			}
			still := *o
			still.Weight = 0
			c.Moves += ownCost(p, &still, op.Start)
			for k, n := range o.Needs {
				c.Choices += cheapest(n.Any, n.Cost, op.Needs[k])
			}
			if o.Machine != nil {
				c.Choices += cheapest(o.Machine.Any, o.Machine.Cost, op.Machine)
			}
		}
		for i, lp := range jp.Links {
			m := &p.Jobs[j].Links[i].Modes[lp.Mode]
			c.Modes += m.Cost
			for k, h := range m.Space {
				c.Choices += cheapest(h.Any, h.Cost, lp.Space[k])
			}
		}
	}
	if first < last {
		c.Span = int64(last - first)
	}
	c.Total = p.Late*c.Late + p.Early*c.Early + p.Span*c.Span + c.Hand + c.Modes + c.Choices + c.Moves
	return c
}

func clonePlan(p *solve.Plan) solve.Plan {
	c := *p
	c.Jobs = nil
	for _, jp := range p.Jobs {
		q := solve.JobPlan{Links: slices.Clone(jp.Links)}
		for _, op := range jp.Ops {
			op.Needs, op.Spread = slices.Clone(op.Needs), slices.Clone(op.Spread)
			q.Ops = append(q.Ops, op)
		}
		for i := range q.Links {
			q.Links[i].Space = slices.Clone(q.Links[i].Space)
		}
		c.Jobs = append(c.Jobs, q)
	}
	return c
}
