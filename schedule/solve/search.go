package solve

import (
	"context"
	"math/bits"
	"slices"
)

// missing is the cost of a job off the board. It outweighs every plan.
const missing = 2 * maxCost

// search improves the plan on a board by ruin and recreate: a few related jobs
// are taken off and put back one by one, each at its cheapest place; the
// outcome is kept or undone by the rule of annealing.
type search struct {
	*placer
	budget int
	cost   int64 // of the plan on the board, missing jobs included
	best   snapshot
	first  int // steps until the first complete plan
	found  int // steps until the best plan
	out    []int
	saved  snapshot
}

// snapshot is a copy of the plan on a board.
type snapshot struct {
	cost       int64
	start      []int32
	mach       []int32
	combo, way []int32
	on         []bool
}

func (s *search) save(to *snapshot) {
	to.cost = s.cost
	to.start = append(to.start[:0], s.start...)
	to.mach = append(to.mach[:0], s.mach...)
	to.combo = append(to.combo[:0], s.combo...)
	to.way = append(to.way[:0], s.way...)
	to.on = append(to.on[:0], s.on...)
}

// load brings the board back to the plan in from.
func (s *search) load(from *snapshot) {
	var changed []int
	for j := range s.jobs {
		if !s.same(j, from) {
			changed = append(changed, j)
			s.remove(j)
		}
	}
	for _, j := range changed {
		s.restore(j, from)
	}
	s.cost = from.cost
}

func (s *search) same(j int, as *snapshot) bool {
	b := &s.jobs[j]
	o, l := b.ops, b.links
	g, h := s.ops[o.from].group, int32(s.groups)
	if int(o.to) < len(s.ops) {
		h = s.ops[o.to].group
	}
	return s.on[j] == as.on[j] && slices.Equal(s.start[o.from:o.to], as.start[o.from:o.to]) &&
		slices.Equal(s.mach[o.from:o.to], as.mach[o.from:o.to]) &&
		slices.Equal(s.combo[g:h], as.combo[g:h]) && slices.Equal(s.way[l.from:l.to], as.way[l.from:l.to])
}

// restore puts job j back where it was in from; it must be off the board.
func (s *search) restore(j int, from *snapshot) {
	b := &s.jobs[j]
	o, l := b.ops, b.links
	g, h := s.ops[o.from].group, int32(s.groups)
	if int(o.to) < len(s.ops) {
		h = s.ops[o.to].group
	}
	copy(s.mach[o.from:o.to], from.mach[o.from:o.to])
	copy(s.combo[g:h], from.combo[g:h])
	copy(s.way[l.from:l.to], from.way[l.from:l.to])
	if !from.on[j] {
		return
	}
	for i := o.from; i < o.to; i++ {
		if !s.ops[i].frozen {
			s.set(i, from.start[i])
		}
	}
	s.put(j)
}

func (s *search) measure() {
	off, cost := s.total()
	s.cost = cost + int64(off)*missing
}

// run searches until the budget is spent or ctx is done.
func (s *search) run(ctx context.Context) {
	s.construct()
	temp := s.heat()
	idle := 0
	for s.steps < s.budget && len(s.jobs) > 0 && ctx.Err() == nil {
		if s.move(temp) {
			idle = 0
		} else if idle++; idle > 1500 {
			s.load(&s.best)
			idle = 0
		}
	}
}

func (s *search) heat() int64 {
	return 10
}

// construct builds plans by a few orders of the jobs and keeps the best.
func (s *search) construct() {
	n := len(s.jobs)
	orders := [][]int{make([]int, n), make([]int, n), make([]int, n)}
	for k, o := range orders {
		for j := range o {
			o[j] = j
		}
		slices.SortStableFunc(o, func(a, b int) int {
			x, y := s.ops[s.jobs[a].leaf], s.ops[s.jobs[b].leaf]
			switch k {
			case 0:
				return int(y.due - x.due)
			case 1:
				return int(x.due - y.due)
			}
			return int(y.weight - x.weight)
		})
	}
	s.best.cost = never
	for _, o := range orders {
		for _, j := range o {
			s.remove(j)
		}
		for _, j := range o {
			s.insert(j, maxCost)
		}
		s.measure()
		s.publish()
	}
	s.load(&s.best)
}

// publish keeps the plan on the board if it is the best so far.
func (s *search) publish() bool {
	if s.cost < s.best.cost {
		if s.cost < missing && s.best.cost >= missing {
			s.first = s.steps
		}
		s.save(&s.best)
		s.found = s.steps
		return true
	}
	return false
}

// move tries one step and reports whether it led to a new best plan.
func (s *search) move(temp int64) bool {
	s.choose1()
	limit := s.cost + s.rng.exp(temp)
	s.save(&s.saved)
	left := int64(0)
	for _, j := range s.out {
		s.remove(j)
		left += s.jobs[j].least
	}
	for i, j := range s.out {
		left -= s.jobs[j].least
		off, cost := s.total()
		_ = off
		if !s.insert(j, limit-cost-left) {
			s.measure()
			for _, k := range s.out[:i] {
				s.remove(k)
			}
			for _, k := range s.out {
				s.restore(k, &s.saved)
			}
			s.cost = s.saved.cost
			return false
		}
	}
	s.measure()
	return s.publish()
}

// exp draws from an exponential distribution with the given mean, in integers:
// the logarithm is taken from the leading zeros and a straight line between.
func (r *rng) exp(mean int64) int64 {
	x := r.next() | 1
	z := bits.LeadingZeros64(x)
	frac := int64(x << z << 1 >> 48) // 0..65535
	log2 := int64(z+1)<<16 - frac
	return mean * log2 >> 16 * 45426 >> 16 // ln 2 = 45426/65536
}

// choose1 picks the jobs to take off: a random one and a few near it in time.
func (s *search) choose1() {
	n := len(s.jobs)
	s.out = s.out[:0]
	r := 1 + s.rng.below(4)
	if s.rng.below(10) == 0 {
		r = 5 + s.rng.below(4)
	}
	r = min(r, n)
	c := s.rng.below(n)
	s.out = append(s.out, c)
	for len(s.out) < r {
		best, bd := -1, int64(1<<60)
		for j := range n {
			if slices.Contains(s.out, j) {
				continue
			}
			d := int64(abs(int(s.ops[s.jobs[c].leaf].due-s.ops[s.jobs[j].leaf].due))) + int64(s.rng.below(60))
			if d < bd {
				best, bd = j, d
			}
		}
		s.out = append(s.out, best)
	}
	for i := range s.out {
		k := s.rng.below(i + 1)
		s.out[i], s.out[k] = s.out[k], s.out[i]
	}
}
