package solve

import "slices"

// free bounds the cost from below by every job alone in an empty kitchen, and
// notes each job's least cost there.
func (m *model) free() Bound {
	var r rng
	var b Bound
	p := newPlacer(newBoard(m.lateOnly()), &r)
	for j := range m.jobs {
		late, ok := p.alone(j)
		m.jobs[j].impossible = m.jobs[j].impossible || !ok
		b.Late += late
	}
	q := newPlacer(newBoard(m.spanless()), &r)
	for j := range m.jobs {
		m.jobs[j].least, _ = q.alone(j)
		b.Total += m.jobs[j].least
	}
	return b
}

// alone gives the least cost of job j on an empty board.
func (p *placer) alone(j int) (int64, bool) {
	cost, ok := p.place(j, maxCost)
	for i := p.jobs[j].ops.from; ok && i < p.jobs[j].ops.to; i++ {
		if p.ops[i].frozen {
			cost += p.ops[i].cost(p.ops[i].at)
		}
	}
	return cost, ok
}

// spanless is m without the cost of the span.
func (m *model) spanless() *model {
	c := *m
	q := *m.p
	q.Span = 0
	c.p = &q
	return &c
}

// lateOnly is m with weighted lateness as its only cost.
func (m *model) lateOnly() *model {
	c := m.spanless()
	c.jobs, c.ops, c.links = slices.Clone(m.jobs), slices.Clone(m.ops), slices.Clone(m.links)
	for i := range c.ops {
		o := &c.ops[i]
		o.late, o.early, o.move, o.flat = o.weight, 0, 0, 0
		o.groups = slices.Clone(o.groups)
		for g := range o.groups {
			o.groups[g].priced = false
		}
		if o.use != nil {
			u := *o.use
			u.priced = false
			o.use = &u
		}
	}
	for i := range c.links {
		c.links[i].ways = slices.Clone(c.links[i].ways)
		for k := range c.links[i].ways {
			c.links[i].ways[k].cost = 0
		}
	}
	return c
}
