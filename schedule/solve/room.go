package solve

import "math/bits"

// open sets the mask to the starts lo..hi of o that the board has room for.
func (p *placer) open(o *op, lo, hi int32) bool {
	a, z := int(lo>>6), int(hi>>6)
	clear(p.mask[a : z+1])
	p.mask.setRange(lo, hi+1)
	for g := range o.groups {
		combos := o.groups[g].combos
		if len(combos) == 1 {
			p.fit(p.mask, combos[0].pieces, a, z)
			continue
		}
		p.alternatives(a, z, len(combos), func(k int) { p.fit(p.alt, combos[k].pieces, a, z) })
	}
	if o.use != nil {
		p.alternatives(a, z, len(o.use.machines), func(k int) { p.vacant(p.alt, o, &o.use.machines[k], a, z) })
	}
	for _, w := range p.mask[a : z+1] {
		if w != 0 {
			return true
		}
	}
	return false
}

// alternatives narrows the mask to what one of n alternatives leaves of it.
func (p *placer) alternatives(a, z, n int, narrow func(k int)) {
	clear(p.some[a : z+1])
	for k := range n {
		copy(p.alt[a:z+1], p.mask[a:z+1])
		narrow(k)
		for i := a; i <= z; i++ {
			p.some[i] |= p.alt[i]
		}
	}
	copy(p.mask[a:z+1], p.some[a:z+1])
}

// fit drops from dst the starts for which some piece finds no room.
func (p *placer) fit(dst bitset, pieces []piece, a, z int) {
	for _, k := range pieces {
		runs(p.run, p.free[k.level], a, z, k.from, k.to)
		for i := a; i <= z; i++ {
			dst[i] &= p.run[i]
		}
	}
}

// vacant drops from dst the starts at which o cannot use machine k: for want
// of places, or because other uses need another state around then.
func (p *placer) vacant(dst bitset, o *op, k *machine, a, z int) {
	runs(p.run, p.free[k.level], a, z, 0, o.dur)
	for i := a; i <= z; i++ {
		dst[i] &= p.run[i]
	}
	lo, hi := int32(a)<<6, int32(z)<<6+64
	dst.clearRange(lo, min(hi, k.cold))
	drop := func(from, to int32) { dst.clearRange(max(lo, from), min(hi, to)) }
	if o.use.items > 0 {
		p.crowded(dst, o, k, lo, hi)
	}
	mine := o.use.profile
	for _, c := range p.uses[k.id] {
		s, other := p.start[c], p.ops[c].use.profile
		e := s + p.ops[c].dur
		if other != mine {
			drop(s-p.setup(mine, other)-o.dur+1, e+p.setup(other, mine))
		} else if tol := p.join(mine); tol >= 0 {
			gap := p.setup(mine, mine)
			drop(s-gap-o.dur+1, s-tol)
			drop(s+tol+1, e+gap)
		}
	}
}

// collect lists the starts in the mask with their own cost, latest first.
func (p *placer) collect(s *job, i, lo, hi int32) {
	o, f := &p.ops[i], &p.lists[i-p.base]
	at, val := f.at[:cap(f.at)], f.val[:cap(f.at)]
	n := 0
	root, leaf := o.up < 0, i == s.leaf
	plain := !o.priced() && !root && !leaf
	for w := int(hi >> 6); w >= int(lo>>6); w-- {
		for x := p.mask[w]; x != 0; {
			b := 63 - bits.LeadingZeros64(x)
			x &^= 1 << b
			t, v := int32(w<<6+b), int64(0)
			if !plain {
				v = o.cost(t)
				if root {
					v += p.p.Span * int64(max(0, p.first-t))
				}
				if leaf {
					v += p.p.Span * int64(max(0, t+o.dur-p.last))
				}
				if v > p.limit {
					continue
				}
			}
			at[n], val[n] = t, v
			n++
		}
	}
	f.at, f.val = at[:n], val[:n]
}

// choices adds the least price among the alternatives there is room for.
func (p *placer) choices(o *op, f *list, lo, hi int32) {
	a, z := int(lo>>6), int(hi>>6)
	for g := range o.groups {
		if combos := o.groups[g].combos; o.groups[g].priced || p.price != nil && len(combos) > 1 {
			p.addCheapest(f, a, z, len(combos), func(k int) (int64, []booking) {
				p.fit(p.alt, combos[k].pieces, a, z)
				return combos[k].cost, combos[k].books
			})
		}
	}
	if o.use != nil && (o.use.priced || p.price != nil && len(o.use.machines) > 1) {
		p.addCheapest(f, a, z, len(o.use.machines), func(k int) (int64, []booking) {
			p.vacant(p.alt, o, &o.use.machines[k], a, z)
			return o.use.machines[k].cost, o.use.machines[k].books
		})
	}
}

// addCheapest adds the least of what narrow tells of n alternatives.
func (p *placer) addCheapest(f *list, a, z, n int, narrow func(k int) (int64, []booking)) {
	best := p.best[:len(f.at)]
	for i := range best {
		best[i] = never
	}
	for k := range n {
		copy(p.alt[a:z+1], p.mask[a:z+1])
		cost, books := narrow(k)
		if books = p.tolled(books); len(books) > 0 {
			for i, t := range f.at {
				if p.alt.has(t) {
					best[i] = min(best[i], cost+p.toll(books, t))
				}
			}
			continue
		}
		for i, t := range f.at {
			if cost < best[i] && p.alt.has(t) {
				best[i] = cost
			}
		}
	}
	p.add(f)
}

// add adds best to f and drops what exceeds the limit.
func (p *placer) add(f *list) {
	n, limit := 0, p.limit
	if p.price != nil {
		limit += p.slack // prices come on top of the cost that is limited
	}
	for i, t := range f.at {
		if v := f.val[i] + p.best[i]; v <= limit {
			f.at[n], f.val[n] = t, v
			n++
		}
	}
	f.at, f.val = f.at[:n], f.val[:n]
}

// charge adds the prices of what there is no choice about.
func (p *placer) charge(o *op, f *list) {
	for g := range o.groups {
		if combos := o.groups[g].combos; len(combos) == 1 {
			p.chargeFor(combos[0].books, f)
		}
	}
	if o.use != nil && len(o.use.machines) == 1 {
		p.chargeFor(o.use.machines[0].books, f)
	}
}

func (p *placer) chargeFor(books []booking, f *list) {
	if books = p.tolled(books); len(books) > 0 {
		for i, t := range f.at {
			f.val[i] += p.toll(books, t)
		}
	}
}

// tolled is books, or nothing where none of them costs anything.
func (p *placer) tolled(books []booking) []booking {
	if p.price != nil {
		for _, b := range books {
			if p.price[b.store] != nil {
				return books
			}
		}
	}
	return nil
}

// toll prices bookings around t.
func (p *placer) toll(books []booking, t int32) int64 {
	if p.price == nil {
		return 0
	}
	sum := int64(0)
	for _, b := range books {
		if row := p.price[b.store]; row != nil {
			sum += int64(b.amount) * (row[t+b.to] - row[t+b.from])
		}
	}
	return sum
}

// toTime prices bookings of a wait from time 0 to t.
func (p *placer) toTime(books []booking, t int32) int64 {
	sum := int64(0)
	for _, b := range books {
		if row := p.price[b.store]; row != nil {
			sum += int64(b.amount) * row[t]
		}
	}
	return sum
}
