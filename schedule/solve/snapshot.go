package solve

import "slices"

// snapshot is a copy of the plan on a board.
type snapshot struct {
	cost        int64 // missing jobs included
	start, mach []int32
	items       []int32
	combo, way  []int32
	on          []bool
}

func (b *board) save(to *snapshot, cost int64) {
	to.cost = cost
	to.start = append(to.start[:0], b.start...)
	to.mach = append(to.mach[:0], b.mach...)
	to.items = append(to.items[:0], b.items...)
	to.combo = append(to.combo[:0], b.combo...)
	to.way = append(to.way[:0], b.way...)
	to.on = append(to.on[:0], b.on...)
}

// load brings the board back to the plan in from.
func (b *board) load(from *snapshot) {
	var changed []int
	for j := range b.jobs {
		if !b.same(j, from) {
			changed = append(changed, j)
			b.remove(j)
		}
	}
	for _, j := range changed {
		b.restore(j, from)
	}
}

// parts gives the ranges of a job's groups, links and items.
func (b *board) parts(j int) (groups, links, items span) {
	s := &b.jobs[j]
	items = span{b.ops[s.ops.from].spread.from, b.ops[s.ops.to-1].spread.to}
	groups = span{b.ops[s.ops.from].group, int32(b.groups)}
	if int(s.ops.to) < len(b.ops) {
		groups.to = b.ops[s.ops.to].group
	}
	return groups, s.links, items
}

func (b *board) same(j int, as *snapshot) bool {
	o := b.jobs[j].ops
	g, l, n := b.parts(j)
	return b.on[j] == as.on[j] && slices.Equal(b.start[o.from:o.to], as.start[o.from:o.to]) &&
		slices.Equal(b.mach[o.from:o.to], as.mach[o.from:o.to]) && slices.Equal(b.items[n.from:n.to], as.items[n.from:n.to]) &&
		slices.Equal(b.combo[g.from:g.to], as.combo[g.from:g.to]) && slices.Equal(b.way[l.from:l.to], as.way[l.from:l.to])
}

// restore puts what is off the board of job j back where it was in from.
func (b *board) restore(j int, from *snapshot) {
	if !from.on[j] {
		return
	}
	o := b.jobs[j].ops
	g, l, n := b.parts(j)
	copy(b.mach[o.from:o.to], from.mach[o.from:o.to])
	copy(b.items[n.from:n.to], from.items[n.from:n.to])
	copy(b.combo[g.from:g.to], from.combo[g.from:g.to])
	copy(b.way[l.from:l.to], from.way[l.from:l.to])
	for i := o.from; i < o.to; i++ {
		if b.start[i] < 0 {
			b.set(i, from.start[i])
		}
	}
	b.put(j)
}
