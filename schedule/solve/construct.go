package solve

import "slices"

// nearby is how far before its promise, in slots of weight 1, a job is tried
// before all the horizon is.
const nearby = 60

// construct builds plans by a few orders of the jobs and keeps the best, or
// with anew false only adds what is missing to the plan on the board.
func (s *search) construct(anew bool) {
	order := make([]int, len(s.jobs))
	for j := range order {
		order[j] = j
	}
	for k, before := range []func(x, y *op) int{
		func(x, y *op) int { return int(y.due - x.due) },
		func(x, y *op) int { return int(x.due - y.due) },
		func(x, y *op) int { return int(min(max(y.weight-x.weight, -1), 1)) },
	} {
		if k > 0 && s.steps >= s.budget {
			break
		}
		slices.SortStableFunc(order, func(a, b int) int { return before(&s.ops[s.jobs[a].leaf], &s.ops[s.jobs[b].leaf]) })
		for _, j := range order {
			if anew {
				s.remove(j)
			}
		}
		for _, j := range order {
			// near the promise first: that looks at few slots
			near := s.jobs[j].least + s.p.Span*int64(s.slots) + s.p.Early*nearby
			for !s.on[j] && !s.insert(j, near) && near < maxCost {
				near = min(16*max(near, 1)+s.p.Late, maxCost) // a problem may price nothing
			}
		}
		s.measure()
		s.publish()
		if !anew && k == 0 {
			break
		}
	}
	s.back()
}

// resume puts on the board what is still possible of a former plan.
func (s *search) resume(p *Plan) {
	for j := range s.jobs {
		if at := s.order[j]; at < len(p.Jobs) {
			s.adopt(j, &p.Jobs[at])
		}
	}
}

// adopt places job j as in the former plan, if that is still possible.
func (s *search) adopt(j int, old *JobPlan) {
	b := &s.jobs[j]
	if b.impossible || len(old.Ops) != int(b.ops.to-b.ops.from) || len(old.Links) != int(b.links.to-b.links.from) {
		return
	}
	s.base, s.mine = b.ops.from, s.mine[:0]
	for i := range old.Links {
		if !s.recall(b.links.from+int32(i), &old.Links[i]) {
			return
		}
	}
	for i := range old.Ops {
		s.at[i] = int32(old.Ops[i].Start)
	}
	for _, i := range b.walk {
		if s.start[i] < 0 && !s.seat(i, &old.Ops[i-s.base]) {
			s.withdraw()
			return
		}
	}
	s.put(j)
}

// recall finds the way a wait went.
func (s *search) recall(i int32, old *LinkPlan) bool {
	for k, w := range s.links[i].ways {
		if int(w.mode) == old.Mode && slices.EqualFunc(w.space, old.Space, func(a int32, b int) bool { return int(a) == b }) {
			s.way[i] = int32(k)
			return true
		}
	}
	return s.links[i].frozen
}

// seat puts operation i where it was, with what it held.
func (s *search) seat(i int32, old *OpPlan) bool {
	o, t := &s.ops[i], int32(old.Start)
	if old.Start < int(o.lo) || old.Start > int(o.hi) {
		return false
	}
	for g := range o.groups {
		k := slices.IndexFunc(o.groups[g].combos, func(c combo) bool {
			for x, n := range o.groups[g].needs {
				if int(n) >= len(old.Needs) || old.Needs[n] != int(c.serves[x]) {
					return false
				}
			}
			return s.fits(c.pieces, t)
		})
		if k < 0 {
			return false
		}
		s.combo[o.group+int32(g)] = int32(k)
	}
	if o.use != nil {
		k := slices.IndexFunc(o.use.machines, func(m machine) bool { return int(m.id) == old.Machine && s.admits(o, &m, t) })
		if k < 0 {
			return false
		}
		s.mach[i] = int32(k)
	}
	return s.book(i, t, true)
}
