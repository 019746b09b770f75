package solve

import (
	"slices"
	"sort"
)

// compile prepares a valid problem.
func compile(p *Problem) *model {
	m := &model{p: p, slots: int32(p.Slots), now: int32(p.Now)}
	c := compiler{model: m, level: map[level]int32{}, window: map[any]*tables{}}
	c.stores()
	c.canonical()
	for _, j := range m.order {
		c.job(&p.Jobs[j])
	}
	m.byRoom = make([][]int, len(m.stores))
	for i, l := range m.levels {
		m.byRoom[l.store] = append(m.byRoom[l.store], i)
	}
	return m
}

type compiler struct {
	*model
	level  map[level]int32
	window map[any]*tables // by *Window or by [2]int of a fixed window
}

// tables are a window in absolute slots, with a hash of what it says.
type tables struct {
	lo, hi []int32
	hash   int64
}

func (c *compiler) levelOf(store, amount int32) int32 {
	k := level{store, amount}
	id, ok := c.level[k]
	if !ok {
		id = int32(len(c.levels))
		c.level[k] = id
		c.levels = append(c.levels, k)
	}
	return id
}

// stores lays capacities out by slot. The past is history: no limit there.
func (c *compiler) stores() {
	const plenty = 1 << 30
	fill := func(room func(t int32) int32) {
		row := make([]int32, c.slots)
		for t := range row {
			row[t] = plenty
			if int32(t) >= c.now {
				row[t] = min(plenty, room(int32(t)))
			}
		}
		c.model.stores = append(c.model.stores, row)
	}
	for _, r := range c.p.Resources {
		fill(func(t int32) int32 { return int32(capacity(r.Cap, int(t))) })
	}
	for _, m := range c.p.Machines {
		fill(func(t int32) int32 {
			for _, x := range m.Closed {
				if x.From <= int(t) && int(t) < x.To {
					return 0
				}
			}
			return int32(min(m.Cap, plenty))
		})
	}
}

// tablesOf gives a mode's window, prepared once for all that share it.
func (c *compiler) tablesOf(m *Mode) *tables {
	var key any = [2]int{m.Min, m.Max}
	if m.Window != nil {
		key = m.Window
	}
	if t := c.window[key]; t != nil {
		return t
	}
	n := c.slots + 1
	t := &tables{lo: make([]int32, n), hi: make([]int32, n)}
	h := hashStart
	for e := range n {
		a, b := int32(m.Min), int32(m.Max)
		if m.Window != nil {
			a, b = m.Window.Min[e], m.Window.Max[e]
		}
		t.lo[e], t.hi[e] = min(e+a, n), min(e+b, c.slots)
		h = h.add(int64(t.lo[e])<<32 | int64(uint32(t.hi[e])))
	}
	t.hash = int64(h)
	c.window[key] = t
	return t
}

// canonical orders the jobs by what they say, names apart, so that the order
// of input cannot matter, and hashes the whole problem into the seed.
func (c *compiler) canonical() {
	keys := make([][]int64, len(c.p.Jobs))
	for j := range c.p.Jobs {
		keys[j] = c.key(&c.p.Jobs[j])
		c.order = append(c.order, j)
	}
	sort.SliceStable(c.order, func(a, b int) bool { return slices.Compare(keys[c.order[a]], keys[c.order[b]]) < 0 })
	h := hashStart.add(int64(c.slots)).add(int64(c.now)).add(c.p.Late).add(c.p.Early).add(c.p.Span)
	for _, row := range c.model.stores {
		for _, x := range row {
			h = h.add(int64(x))
		}
	}
	for _, m := range c.p.Machines {
		for _, x := range m.Parts {
			h = h.add(x)
		}
	}
	for _, j := range c.order {
		for _, x := range keys[j] {
			h = h.add(x)
		}
	}
	c.seed = uint64(h)
}

// key lists everything about a job that matters, lists led by their length.
func (c *compiler) key(job *Job) []int64 {
	k := []int64{int64(len(job.Ops))}
	add := func(xs ...int) {
		for _, x := range xs {
			k = append(k, int64(x))
		}
	}
	list := func(anyOf []int, cost []int64) {
		add(len(anyOf))
		add(anyOf...)
		add(len(cost))
		k = append(k, cost...)
	}
	for _, o := range job.Ops {
		add(o.Dur, o.Due, o.Release, o.Fixed, o.Was, len(o.Needs))
		k = append(k, o.Weight, o.EarlyWeight, o.Move, o.MoveFlat)
		if o.Hand > 0 {
			k = append(k, -1, int64(o.Hand), o.HandCost)
		}
		for _, n := range o.Needs {
			list(n.Any, n.Cost)
			add(int(n.Amount), n.From, n.To)
		}
		if u := o.Machine; u != nil {
			list(u.Any, u.Cost)
			add(u.Profile, u.Places)
			for i := range u.Share {
				add(u.Items)
				k = append(k, u.Share[i]...)
			}
		}
		if f := o.FixedChoice; f != nil {
			list(f.Needs, nil)
			add(f.Machine)
			add(f.Spread...)
		}
	}
	for _, l := range job.Links {
		add(l.From, l.To, len(l.Modes))
		for i := range l.Modes {
			k = append(k, c.tablesOf(&l.Modes[i]).hash, l.Modes[i].Cost)
			add(len(l.Modes[i].Space))
			for _, h := range l.Modes[i].Space {
				list(h.Any, h.Cost)
				add(int(h.Amount))
			}
		}
	}
	return k
}

func (c *compiler) job(src *Job) {
	id, base := int32(len(c.jobs)), int32(len(c.ops))
	j := job{ops: span{base, base + int32(len(src.Ops))}}
	for i := range src.Ops {
		c.ops = append(c.ops, c.op(&src.Ops[i], id))
	}
	j.links = span{int32(len(c.links)), int32(len(c.links) + len(src.Links))}
	for i := range src.Links {
		c.links = append(c.links, c.link(&src.Links[i], base))
	}
	c.longest = max(c.longest, len(src.Ops))
	j.impossible = !c.domains(&j)
	c.root(&j)
	c.jobs = append(c.jobs, j)
}

func (c *compiler) op(src *Op, job int32) op {
	o := op{
		job: job, dur: int32(src.Dur), frozen: src.Fixed != Free, was: int32(src.Was), move: src.Move, flat: src.MoveFlat,
		lo: int32(max(c.p.Now, src.Release)), hi: int32(c.p.Slots - src.Dur), up: -1, due: int32(src.Due), group: int32(c.groups),
	}
	if src.Was == Free {
		o.move, o.flat = 0, 0
	}
	if src.Weight > 0 {
		o.weight, o.earlyWeight = src.Weight, src.EarlyWeight
		o.hand, o.spent = int32(src.Hand), src.HandCost
		o.late, o.early = c.p.Late*src.Weight, c.p.Early*src.EarlyWeight
	}
	if o.frozen {
		o.at = int32(src.Fixed)
		o.lo, o.hi = o.at, o.at
	}
	c.needs(&o, src)
	c.use(&o, src)
	return o
}

// needs groups needs that are chosen together.
func (c *compiler) needs(o *op, src *Op) {
	in := src.together()
	for i := range in {
		if in[i] != i {
			continue
		}
		var g group
		for k := range in {
			if in[k] == i {
				g.needs = append(g.needs, int32(k))
			}
		}
		c.combine(&g, src)
		o.groups = append(o.groups, g)
		c.groups++
		c.widest = max(c.widest, len(g.combos))
	}
}

func meet(a, b []int) bool {
	for _, x := range a {
		if slices.Contains(b, x) {
			return true
		}
	}
	return false
}

// combine lists every way to serve the group's needs.
func (c *compiler) combine(g *group, src *Op) {
	pick := make([]int, len(g.needs))
	anyOf := func(i int) []int {
		if f := src.FixedChoice; src.Fixed != Free && f != nil && f.Needs != nil {
			return f.Needs[g.needs[i] : g.needs[i]+1]
		} else if src.Fixed != Free {
			return src.Needs[g.needs[i]].Any[:1]
		}
		return src.Needs[g.needs[i]].Any
	}
	for {
		var b combo
		for i, k := range pick {
			n := &src.Needs[g.needs[i]]
			r := anyOf(i)[k]
			b.serves = append(b.serves, int32(r))
			b.books = append(b.books, booking{int32(r), n.Amount, int32(n.From), int32(n.End(src.Dur))})
			b.cost += price(n.Any, n.Cost, r)
		}
		b.pieces = c.pieces(b.books)
		g.priced = g.priced || b.cost > 0
		g.combos = append(g.combos, b)
		i := 0
		for ; i < len(pick); i++ {
			if pick[i]++; pick[i] < len(anyOf(i)) {
				break
			}
			pick[i] = 0
		}
		if i == len(pick) {
			return
		}
	}
}

// pieces asks for what the bookings take together: where several of one store
// overlap, also for their sum.
func (c *compiler) pieces(books []booking) []piece {
	var out []piece
	for i, a := range books {
		alone := true
		for k, b := range books {
			alone = alone && (i == k || b.store != a.store || b.to <= a.from || a.to <= b.from)
		}
		if alone {
			out = append(out, piece{c.levelOf(a.store, a.amount), a.from, a.to})
			continue
		}
		for t := a.from; t < a.to; t++ {
			sum, first := int32(0), i
			for k, b := range books {
				if b.store == a.store && b.from <= t && t < b.to {
					sum, first = sum+b.amount, min(first, k)
				}
			}
			if first == i {
				out = append(out, piece{c.levelOf(a.store, sum), t, t + 1})
			}
		}
	}
	return out
}

func (c *compiler) use(o *op, src *Op) {
	o.spread = span{c.spread, c.spread}
	if src.Machine == nil {
		return
	}
	s := src.Machine
	most := int32(0) // parts of the machine with most
	u := &use{profile: int32(s.Profile), places: int32(s.Places), items: int32(s.Items)}
	anyOf := s.Any
	if f := src.FixedChoice; o.frozen && f != nil {
		anyOf = []int{f.Machine}
	} else if o.frozen {
		anyOf = anyOf[:1]
	}
	for _, id := range anyOf {
		k := machine{id: int32(id), level: c.levelOf(int32(len(c.p.Resources)+id), u.places), cost: price(s.Any, s.Cost, id), cold: c.now}
		if cold := c.p.Machines[id].Cold; cold != nil {
			k.cold += int32(cold[s.Profile])
		} else if c.p.Cold != nil {
			k.cold += int32(c.p.Cold[s.Profile])
		}
		u.priced = u.priced || k.cost > 0
		k.books = []booking{{int32(len(c.p.Resources) + id), u.places, 0, o.dur}}
		parts := c.p.Machines[id].Parts
		k.share = make([]int64, len(parts))
		copy(k.share, s.share(id))
		most = max(most, int32(len(parts)))
		u.machines = append(u.machines, k)
	}
	o.use = u
	if u.items > 0 {
		c.spread += most
		o.spread.to = c.spread
		if f := src.FixedChoice; o.frozen && f != nil {
			o.lies = int32s(f.Spread)
		}
	}
}

func (c *compiler) link(src *Link, base int32) link {
	l := link{from: base + int32(src.From), to: base + int32(src.To)}
	l.frozen = c.ops[l.from].frozen && c.ops[l.to].frozen
	for i := range src.Modes {
		c.ways(&l, &src.Modes[i], int32(i))
		if l.frozen {
			l.ways = l.ways[:1]
			break
		}
	}
	return l
}

// ways multiplies a mode's holds out.
func (c *compiler) ways(l *link, src *Mode, mode int32) {
	t := c.tablesOf(src)
	pick := make([]int, len(src.Space))
	for {
		w := way{lo: t.lo, hi: t.hi, mode: mode, cost: src.Cost}
		for i, k := range pick {
			h := &src.Space[i]
			r := h.Any[k]
			w.space = append(w.space, int32(r))
			w.books = append(w.books, booking{store: int32(r), amount: h.Amount})
			w.cost += price(h.Any, h.Cost, r)
		}
		for i, b := range w.books {
			sum := int32(0)
			for k, x := range w.books {
				if x.store == b.store && k < i {
					sum = -1
					break
				} else if x.store == b.store {
					sum += x.amount
				}
			}
			if sum > 0 {
				w.levels = append(w.levels, c.levelOf(b.store, sum))
			}
		}
		l.ways = append(l.ways, w)
		i := 0
		for ; i < len(pick); i++ {
			if pick[i]++; pick[i] < len(src.Space[i].Any) {
				break
			}
			pick[i] = 0
		}
		if i == len(pick) {
			return
		}
	}
}
