package solve

import "slices"

// board is a plan in the making: what is where, and what room is left.
type board struct {
	*model
	room  [][]int32 // store -> slot -> amount left
	free  []bitset  // level -> slots with that much left
	uses  [][]int32 // machine -> operations in it
	start []int32   // operation -> start, -1 off the board
	mach  []int32   // operation -> index into use.machines
	items []int32   // operation's part -> how many of its items; the first is below 0 while that is open
	combo []int32   // group -> index into combos
	way   []int32   // link -> index into ways
	held  []bool    // link -> its wait is booked
	on    []bool    // job -> wholly on the board
	cost  []int64   // job -> cost without the span
	first []int32   // job -> first start
	last  []int32   // job -> last end

	lie  []lying // scratch
	left []int64
}

func newBoard(m *model) *board {
	b := &board{model: m}
	for _, s := range m.stores {
		b.room = append(b.room, slices.Clone(s))
	}
	for _, l := range m.levels {
		f := make(bitset, words(int(m.slots)+1))
		for t, left := range m.stores[l.store] {
			if left >= l.amount {
				f.set(int32(t))
			}
		}
		b.free = append(b.free, f)
	}
	b.uses = make([][]int32, len(m.p.Machines))
	b.start, b.mach = make([]int32, len(m.ops)), make([]int32, len(m.ops))
	b.combo, b.way = make([]int32, m.groups), make([]int32, len(m.links))
	b.held = make([]bool, len(m.links))
	b.on, b.cost = make([]bool, len(m.jobs)), make([]int64, len(m.jobs))
	b.first, b.last = make([]int32, len(m.jobs)), make([]int32, len(m.jobs))
	b.items = make([]int32, m.spread)
	for i := range b.start {
		b.start[i] = -1
		b.unlay(&b.ops[i])
	}
	b.freeze()
	return b
}

// freeze puts everything frozen on the board, where it stays.
func (b *board) freeze() {
	for i := range b.ops {
		if o := &b.ops[i]; o.frozen {
			copy(b.items[o.spread.from:o.spread.to], o.lies)
			b.bookOp(int32(i), o.at, 1)
		}
	}
	for i := range b.links {
		if b.links[i].frozen {
			b.bookWait(int32(i), 1)
		}
	}
}

// take changes what is left of a store during [from, to) by -amount.
func (b *board) take(store, amount, from, to int32) {
	room := b.room[store]
	from = max(from, b.now)
	for t := from; t < to; t++ {
		room[t] -= amount
	}
	for _, id := range b.byRoom[store] {
		least, free := b.levels[id].amount, b.free[id]
		for t := from; t < to; t++ {
			if room[t] >= least {
				free.set(t)
			} else {
				free.clear(t)
			}
		}
	}
}

// bookOp puts operation i at t with the choices noted for it (sign 1), or
// takes it off (sign -1).
func (b *board) bookOp(i, t, sign int32) {
	o := &b.ops[i]
	for g := range o.groups {
		for _, k := range o.groups[g].combos[b.combo[o.group+int32(g)]].books {
			b.take(k.store, sign*k.amount, t+k.from, t+k.to)
		}
	}
	if o.use != nil {
		id := o.use.machines[b.mach[i]].id
		b.take(int32(len(b.p.Resources))+id, sign*o.use.places, t, t+o.dur)
		b.lay(i, t, sign)
		if sign > 0 {
			b.uses[id] = append(b.uses[id], i)
		} else {
			k := slices.Index(b.uses[id], i)
			b.uses[id] = slices.Delete(b.uses[id], k, k+1)
		}
	}
	b.start[i] = t
	if sign < 0 {
		b.start[i] = -1
	}
}

// bookWait books what is held during the wait on link i, whose ends are on the
// board, or gives it back.
func (b *board) bookWait(i, sign int32) {
	l := &b.links[i]
	from, to := b.start[l.from]+b.ops[l.from].dur, b.start[l.to]
	for _, k := range l.ways[b.way[i]].books {
		b.take(k.store, sign*k.amount, from, to)
	}
	b.held[i] = sign > 0
}

// put notes that all of job j is on the board, and what it costs there.
func (b *board) put(j int) {
	s := &b.jobs[j]
	b.on[j], b.first[j], b.last[j], b.cost[j] = true, b.slots, 0, b.kept(j)
	for i := s.ops.from; i < s.ops.to; i++ {
		b.first[j], b.last[j] = min(b.first[j], b.start[i]), max(b.last[j], b.start[i]+b.ops[i].dur)
	}
}

// kept is the cost of what is on the board of job j, without the span.
func (b *board) kept(j int) int64 {
	s, cost := &b.jobs[j], int64(0)
	for i := s.ops.from; i < s.ops.to; i++ {
		o := &b.ops[i]
		if b.start[i] < 0 {
			continue
		}
		cost += o.cost(b.start[i])
		for g := range o.groups {
			cost += o.groups[g].combos[b.combo[o.group+int32(g)]].cost
		}
		if o.use != nil {
			cost += o.use.machines[b.mach[i]].cost
		}
	}
	for i := s.links.from; i < s.links.to; i++ {
		if b.held[i] {
			cost += b.links[i].ways[b.way[i]].cost
		}
	}
	return cost
}

// set puts operation i at t, and the waits to neighbours on the board.
func (b *board) set(i, t int32) {
	b.bookOp(i, t, 1)
	for _, k := range b.ops[i].links {
		if b.between(k) {
			b.bookWait(k, 1)
		}
	}
}

// between tells whether link i is to be booked: its ends are on the board.
func (b *board) between(i int32) bool {
	l := &b.links[i]
	return !l.frozen && b.start[l.from] >= 0 && b.start[l.to] >= 0
}

// lift takes operation i off with all waits around it.
func (b *board) lift(i int32) {
	for _, k := range b.ops[i].links {
		if b.held[k] {
			b.bookWait(k, -1)
		}
	}
	b.bookOp(i, b.start[i], -1)
}

// remove takes everything of job j off the board that is not frozen.
func (b *board) remove(j int) {
	s := &b.jobs[j]
	for i := s.ops.from; i < s.ops.to; i++ {
		if !b.ops[i].frozen && b.start[i] >= 0 {
			b.lift(i)
		}
	}
	b.on[j] = false
}

// reach gives the first start and the last end of the jobs on the board; first
// is above last where there are none.
func (b *board) reach() (first, last int32) {
	first, last = b.slots+1, -1
	for j, on := range b.on {
		if on {
			first, last = min(first, b.first[j]), max(last, b.last[j])
		}
	}
	return first, last
}

// total gives the number of jobs off the board, and the cost of those on it.
func (b *board) total() (off int, cost int64) {
	for j, on := range b.on {
		if on {
			cost += b.cost[j]
		} else {
			off++
		}
	}
	if first, last := b.reach(); first < last {
		cost += b.p.Span * int64(last-first)
	}
	return off, cost
}
