package solve

import (
	"math"
	"sort"
)

// never is the cost of what cannot be.
const never = math.MaxInt64 / 4

// list holds the possible starts of an operation, latest first, each with the
// least cost of the operation and all below it in the job's tree.
type list struct {
	at  []int32
	val []int64
}

// placer finds the cheapest place of one job beside all that is on the board.
//
// The job's tree is walked from its leaves to its root. For every start t of
// an operation that the board has room for,
//
//	f(t) = own cost of t + sum over children of the least f(u), u within the window
//
// Windows move monotonously with t, so that a queue of falling minima gives
// every least f(u) at constant amortised cost. Operations already on the board
// stay where they are. What the job does to itself is not seen: commit finds out.
type placer struct {
	*board
	lists       []list // by operation of the job
	at          []int32
	mask        bitset // starts there is room for
	some, alt   bitset // the same for alternatives, and for one of them
	run         bitset
	queue       []int32
	best        []int64
	base        int32 // first operation of the job
	first, last int32 // reach of all others
	limit       int64
	rng         *rng
	steps       int     // insertions so far
	mine        []int32 // operations put on the board by the insertion under way
	turn        [][]int32
	lo, hi      int32     // bounds on the root's start
	price       [][]int64 // store -> price of its units before each slot, summed up; nil: none
	keys        []int64   // costs of a child with the prices of a wait
	cuts        []int32   // scratch
	slack       int64     // how far prices may go beyond the limit
}

func newPlacer(b *board, r *rng) *placer {
	n := int(b.slots) + 1
	p := &placer{board: b, lists: make([]list, b.longest), at: make([]int32, b.longest), hi: b.slots, rng: r}
	for i := range p.lists {
		p.lists[i] = list{make([]int32, 0, n), make([]int64, 0, n)}
	}
	p.mask, p.some = make(bitset, words(n)), make(bitset, words(n))
	p.alt, p.run = make(bitset, words(n)), make(bitset, words(n))
	p.queue, p.best, p.keys = make([]int32, n), make([]int64, n), make([]int64, n)
	return p
}

// place finds the cheapest place of job j and gives what it adds to the cost,
// if that is at most limit. The place is noted in at and in the board's choices.
func (p *placer) place(j int, limit int64) (int64, bool) {
	s := &p.jobs[j]
	if s.impossible {
		return 0, false
	}
	offset := p.horizon(j)
	if p.limit = limit - offset; p.limit < 0 {
		return 0, false
	}
	for _, i := range s.walk {
		if !p.list(s, i) {
			return 0, false
		}
	}
	root := s.walk[len(s.walk)-1]
	f := &p.lists[root-p.base]
	k, ties := 0, 0
	for i, v := range f.val {
		if v < f.val[k] || i == 0 {
			k, ties = i, 1
		} else if v == f.val[k] {
			if ties++; p.rng.below(ties) == 0 {
				k = i
			}
		}
	}
	p.trace(root, f.at[k])
	return f.val[k] + offset, true
}

// horizon finds the reach of everything but job j. While nothing else is on the
// board, any start and end stretch the span: then the reach lies inside out
// around the job, and the offset sets that right.
func (p *placer) horizon(j int) (offset int64) {
	s := &p.jobs[j]
	p.base = s.ops.from
	p.first, p.last = p.reach()
	for i := s.ops.from; i < s.ops.to; i++ {
		if t := p.start[i]; t >= 0 {
			p.first, p.last = min(p.first, t), max(p.last, t+p.ops[i].dur)
		}
	}
	if p.first > p.last {
		root, leaf := &p.ops[s.walk[len(s.walk)-1]], &p.ops[s.leaf]
		p.first, p.last = root.hi, leaf.lo+leaf.dur
		offset = p.p.Span * int64(p.last-p.first)
	}
	return offset
}

// list fills the list of operation i, whose children have theirs.
func (p *placer) list(s *job, i int32) bool {
	o, f := &p.ops[i], &p.lists[i-p.base]
	f.at, f.val = f.at[:0], f.val[:0]
	if t := p.start[i]; t >= 0 {
		f.at, f.val = append(f.at, t), append(f.val, 0)
	} else {
		lo, hi := p.domain(s, o)
		if lo > hi || !p.open(o, lo, hi) {
			return false
		}
		p.collect(s, i, lo, hi)
		p.choices(o, f, lo, hi)
		if p.price != nil {
			p.charge(o, f)
		}
	}
	for _, e := range o.children {
		if p.start[i] >= 0 && p.start[e.child] >= 0 {
			continue // both stay, and so does the wait
		}
		p.addChild(f, o, e)
	}
	return len(f.at) > 0
}

// domain bounds the starts of o by its promise and by its children's lists.
func (p *placer) domain(s *job, o *op) (lo, hi int32) {
	lo, hi = o.lo, o.hi
	if o.up < 0 {
		lo, hi = max(lo, p.lo), min(hi, p.hi)
	}
	if o.early > 0 {
		lo = max(lo, o.due-o.hand-o.dur-int32(min(p.limit/o.early, maxSlots)))
	}
	if o.late > 0 {
		hi = min(hi, o.due-o.dur+int32(min(p.limit/o.late, maxSlots)))
	}
	for _, e := range o.children {
		f := p.lists[e.child-p.base].at
		latest, earliest := f[0], f[len(f)-1]
		a, z := p.slots+1, int32(-1)
		for k := range p.links[e.link].ways {
			w := &p.links[e.link].ways[k]
			if e.after {
				a = min(a, int32(sort.Search(int(p.slots), func(t int) bool { return w.hi[t] >= earliest }))-o.dur)
				z = max(z, int32(sort.Search(int(p.slots)+1, func(t int) bool { return w.lo[t] > latest }))-1-o.dur)
			} else {
				d := p.ops[e.child].dur
				a, z = min(a, w.lo[earliest+d]), max(z, w.hi[latest+d])
			}
		}
		lo, hi = max(lo, a), min(hi, z)
	}
	return lo, hi
}
