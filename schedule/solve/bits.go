package solve

import "math/bits"

// bitset is a set of slots, 64 to a word, slot 0 in the lowest bit.
type bitset []uint64

func words(n int) int { return (n + 63) / 64 }

func (b bitset) has(i int32) bool { return b[i>>6]>>(i&63)&1 != 0 }

func (b bitset) set(i int32) { b[i>>6] |= 1 << (i & 63) }

func (b bitset) clear(i int32) { b[i>>6] &^= 1 << (i & 63) }

// setRange adds from..to-1.
func (b bitset) setRange(from, to int32) {
	if from >= to {
		return
	}
	i, k := from>>6, (to-1)>>6
	head, tail := ^uint64(0)<<(from&63), ^uint64(0)>>(63-(to-1)&63)
	if i == k {
		b[i] |= head & tail
		return
	}
	b[i] |= head
	for i++; i < k; i++ {
		b[i] = ^uint64(0)
	}
	b[k] |= tail
}

// clearRange removes from..to-1.
func (b bitset) clearRange(from, to int32) {
	if from >= to {
		return
	}
	i, k := from>>6, (to-1)>>6
	head, tail := ^uint64(0)<<(from&63), ^uint64(0)>>(63-(to-1)&63)
	if i == k {
		b[i] &^= head & tail
		return
	}
	b[i] &^= head
	for i++; i < k; i++ {
		b[i] = 0
	}
	b[k] &^= tail
}

// gap gives the first slot from..to-1 that is not in b, or to.
func (b bitset) gap(from, to int32) int32 {
	if from >= to {
		return to
	}
	i, k := from>>6, (to-1)>>6
	w := ^b[i] & (^uint64(0) << (from & 63))
	for w == 0 {
		if i++; i > k {
			return to
		}
		w = ^b[i]
	}
	return min(to, i<<6+int32(bits.TrailingZeros64(w)))
}

// runs puts into dst every slot t of words lo..hi for which b holds all of
// t+from..t+to-1. Beyond b's end nothing is held.
func runs(dst, b bitset, lo, hi int, from, to int32) {
	top := min(hi+int(to+63)>>6+1, len(b)-1)
	shiftDown(dst, b, lo, top, from)
	for have, want := int32(1), to-from; have < want; {
		step := min(have, want-have)
		andShifted(dst, lo, top, step)
		have += step
	}
}

// shiftDown sets dst to b moved n slots earlier, for words lo..hi.
func shiftDown(dst, b bitset, lo, hi int, n int32) {
	w, s := int(n>>6), uint(n&63)
	for i := lo; i <= hi; i++ {
		var x uint64
		if k := i + w; k < len(b) {
			x = b[k] >> s
			if k+1 < len(b) {
				x |= b[k+1] << (64 - s)
			}
		}
		dst[i] = x
	}
}

// andShifted intersects b with itself moved n slots earlier, for words lo..hi;
// nothing is held beyond hi.
func andShifted(b bitset, lo, hi int, n int32) {
	w, s := int(n>>6), uint(n&63)
	for i := lo; i <= hi; i++ {
		var x uint64
		if k := i + w; k <= hi {
			x = b[k] >> s
			if k+1 <= hi {
				x |= b[k+1] << (64 - s)
			}
		}
		b[i] &= x
	}
}
