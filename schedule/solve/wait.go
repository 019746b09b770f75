package solve

import "sort"

// addChild adds to the parent's list the least cost of child e for every start.
func (p *placer) addChild(f *list, o *op, e edge) {
	best := p.best[:len(f.at)]
	for i := range best {
		best[i] = never
	}
	child := &p.lists[e.child-p.base]
	for k := range p.links[e.link].ways {
		w := &p.links[e.link].ways[k]
		if e.after {
			p.after(w, o.dur, f.at, child)
		} else {
			p.before(w, p.ops[e.child].dur, f.at, child)
		}
	}
	p.add(f)
}

// after improves best by children that start after the parent: from the
// parent's end e on, between w.lo[e] and w.hi[e], and no later than the spaces
// are free. All three fall with e, so the queue's two ends only move forward.
func (p *placer) after(w *way, dur int32, at []int32, child *list) {
	head, tail, next := 0, 0, 0
	val := child.val
	books := p.tolled(w.books)
	if len(books) > 0 {
		val = p.keys[:len(val)]
		for i, t := range child.at {
			val[i] = child.val[i] + p.toTime(books, t)
		}
	}
	full, seen := p.slots, p.slots // spaces are free from seen up to full
	for i, t := range at {
		e := t + dur
		lo, hi := w.lo[e], w.hi[e]
		if lo > hi {
			continue
		}
		if len(w.levels) > 0 {
			full = p.fullFrom(w, e, seen, full)
			seen, hi = e, min(hi, full)
		}
		for next < len(child.at) && child.at[next] >= lo {
			v := val[next]
			for tail > head && val[p.queue[tail-1]] >= v {
				tail--
			}
			p.queue[tail] = int32(next)
			tail++
			next++
		}
		for head < tail && child.at[p.queue[head]] > hi {
			head++
		}
		if head < tail {
			v := val[p.queue[head]] + w.cost
			if len(books) > 0 {
				v -= p.toTime(books, e)
			}
			p.best[i] = min(p.best[i], v)
		}
	}
}

// before improves best by children that end before the parent's start t: those
// ends e with t between w.lo[e] and w.hi[e] and the spaces free until t.
func (p *placer) before(w *way, dur int32, at []int32, child *list) {
	head, tail, next := 0, 0, 0
	val := child.val
	books := p.tolled(w.books)
	if len(books) > 0 {
		val = p.keys[:len(val)]
		for i, t := range child.at {
			val[i] = child.val[i] - p.toTime(books, t+dur)
		}
	}
	full, seen := p.slots, p.slots
	for i, t := range at {
		for next < len(child.at) {
			e := child.at[next] + dur
			hi := w.hi[e]
			if len(w.levels) > 0 {
				full = p.fullFrom(w, e, seen, full)
				seen, hi = e, min(hi, full)
			}
			if hi < t {
				break
			}
			if v := val[next]; w.lo[e] <= w.hi[e] {
				for tail > head && val[p.queue[tail-1]] >= v {
					tail--
				}
				p.queue[tail] = int32(next)
				tail++
			}
			next++
		}
		for head < tail && w.lo[child.at[p.queue[head]]+dur] > t {
			head++
		}
		if head < tail {
			v := val[p.queue[head]] + w.cost
			if len(books) > 0 {
				v += p.toTime(books, t)
			}
			p.best[i] = min(p.best[i], v)
		}
	}
}

// fullFrom gives the first slot from e on in which one of the way's spaces is
// full, knowing that from seen on it is full.
func (p *placer) fullFrom(w *way, e, seen, full int32) int32 {
	for _, id := range w.levels {
		if g := p.free[id].gap(e, seen); g < seen {
			full = min(full, g)
		}
	}
	return full
}

// trace notes start t for operation i, what it holds then, and the starts of
// everything below it.
func (p *placer) trace(i, t int32) {
	o := &p.ops[i]
	p.at[i-p.base] = t
	if p.start[i] < 0 {
		p.choose(i, t, false)
	}
	for _, e := range o.children {
		if p.start[i] >= 0 && p.start[e.child] >= 0 {
			p.trace(e.child, p.start[e.child])
			continue
		}
		k, u := p.pick(o, t, e)
		p.way[e.link] = int32(k)
		p.trace(e.child, u)
	}
}

// pick finds the way and the start of child e that its parent's cost at t
// counted on.
func (p *placer) pick(o *op, t int32, e edge) (way int, start int32) {
	child := &p.lists[e.child-p.base]
	least, ties := int64(never), 0
	for k := range p.links[e.link].ways {
		w := &p.links[e.link].ways[k]
		a, z := p.span(w, o, t, e)
		for i := sort.Search(len(child.at), func(i int) bool { return child.at[i] <= z }); i < len(child.at) && child.at[i] >= a; i++ {
			v, u := child.val[i]+w.cost, child.at[i]
			if p.price != nil && e.after {
				v += p.toTime(w.books, u) - p.toTime(w.books, t+o.dur)
			} else if p.price != nil {
				v += p.toTime(w.books, t) - p.toTime(w.books, u+p.ops[e.child].dur)
			}
			if v > least || !e.after && !p.meets(w, u+p.ops[e.child].dur, t) {
				continue
			}
			if v < least {
				least, ties = v, 0
			}
			if ties++; ties == 1 || p.rng.below(ties) == 0 {
				way, start = k, u
			}
		}
	}
	return way, start
}

// span bounds the starts of child e within window w around its parent's start t.
func (p *placer) span(w *way, o *op, t int32, e edge) (a, z int32) {
	if !e.after {
		return 0, t - p.ops[e.child].dur
	}
	end := t + o.dur
	a, z = w.lo[end], w.hi[end]
	for _, id := range w.levels {
		z = min(z, p.free[id].gap(end, z))
	}
	return a, z
}

// meets tells whether a wait from e to t is possible.
func (p *placer) meets(w *way, e, t int32) bool {
	if t < w.lo[e] || t > w.hi[e] {
		return false
	}
	for _, id := range w.levels {
		if p.free[id].gap(e, t) < t {
			return false
		}
	}
	return true
}

// choose notes the cheapest alternatives that operation i finds room with at t.
// Without doubt, single choices are taken for granted.
func (p *placer) choose(i, t int32, doubt bool) bool {
	o := &p.ops[i]
	for g := range o.groups {
		combos, least, ties := o.groups[g].combos, int64(never), 0
		sure := len(combos) == 1 && !doubt
		for k := range combos {
			cost := combos[k].cost + p.toll(combos[k].books, t)
			if sure || cost <= least && p.fits(combos[k].pieces, t) {
				if cost < least {
					least, ties = cost, 0
				}
				if ties++; ties == 1 || p.rng.below(ties) == 0 {
					p.combo[o.group+int32(g)] = int32(k)
				}
			}
		}
		if ties == 0 {
			return false
		}
	}
	return o.use == nil || p.chooseMachine(i, t, doubt)
}

// chooseMachine picks among equals at random, but mostly from those that are
// used with the same profile around then: spreading a profile over machines
// costs room for others later on.
func (p *placer) chooseMachine(i, t int32, doubt bool) bool {
	u, least, ties := p.ops[i].use, int64(never), 0
	sure := len(u.machines) == 1 && !doubt
	social, company := !sure && p.rng.below(4) > 0, false
	for k := range u.machines {
		m := &u.machines[k]
		cost := m.cost + p.toll(m.books, t)
		if !sure && (cost > least || !p.admits(&p.ops[i], m, t)) {
			continue
		}
		shared := social && p.shared(i, t, m.id)
		if cost < least || shared && !company {
			least, ties, company = cost, 0, shared
		} else if company && !shared {
			continue
		}
		if ties++; ties == 1 || p.rng.below(ties) == 0 {
			p.mach[i] = int32(k)
		}
	}
	return ties > 0
}

// shared tells whether machine id is used with operation i's profile around t.
func (p *placer) shared(i, t, id int32) bool {
	o := &p.ops[i]
	for _, c := range p.uses[id] {
		x := &p.ops[c]
		if x.use.profile == o.use.profile && p.start[c] < t+2*o.dur && t < p.start[c]+x.dur+o.dur {
			return true
		}
	}
	return false
}

// fits tells whether there is room for all pieces of an operation at t.
func (p *placer) fits(pieces []piece, t int32) bool {
	for _, k := range pieces {
		if p.free[k.level].gap(t+k.from, t+k.to) < t+k.to {
			return false
		}
	}
	return true
}

// admits tells whether machine m can take o at t.
func (p *placer) admits(o *op, m *machine, t int32) bool {
	w := int(t >> 6)
	p.alt[w] = 1 << (t & 63)
	p.vacant(p.alt, o, m, w, w)
	return p.alt[w] != 0
}
