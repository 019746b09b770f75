package solve

import "slices"

// domains narrows every start of a job to what its windows allow. It reports
// whether anything is left. Windows never fall, so bounds suffice.
func (c *compiler) domains(j *job) bool {
	links := c.links[j.links.from:j.links.to]
	for range links { // bounds cross one link a round at least
		changed := false
		for i := range links {
			if l := &links[i]; !l.frozen && c.ops[l.from].lo <= c.ops[l.from].hi && c.ops[l.to].lo <= c.ops[l.to].hi {
				changed = c.narrow(l) || changed
			}
		}
		if !changed {
			break
		}
	}
	for _, o := range c.ops[j.ops.from:j.ops.to] {
		if o.lo > o.hi {
			return false
		}
	}
	return true
}

// narrow applies one link to the domains at both of its ends.
func (c *compiler) narrow(l *link) bool {
	a, b := &c.ops[l.from], &c.ops[l.to]
	before := [4]int32{a.lo, a.hi, b.lo, b.hi}
	lo, hi := int32(c.slots+1), int32(-1)
	for _, w := range l.ways {
		lo, hi = min(lo, w.lo[a.lo+a.dur]), max(hi, w.hi[a.hi+a.dur])
	}
	b.lo, b.hi = max(b.lo, lo), min(b.hi, hi)
	reach := func(t int32, ok func(w *way, e int32) bool) bool {
		return slices.ContainsFunc(l.ways, func(w way) bool { return ok(&w, t+a.dur) })
	}
	for a.lo <= a.hi && !reach(a.lo, func(w *way, e int32) bool { return w.hi[e] >= b.lo }) {
		a.lo++
	}
	for a.lo <= a.hi && !reach(a.hi, func(w *way, e int32) bool { return w.lo[e] <= b.hi }) {
		a.hi--
	}
	return before != [4]int32{a.lo, a.hi, b.lo, b.hi}
}

// root hangs the job's tree up at the first operation of its longest chain.
func (c *compiler) root(j *job) {
	next := make([][]edge, c.longest) // neighbours by operation of the job
	for i := j.links.from; i < j.links.to; i++ {
		l := c.links[i]
		from, to := l.from-j.ops.from, l.to-j.ops.from
		next[from] = append(next[from], edge{i, l.to, true})
		next[to] = append(next[to], edge{i, l.from, false})
	}
	root, best := j.ops.from, int32(-1)
	for i := j.ops.from; i < j.ops.to; i++ {
		if n, leaf := c.chain(j, next, i); n > best {
			root, best, j.leaf = i, n, leaf
		}
	}
	var hang func(i int32, segment int)
	hang = func(i int32, segment int) {
		j.segments[segment] = append(j.segments[segment], i)
		o := &c.ops[i]
		for _, e := range next[i-j.ops.from] {
			o.links = append(o.links, e.link)
			if e.link != o.up {
				o.children = append(o.children, e)
			}
		}
		for _, e := range o.children {
			c.ops[e.child].up = e.link
			at := segment
			if len(o.children) > 1 || !e.after {
				at = len(j.segments)
				j.segments = append(j.segments, nil)
			}
			hang(e.child, at)
		}
		j.walk = append(j.walk, i)
	}
	j.segments = [][]int32{nil}
	hang(root, 0)
	j.parallel = len(j.segments) > 1 || c.machineTwice(j)
}

// chain gives the length of the longest chain from operation i on, and its end.
func (c *compiler) chain(j *job, next [][]edge, i int32) (int32, int32) {
	best, leaf := int32(0), i
	for _, e := range next[i-j.ops.from] {
		if e.after {
			if n, end := c.chain(j, next, e.child); n+1 > best {
				best, leaf = n+1, end
			}
		}
	}
	return c.ops[i].dur + best, leaf
}

func (c *compiler) machineTwice(j *job) bool {
	n := 0
	for _, o := range c.ops[j.ops.from:j.ops.to] {
		if o.use != nil {
			n++
		}
	}
	return n > 1
}
