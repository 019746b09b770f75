package solve

// orders is how many ways are tried to set the segments of a job one after
// another when they get in each other's way.
const orders = 12

// insert puts what is missing of job j on the board at its cheapest place, if
// the job then adds at most limit to the cost. For jobs that can get in their own way
// the place is the cheapest found.
func (p *placer) insert(j int, limit int64) bool {
	s := &p.jobs[j]
	p.steps++
	p.lo, p.hi = 0, p.slots
	limit -= p.kept(j)
	least, ok := p.place(j, limit)
	if !ok {
		return false
	}
	p.mine = p.mine[:0]
	ok = p.commit(s.walk, s.parallel)
	for try := 0; !ok && try < orders; try++ {
		p.withdraw()
		within := limit
		if try < orders/2 {
			within = min(limit, least+p.beyond(least)<<(try/2*2))
		}
		ok = p.piecewise(j, within, try)
	}
	if !ok {
		p.withdraw()
		return false
	}
	p.put(j)
	return true
}

// beyond is how far above the cost of a job that gets in its own way its pieces
// are looked for at first: dearer places are many, and seldom needed.
func (p *placer) beyond(least int64) int64 { return least/8 + 16*p.p.Late + p.p.Early + p.p.Span + 64 }

// piecewise puts the pieces of job j on the board one after another, each at
// its cheapest place beside those before it. Pieces are segments, or by turns
// single operations; all tries but the first shuffle them, and the later half
// confines the root to one part of its domain after another.
func (p *placer) piecewise(j int, limit int64, try int) bool {
	s := &p.jobs[j]
	p.lo, p.hi = 0, p.slots
	if part := int32(try - orders/2); part >= 0 {
		root := &p.ops[s.walk[len(s.walk)-1]]
		width := (root.hi-root.lo)/(orders/2) + 1
		p.lo, p.hi = root.lo+part*width, root.lo+(part+1)*width-1
	}
	p.turn = p.turn[:0]
	if try%2 == 0 {
		p.turn = append(p.turn, s.segments...)
	} else {
		for i := range s.walk {
			p.turn = append(p.turn, s.walk[i:i+1])
		}
	}
	for i := range p.turn {
		if k := p.rng.below(i + 1); try > 0 {
			p.turn[i], p.turn[k] = p.turn[k], p.turn[i]
		}
	}
	for _, piece := range p.turn {
		p.steps++
		if _, ok := p.place(j, limit); !ok || !p.commit(piece, true) {
			return false
		}
	}
	return true
}

// commit books those of the operations that are off the board, at the starts
// noted by place. With doubt it looks whether there still is room, and stops
// where there is not.
func (p *placer) commit(ops []int32, doubt bool) bool {
	for _, i := range ops {
		if p.start[i] >= 0 {
			continue
		}
		t := p.at[i-p.base]
		if doubt && !p.choose(i, t, true) || !p.book(i, t, doubt) {
			return false
		}
	}
	return true
}

// book puts operation i at t with the choices noted for it, and the waits
// between it and its neighbours on the board.
func (p *placer) book(i, t int32, doubt bool) bool {
	p.mine = append(p.mine, i)
	p.bookOp(i, t, 1)
	for _, k := range p.ops[i].links {
		if !p.between(k) {
			continue
		}
		if doubt && !p.waitFits(k) {
			return false
		}
		p.bookWait(k, 1)
	}
	return true
}

// waitFits tells whether the wait on link i, between its ends on the board,
// finds its spaces.
func (p *placer) waitFits(i int32) bool {
	l := &p.links[i]
	return p.meets(&l.ways[p.way[i]], p.start[l.from]+p.ops[l.from].dur, p.start[l.to])
}

// withdraw takes off the board what this insertion put there.
func (p *placer) withdraw() {
	for _, i := range p.mine {
		p.lift(i)
	}
	p.mine = p.mine[:0]
}
