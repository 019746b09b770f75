package solve

import "slices"

// plan gives the plan on the board in the problem's terms.
func (b *board) plan() Plan {
	out := Plan{Jobs: make([]JobPlan, len(b.jobs))}
	for j := range b.jobs {
		at := b.order[j]
		if !b.on[j] {
			out.Unplaced = append(out.Unplaced, at)
			continue
		}
		out.Jobs[at] = b.jobPlan(j)
		b.breakdown(j, &out.Cost)
	}
	slices.Sort(out.Unplaced)
	if first, last := b.reach(); first < last {
		out.Cost.Span = int64(last - first)
	}
	c := &out.Cost
	c.Total = b.p.Late*c.Late + b.p.Early*c.Early + b.p.Span*c.Span + c.Hand + c.Modes + c.Choices + c.Moves
	return out
}

func (b *board) jobPlan(j int) JobPlan {
	s := &b.jobs[j]
	var jp JobPlan
	for i := s.ops.from; i < s.ops.to; i++ {
		o := &b.ops[i]
		op := OpPlan{Start: int(b.start[i]), Choice: Choice{Machine: Free}}
		for g := range o.groups {
			c := &o.groups[g].combos[b.combo[o.group+int32(g)]]
			for k, n := range o.groups[g].needs {
				for len(op.Needs) <= int(n) {
					op.Needs = append(op.Needs, 0)
				}
				op.Needs[n] = int(c.serves[k])
			}
		}
		if o.use != nil {
			k := &o.use.machines[b.mach[i]]
			op.Machine = int(k.id)
			for _, n := range b.items[o.spread.from:][:min(len(k.share), int(o.spread.to-o.spread.from))] {
				op.Spread = append(op.Spread, int(n))
			}
		}
		jp.Ops = append(jp.Ops, op)
	}
	for i := s.links.from; i < s.links.to; i++ {
		w := &b.links[i].ways[b.way[i]]
		lp := LinkPlan{Mode: int(w.mode)}
		for _, r := range w.space {
			lp.Space = append(lp.Space, int(r))
		}
		jp.Links = append(jp.Links, lp)
	}
	return jp
}

// breakdown adds what job j costs to c, the span apart.
func (b *board) breakdown(j int, c *Cost) {
	s := &b.jobs[j]
	for i := s.ops.from; i < s.ops.to; i++ {
		o, t := &b.ops[i], b.start[i]
		c.Late += o.weight * int64(max(0, t+o.dur-o.due))
		c.Early += o.earlyWeight * int64(max(0, o.due-o.hand-t-o.dur))
		c.Hand += o.spent * int64(min(max(0, t+o.dur-o.due+o.hand), o.hand))
		if o.was >= 0 && t != o.was {
			c.Moves += o.flat + o.move*int64(max(t-o.was, o.was-t))
		}
		for g := range o.groups {
			c.Choices += o.groups[g].combos[b.combo[o.group+int32(g)]].cost
		}
		if o.use != nil {
			c.Choices += o.use.machines[b.mach[i]].cost
		}
	}
	for i := s.links.from; i < s.links.to; i++ {
		w := &b.links[i].ways[b.way[i]]
		m := &b.p.Jobs[b.order[j]].Links[i-s.links.from].Modes[w.mode]
		c.Modes += m.Cost
		c.Choices += w.cost - m.Cost
	}
}
