package solve

import "slices"

// lying is what one use has on the parts of a machine for a while.
type lying struct {
	from, to int32
	items    []int32 // by part
	share    []int64 // what an item takes of each
}

// beside lists what the uses of a machine have on its parts, for as long as the
// next call.
func (b *board) beside(id int32) []lying {
	b.lie = b.lie[:0]
	for _, c := range b.uses[id] {
		o := &b.ops[c]
		if x := &o.use.machines[b.mach[c]]; o.spread.from < o.spread.to {
			b.lie = append(b.lie, lying{b.start[c], b.start[c] + o.dur, b.items[o.spread.from:o.spread.to], x.share})
		}
	}
	return b.lie
}

// crowded drops from dst the starts lo..hi-1 at which the parts of machine k have
// no room for all items of o. What there is room for changes only where a use
// ends, and where the end of o comes to the start of one.
func (p *placer) crowded(dst bitset, o *op, k *machine, lo, hi int32) {
	all := p.beside(k.id)
	p.cuts = append(p.cuts[:0], lo)
	for i := range all {
		for _, t := range [2]int32{all[i].to, all[i].from - o.dur + 1} {
			if lo < t && t < hi {
				p.cuts = append(p.cuts, t)
			}
		}
	}
	slices.Sort(p.cuts)
	for i, t := range p.cuts {
		end := hi
		if i+1 < len(p.cuts) {
			end = p.cuts[i+1]
		}
		if t < end && !p.holds(all, k, o, t) {
			dst.clearRange(t, end)
		}
	}
}

// holds says whether all items of o find room on machine k from t on.
func (b *board) holds(all []lying, k *machine, o *op, t int32) bool {
	sum := int32(0)
	b.left = roomOn(b.left, b.p.Machines[k.id].Parts, all, t, t+o.dur)
	for i, left := range b.left {
		sum += fitting(left, k.share[i], o.use.items)
	}
	return sum >= o.use.items
}

// unlay notes that it is open what o lies on.
func (b *board) unlay(o *op) {
	items := b.items[o.spread.from:o.spread.to]
	clear(items)
	if len(items) > 0 {
		items[0] = -1
	}
}

// lay spreads the items of operation i, at t on its machine, over the parts that
// have room for them, unless that is settled; or opens that again (sign -1).
func (b *board) lay(i, t, sign int32) {
	o := &b.ops[i]
	switch {
	case o.spread.from == o.spread.to || sign > 0 && b.items[o.spread.from] >= 0:
		return
	case sign < 0:
		b.unlay(o)
		return
	}
	k := &o.use.machines[b.mach[i]]
	b.left = roomOn(b.left, b.p.Machines[k.id].Parts, b.beside(k.id), t, t+o.dur)
	spread(b.items[o.spread.from:o.spread.to], b.left, k.share, o.use.items)
}

// roomOn gives the least room left of each part during from..to-1, in the slice
// given if that is large enough.
func roomOn(left, parts []int64, all []lying, from, to int32) []int64 {
	left = append(left[:0], parts...)
	taken := func(part int, t int32) (sum int64) {
		for i := range all {
			if x := &all[i]; x.from <= t && t < x.to && part < len(x.items) {
				sum += int64(x.items[part]) * x.share[part]
			}
		}
		return sum
	}
	for part := range left {
		most := taken(part, from)
		for i := range all {
			if t := all[i].from; from < t && t < to {
				most = max(most, taken(part, t))
			}
		}
		left[part] -= most
	}
	return left
}

// fitting is how many of so many items find room; none where an item has no
// share.
func fitting(left, share int64, items int32) int32 {
	if share <= 0 || left < share {
		return 0
	}
	return int32(min(left/share, int64(items)))
}

// spread puts items on parts: all on the part they leave least room on, if one
// takes them; else the part that takes most is filled first. What finds no room,
// as only what is frozen may, goes on the last part that is tried.
func spread(out []int32, left, share []int64, items int32) {
	clear(out)
	for items > 0 {
		best, most := -1, int32(-1)
		for i := range left {
			if n := fitting(left[i], share[i], items); out[i] == 0 && share[i] > 0 && (n > most || n == most && n == items && left[i] < left[best]) {
				best, most = i, n
			}
		}
		if most <= 0 {
			best, most = max(best, 0), items
		}
		out[best] += most
		items -= most
	}
}

// Lying is what a use has on the parts of its machine from one slot up to, not
// including, another.
type Lying struct {
	Use      *Use
	Choice   Choice
	From, To int
}

// Spread puts the items of u on the parts of machine m for a while, beside what
// lies there; false where there is no room for all.
func (p *Problem) Spread(u *Use, m int, all []Lying, from, to int) ([]int, bool) {
	parts := p.Machines[m].Parts
	if len(parts) == 0 {
		return nil, true
	}
	var lie []lying
	for _, x := range all {
		if x.Choice.Machine == m {
			lie = append(lie, lying{int32(x.From), int32(x.To), int32s(x.Choice.Spread), x.Use.share(m)})
		}
	}
	left, share, sum := roomOn(nil, parts, lie, int32(from), int32(to)), u.share(m), int32(0)
	for i := range left {
		sum += fitting(left[i], share[i], int32(u.Items))
	}
	if sum < int32(u.Items) {
		return nil, false
	}
	got := make([]int32, len(parts))
	spread(got, left, share, int32(u.Items))
	out := make([]int, len(parts))
	for i, n := range got {
		out[i] = int(n)
	}
	return out, true
}

// share is what an item takes of each part of machine m.
func (u *Use) share(m int) []int64 {
	if i := slices.Index(u.Any, m); i >= 0 && i < len(u.Share) {
		return u.Share[i]
	}
	return nil
}

func int32s(xs []int) []int32 {
	out := make([]int32, len(xs))
	for i, x := range xs {
		out[i] = int32(x)
	}
	return out
}
