package solve

import "slices"

// ruin takes a few jobs off the board: one, rather a dear one, and some that
// end near where it ends or should end; of a job with branches perhaps one segment only.
func (s *search) ruin() {
	n := len(s.jobs)
	few := 1 + s.rng.below(4)
	if s.rng.below(10) == 0 {
		few = 5 + s.rng.below(4)
	}
	c := s.rng.below(n)
	if k := s.rng.below(n); s.rng.below(2) == 0 && s.excess(k) > s.excess(c) {
		c = k
	}
	s.out = append(s.out[:0], c)
	at := int(s.board.last[c])
	if o := &s.ops[s.jobs[c].leaf]; o.weight > 0 && s.rng.below(2) == 0 {
		at = int(o.due)
	}
	for len(s.out) < min(few, n) {
		s.out = append(s.out, s.near(at))
	}
	for i := range s.out {
		k := s.rng.below(i + 1)
		s.out[i], s.out[k] = s.out[k], s.out[i]
	}
	for _, j := range s.out {
		if b := &s.jobs[j]; s.on[j] && len(b.segments) > 1 && s.rng.below(2) == 0 {
			s.part(b.segments[s.rng.below(len(b.segments))])
			s.on[j] = false
		} else {
			s.remove(j)
		}
	}
}

// excess is what a job costs above its least.
func (s *search) excess(j int) int64 {
	if !s.on[j] {
		return missing
	}
	return s.board.cost[j] - s.jobs[j].least
}

// near picks a job not yet out that ends near a time, give or take an eighth of
// the horizon.
func (s *search) near(at int) int {
	best, least := -1, int64(never)
	for j := range s.jobs {
		if slices.Contains(s.out, j) {
			continue
		}
		d := int64(abs(at-int(s.board.last[j])) + s.rng.below(int(s.slots)/8+1))
		if d < least {
			best, least = j, d
		}
	}
	return best
}

// part takes operations off the board.
func (s *search) part(ops []int32) {
	for _, i := range ops {
		if !s.ops[i].frozen {
			s.lift(i)
		}
	}
}

// guide lets the next insertion rather not take, where units are few, what the
// jobs in wait held before: each at its own best place, they would block one
// another, while together they may all gain. Every other time it strays besides.
func (s *search) guide(wait []int) {
	s.price = nil
	astray := s.rng.below(2) == 0
	if len(wait) == 0 && !astray {
		return
	}
	clear(s.rows)
	toll := 1 + s.rng.exp(s.toll)
	for _, j := range wait {
		if s.saved.on[j] {
			s.mark(j, toll)
		}
	}
	if astray {
		s.stray(toll)
	}
	for _, row := range s.rows {
		sum := int64(0)
		for t := range row {
			sum += row[t]
			row[t] = sum
		}
	}
	s.price, s.slack = s.rows, 40*toll
}

// row is where tolls on a store are noted, empty at first.
func (s *search) row(store int32) []int64 {
	if s.rows[store] == nil {
		clear(s.tolls[store])
		s.rows[store] = s.tolls[store]
	}
	return s.rows[store]
}

// mark puts a toll on every slot job j held of a scarce store.
func (s *search) mark(j int, toll int64) {
	const scarce = 4
	at := func(books []booking, t int32) {
		for _, k := range books {
			for x := max(s.now, t+k.from); x < t+k.to; x++ {
				if s.stores[k.store][x] <= scarce {
					s.row(k.store)[x+1] = toll
				}
			}
		}
	}
	b := &s.jobs[j]
	for i := b.ops.from; i < b.ops.to; i++ {
		o, t := &s.ops[i], s.saved.start[i]
		for g := range o.groups {
			at(o.groups[g].combos[s.saved.combo[o.group+int32(g)]].books, t)
		}
		if o.use != nil {
			at(o.use.machines[s.saved.mach[i]].books, t)
		}
	}
}

// strays is how many stretches stray picks.
const strays = 3

// stray puts a toll on random stretches of some stores, up to a tenth of the
// horizon long, so that jobs also try what is not their own best place.
func (s *search) stray(toll int64) {
	if s.now == s.slots || len(s.stores) == 0 {
		return
	}
	for range strays {
		row := s.row(int32(s.rng.below(len(s.stores))))
		from := s.now + int32(s.rng.below(int(s.slots-s.now)))
		for t := from; t < min(s.slots, from+1+int32(s.rng.below(int(s.slots)/10+1))); t++ {
			row[t+1] += toll
		}
	}
}
