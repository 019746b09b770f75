package solve

import "fmt"

// Violation is one rule broken by a plan.
type Violation struct {
	// Job, Op, Link are indices into the problem, -1 where they do not apply.
	Job, Op, Link int
	// What says what is wrong.
	What string
}

// String places the violation.
func (v Violation) String() string {
	switch {
	case v.Op >= 0:
		return fmt.Sprintf("job %d, operation %d: %s", v.Job, v.Op, v.What)
	case v.Link >= 0:
		return fmt.Sprintf("job %d, link %d: %s", v.Job, v.Link, v.What)
	case v.Job >= 0:
		return fmt.Sprintf("job %d: %s", v.Job, v.What)
	}
	return v.What
}

// Check recounts plan from scratch against a valid problem and lists what is
// wrong with it, its cost included. It shares nothing with the search.
func Check(p *Problem, plan *Plan) []Violation {
	c := checker{p: p, plan: plan, placed: make([]bool, len(p.Jobs))}
	if !c.shape() {
		return c.found
	}
	for j := range p.Jobs {
		if !c.placed[j] {
			continue
		}
		for i := range p.Jobs[j].Ops {
			c.op(j, i)
		}
		for i := range p.Jobs[j].Links {
			c.link(j, i)
		}
	}
	if len(c.found) > 0 {
		return c.found // the rest takes indices and times for granted
	}
	c.resources()
	c.machines()
	c.cost()
	return c.found
}

type checker struct {
	p      *Problem
	plan   *Plan
	placed []bool
	found  []Violation
	taken  []taking
	uses   []using
}

// taking is an amount of a resource held from one time to another.
type taking struct {
	job, op, link, resource, from, to int
	amount                            int64
	frozen                            bool
}

// using is one use of a machine.
type using struct {
	job, op, machine, from, to int
	use                        *Use
	frozen                     bool
	spread                     []int
}

func (c *checker) report(job, op, link int, format string, args ...any) {
	c.found = append(c.found, Violation{job, op, link, fmt.Sprintf(format, args...)})
}

// shape holds the plan's slices against the problem's.
func (c *checker) shape() bool {
	if len(c.plan.Jobs) != len(c.p.Jobs) {
		c.report(-1, -1, -1, "plan of %d jobs for %d", len(c.plan.Jobs), len(c.p.Jobs))
		return false
	}
	for j := range c.placed {
		c.placed[j] = true
	}
	last := -1
	for _, j := range c.plan.Unplaced {
		if j <= last || j >= len(c.p.Jobs) {
			c.report(-1, -1, -1, "unplaced jobs are not ascending indices: %v", c.plan.Unplaced)
			return false
		}
		c.placed[j], last = false, j
	}
	for j, jp := range c.plan.Jobs {
		ops, links := len(c.p.Jobs[j].Ops), len(c.p.Jobs[j].Links)
		if !c.placed[j] {
			ops, links = 0, 0
		}
		if len(jp.Ops) != ops || len(jp.Links) != links {
			c.report(j, -1, -1, "plan has %d operations and %d links, want %d and %d", len(jp.Ops), len(jp.Links), ops, links)
		}
	}
	return len(c.found) == 0
}

func (c *checker) op(j, i int) {
	o, got := &c.p.Jobs[j].Ops[i], &c.plan.Jobs[j].Ops[i]
	frozen := o.Fixed != Free
	if got.Start < 0 || got.Start+o.Dur > c.p.Slots {
		c.report(j, i, -1, "from %d to %d is outside 0 to %d", got.Start, got.Start+o.Dur, c.p.Slots)
	}
	if frozen && got.Start != o.Fixed {
		c.report(j, i, -1, "starts at %d, frozen at %d", got.Start, o.Fixed)
	}
	if !frozen && got.Start < c.p.Now {
		c.report(j, i, -1, "starts at %d, before now", got.Start)
	}
	if !frozen && got.Start < o.Release {
		c.report(j, i, -1, "starts at %d, before its release at %d", got.Start, o.Release)
	}
	if len(got.Needs) != len(o.Needs) {
		c.report(j, i, -1, "%d resources for %d needs", len(got.Needs), len(o.Needs))
		return
	}
	for k, n := range o.Needs {
		anyOf := n.Any
		if frozen && o.FixedChoice != nil && o.FixedChoice.Needs != nil {
			anyOf = o.FixedChoice.Needs[k : k+1]
		} else if frozen {
			anyOf = anyOf[:1]
		}
		if !contains(anyOf, got.Needs[k]) {
			c.report(j, i, -1, "resource %d cannot serve need %d", got.Needs[k], k)
			continue
		}
		to := n.To
		if to == 0 {
			to = o.Dur
		}
		c.taken = append(c.taken, taking{j, i, -1, got.Needs[k], got.Start + n.From, got.Start + to, int64(n.Amount), frozen})
	}
	c.use(j, i, o, got, frozen)
}

func (c *checker) use(j, i int, o *Op, got *OpPlan, frozen bool) {
	if o.Machine == nil {
		if got.Machine != Free {
			c.report(j, i, -1, "machine %d for an operation without", got.Machine)
		}
		return
	}
	anyOf := o.Machine.Any
	if frozen && o.FixedChoice != nil {
		anyOf = []int{o.FixedChoice.Machine}
	} else if frozen {
		anyOf = anyOf[:1]
	}
	if !contains(anyOf, got.Machine) {
		c.report(j, i, -1, "machine %d cannot serve", got.Machine)
		return
	}
	if o.Machine.Items > 0 {
		c.lie(j, i, o.Machine, got, frozen)
	}
	c.uses = append(c.uses, using{j, i, got.Machine, got.Start, got.Start + o.Dur, o.Machine, frozen, got.Spread})
}

func (c *checker) link(j, i int) {
	l, got := &c.p.Jobs[j].Links[i], &c.plan.Jobs[j].Links[i]
	from, to := &c.p.Jobs[j].Ops[l.From], &c.p.Jobs[j].Ops[l.To]
	end, start := c.plan.Jobs[j].Ops[l.From].Start+from.Dur, c.plan.Jobs[j].Ops[l.To].Start
	frozen := from.Fixed != Free && to.Fixed != Free
	if got.Mode < 0 || got.Mode >= len(l.Modes) || frozen && got.Mode != 0 {
		c.report(j, -1, i, "mode %d cannot be", got.Mode)
		return
	}
	m := &l.Modes[got.Mode]
	if end < 0 || end > c.p.Slots {
		return // reported with the operation
	}
	least, most := m.Min, m.Max
	if m.Window != nil {
		least, most = int(m.Window.Min[end]), int(m.Window.Max[end])
	}
	if wait := start - end; !frozen && (wait < least || wait > most) {
		c.report(j, -1, i, "waits %d from %d, want %d to %d", wait, end, least, most)
	}
	if len(got.Space) != len(m.Space) {
		c.report(j, -1, i, "%d resources for %d spaces", len(got.Space), len(m.Space))
		return
	}
	for k, h := range m.Space {
		if !contains(h.Any, got.Space[k]) || frozen && got.Space[k] != h.Any[0] {
			c.report(j, -1, i, "resource %d cannot serve space %d", got.Space[k], k)
			continue
		}
		c.taken = append(c.taken, taking{j, -1, i, got.Space[k], end, start, int64(h.Amount), frozen})
	}
}

// resources finds every slot from now on where something free takes part in
// taking too much. What is frozen may have done as it did.
func (c *checker) resources() {
	for r := range c.p.Resources {
		used := make([]int64, c.p.Slots)
		for _, k := range c.taken {
			for t := k.from; k.resource == r && t < k.to; t++ {
				used[t] += k.amount
			}
		}
		for _, k := range c.taken {
			for t := max(k.from, c.p.Now); k.resource == r && !k.frozen && t < k.to; t++ {
				if room := capacity(c.p.Resources[r].Cap, t); used[t] > room {
					c.report(k.job, k.op, k.link, "resource %d is overfull at %d: %d of %d", r, t, used[t], room)
					break
				}
			}
		}
	}
}

func capacity(room []int32, t int) int64 {
	if len(room) == 1 {
		t = 0
	}
	return int64(room[t])
}

func (c *checker) machines() {
	for a, u := range c.uses {
		if !u.frozen {
			c.loneUse(u)
		}
		for b, w := range c.uses {
			if a != b && u.machine == w.machine && u.from <= w.from && !(u.frozen && w.frozen) {
				c.pair(u, w)
			}
		}
	}
	for m := range c.p.Machines {
		c.places(m)
	}
}

// loneUse checks a free use against closures and the cold start.
func (c *checker) loneUse(u using) {
	m := &c.p.Machines[u.machine]
	cold := c.p.Cold
	if m.Cold != nil {
		cold = m.Cold
	}
	if cold != nil && u.from < c.p.Now+cold[u.use.Profile] {
		c.report(u.job, u.op, -1, "machine %d is still cold at %d", u.machine, u.from)
	}
	for _, x := range m.Closed {
		if x.From < x.To && u.from < x.To && x.From < u.to {
			c.report(u.job, u.op, -1, "machine %d is closed from %d to %d", u.machine, x.From, x.To)
		}
	}
}

// pair checks two uses of one machine, u not starting after w.
func (c *checker) pair(u, w using) {
	a, b := u.use.Profile, w.use.Profile
	gap := 0
	if c.p.Setup != nil {
		gap = c.p.Setup[a][b]
	}
	if a == b {
		if c.p.Join == nil || c.p.Join[a] < 0 || w.from-u.from <= c.p.Join[a] {
			return
		}
	}
	if u.to+gap > w.from {
		c.report(w.job, w.op, -1, "starts at %d in machine %d, which is ready for it %d slots after job %d, operation %d ends at %d",
			w.from, w.machine, gap, u.job, u.op, u.to)
	}
}

// places counts what is in machine m, at each use's start: that is where the
// count rises.
func (c *checker) places(m int) {
	for _, u := range c.uses {
		sum, free := 0, false
		for _, w := range c.uses {
			if u.machine == m && w.machine == m && w.from <= u.from && u.from < w.to {
				sum, free = sum+w.use.Places, free || !w.frozen
			}
		}
		if free && sum > c.p.Machines[m].Cap {
			c.report(u.job, u.op, -1, "machine %d is overfull at %d: %d of %d places", m, u.from, sum, c.p.Machines[m].Cap)
		}
	}
	for part, room := range c.p.Machines[m].Parts {
		c.part(m, part, room)
	}
}

// part adds up what lies on one part of machine m, at each use's start.
func (c *checker) part(m, part int, room int64) {
	for _, u := range c.uses {
		sum, free := int64(0), false
		for _, w := range c.uses {
			if u.machine == m && w.machine == m && w.from <= u.from && u.from < w.to && w.spread != nil && w.spread[part] > 0 {
				sum, free = sum+int64(w.spread[part])*w.use.share(m)[part], free || !w.frozen
			}
		}
		if free && sum > room {
			c.report(u.job, u.op, -1, "part %d of machine %d is overfull at %d: %d of %d", part, m, u.from, sum, room)
		}
	}
}

// lie wants every item of a use on a part of its machine where it may lie.
func (c *checker) lie(j, i int, u *Use, got *OpPlan, frozen bool) {
	share := u.share(got.Machine)
	if len(got.Spread) != len(c.p.Machines[got.Machine].Parts) || len(got.Spread) > 0 && len(share) != len(got.Spread) {
		c.report(j, i, -1, "items lie on %d parts of machine %d, which has %d", len(got.Spread), got.Machine, len(c.p.Machines[got.Machine].Parts))
		return
	}
	sum := 0
	for k, n := range got.Spread {
		if n < 0 || n > 0 && share[k] == 0 && !frozen {
			c.report(j, i, -1, "%d items cannot lie on part %d of machine %d", n, k, got.Machine)
			return
		}
		sum += n
	}
	if len(got.Spread) > 0 && sum != u.Items && !frozen {
		c.report(j, i, -1, "%d of %d items lie on machine %d", sum, u.Items, got.Machine)
	}
}

// cost recounts the cost.
func (c *checker) cost() {
	var want Cost
	first, last := int64(c.p.Slots), int64(0)
	for j := range c.p.Jobs {
		if !c.placed[j] {
			continue
		}
		job, jp := &c.p.Jobs[j], &c.plan.Jobs[j]
		for i := range job.Ops {
			o, got := &job.Ops[i], &jp.Ops[i]
			end := int64(got.Start + o.Dur)
			first, last = min(first, int64(got.Start)), max(last, end)
			if o.Weight > 0 {
				want.Late += o.Weight * max(0, end-int64(o.Due))
				want.Early += o.EarlyWeight * max(0, int64(o.Due-o.Hand)-end)
				for slot := o.Due - o.Hand; slot < o.Due; slot++ {
					if int64(slot) < end {
						want.Hand += o.HandCost
					}
				}
			}
			if o.Was != Free && got.Start != o.Was {
				want.Moves += o.MoveFlat + o.Move*int64(max(got.Start-o.Was, o.Was-got.Start))
			}
			for k, n := range o.Needs {
				want.Choices += price(n.Any, n.Cost, got.Needs[k])
			}
			if o.Machine != nil {
				want.Choices += price(o.Machine.Any, o.Machine.Cost, got.Machine)
			}
		}
		for i := range job.Links {
			m := &job.Links[i].Modes[jp.Links[i].Mode]
			want.Modes += m.Cost
			for k, h := range m.Space {
				want.Choices += price(h.Any, h.Cost, jp.Links[i].Space[k])
			}
		}
	}
	want.Span = max(0, last-first)
	want.Total = c.p.Late*want.Late + c.p.Early*want.Early + c.p.Span*want.Span + want.Hand + want.Modes + want.Choices + want.Moves
	if c.plan.Cost != want {
		c.report(-1, -1, -1, "cost is %+v, want %+v", c.plan.Cost, want)
	}
}

// price is the least price of k among the alternatives, 0 for a frozen choice
// that is none of them.
func price(anyOf []int, cost []int64, k int) int64 {
	least := int64(-1)
	for i, a := range anyOf {
		if a == k && cost != nil && (least < 0 || cost[i] < least) {
			least = cost[i]
		}
	}
	return max(least, 0)
}

func contains(list []int, x int) bool {
	for _, y := range list {
		if y == x {
			return true
		}
	}
	return false
}
