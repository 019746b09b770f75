package solve

import (
	"context"
	"slices"
)

// grain is the number of price steps in a unit of cost.
const grain = 16

// bounder holds the two relaxations: weighted lateness alone, and all costs but
// the span.
type bounder struct {
	late, total *pricer
	span        int64 // least cost of the span
	rounds      int
}

// bounder prepares the bounds, starting with every job alone in a kitchen that
// holds only what is frozen, and notes what jobs cost least there.
func (m *model) bounder() *bounder {
	total := newPricer(m.variant(false, grain), nil)
	b := &bounder{late: newPricer(m.variant(true, grain), total.least), total: total}
	length := int32(0)
	for j := range m.jobs {
		job := &m.jobs[j]
		job.impossible = b.total.least[j] == never
		job.least = 0
		if !job.impossible {
			job.least = b.total.least[j] / grain
			length = max(length, m.length(job))
		}
	}
	b.span = m.p.Span * int64(length)
	return b
}

// bound gives the bounds as they are.
func (b *bounder) bound() Bound {
	return Bound{Late: ceil(b.late.floor), Total: ceil(b.total.floor) + b.span}
}

// tighten raises the bounds towards the cost of a complete plan.
func (b *bounder) tighten(ctx context.Context, c *Cost, rounds int) {
	b.rounds += b.late.tighten(ctx, c.Late, rounds)
	b.rounds += b.total.tighten(ctx, c.Total-b.span, rounds)
}

func ceil(grains int64) int64 { return (grains + grain - 1) / grain }

// length bounds the slots from the first start to the last end of a job from
// below, by its main chain.
func (m *model) length(j *job) int32 {
	sum := int32(0)
	for i := j.leaf; ; {
		o := &m.ops[i]
		sum += o.dur
		if o.up < 0 {
			return sum
		}
		l := &m.links[o.up]
		wait := m.slots
		from := &m.ops[l.from]
		for k := range l.ways {
			for t := from.lo; t <= from.hi; t++ {
				if e := t + from.dur; l.ways[k].lo[e] <= l.ways[k].hi[e] {
					wait = min(wait, l.ways[k].lo[e]-e)
				}
			}
		}
		if l.frozen {
			wait = m.ops[l.to].at - from.at - from.dur // what is frozen may even overlap
		}
		sum += wait
		i = l.from
	}
}

// variant is m without the cost of the span, either whole or with weighted
// lateness as the only cost, and all costs multiplied.
func (m *model) variant(lateOnly bool, factor int64) *model {
	c, q := *m, *m.p
	c.p = &q
	q.Span = 0
	other := factor
	if lateOnly {
		other = 0
	}
	c.ops, c.links = slices.Clone(m.ops), slices.Clone(m.links)
	for i := range c.ops {
		o := &c.ops[i]
		o.late *= factor
		if lateOnly {
			o.late = o.weight * factor
		}
		o.early, o.spent, o.move, o.flat = o.early*other, o.spent*other, o.move*other, o.flat*other
		o.groups = slices.Clone(o.groups)
		for g := range o.groups {
			o.groups[g].combos = slices.Clone(o.groups[g].combos)
			for k := range o.groups[g].combos {
				o.groups[g].combos[k].cost *= other
			}
		}
		if o.use != nil {
			u := *o.use
			u.machines = slices.Clone(u.machines)
			for k := range u.machines {
				u.machines[k].cost *= other
			}
			o.use = &u
		}
	}
	for i := range c.links {
		c.links[i].ways = slices.Clone(c.links[i].ways)
		for k := range c.links[i].ways {
			c.links[i].ways[k].cost *= other
		}
	}
	return &c
}

// pricer places jobs one by one in a kitchen that holds only what is frozen,
// where scarce slots cost.
//
// Lagrangian relaxation: with prices l >= 0 per unit of store and slot, no plan
// costs less than
//
//	sum over jobs of the least (cost + price of what the job takes) - sum over slots of l * room
//
// The prices follow the subgradient, demand less room, by Polyak's step. Setups
// between uses of a machine are left out of account.
// Möhring, Schulz, Stork, Uetz: Solving Project Scheduling Problems by Minimum
// Cut Computations, Management Science 49 (2003).
type pricer struct {
	*placer
	rng    rng
	slot   [][]int64 // store -> price by slot, nil where unpriced
	demand [][]int32
	least  []int64 // job -> least cost without prices, never if it has no place
	floor  int64   // the bound
	bare   int64   // the bound without prices
}

// newPricer finds what each job costs least. Jobs of no cost at all are known
// from a pricer that counts more.
func newPricer(m *model, known []int64) *pricer {
	r := &pricer{least: make([]int64, len(m.jobs))}
	r.placer = newPlacer(newBoard(m), &r.rng)
	r.slack = never / 2
	for j := range m.jobs {
		if known == nil || known[j] > 0 {
			r.least[j] = r.cheapest(j)
		}
		if r.least[j] < never {
			r.floor += r.least[j]
		}
	}
	r.bare = r.floor
	return r
}

// cheapest gives the least cost of job j, or never. Low limits come first, as
// they look at few slots.
func (r *pricer) cheapest(j int) int64 {
	for limit := r.kept(j); limit < never/2; limit = 16*limit + 64*grain {
		if cost, ok := r.alone(j, limit); ok {
			return cost
		}
	}
	return never
}

// alone gives the least cost of job j with the prices as they are.
func (r *pricer) alone(j int, limit int64) (int64, bool) {
	kept := r.kept(j)
	cost, ok := r.place(j, limit-kept)
	return cost + kept, ok
}

// tighten prices for some rounds, or until the floor meets the cost of a plan.
// It gives the number of rounds.
func (r *pricer) tighten(ctx context.Context, upper int64, rounds int) int {
	upper *= grain
	r.scarce()
	step, idle := int64(256), 0
	for k := range rounds {
		if r.floor >= upper || ctx.Err() != nil {
			return k
		}
		floor, done := r.round(upper, step)
		if floor > r.floor {
			r.floor, idle = min(floor, upper), 0
		} else if idle++; idle > 5 {
			step, idle = step*2/3+1, 0
		}
		if done {
			return k + 1
		}
	}
	return rounds
}

// scarce starts pricing the stores of few units: hands, bowls, places in ovens.
func (r *pricer) scarce() {
	const few = 64
	r.price = make([][]int64, len(r.stores))
	r.slot = make([][]int64, len(r.stores))
	r.demand = make([][]int32, len(r.stores))
	for s := range r.stores {
		if r.now < r.slots && slices.Max(r.stores[s][r.now:]) <= few {
			r.price[s] = make([]int64, r.slots+1)
			r.slot[s] = make([]int64, r.slots)
			r.demand[s] = make([]int32, r.slots)
		}
	}
}

// round prices every job once, adjusts the prices and gives the bound that
// held before; and whether that is the end. upper is the cost of a plan.
func (r *pricer) round(upper, step int64) (int64, bool) {
	for s := range r.slot {
		clear(r.demand[s])
	}
	sum := int64(0)
	for j := range r.jobs {
		cost, ok := r.alone(j, upper-r.bare+r.least[j])
		if !ok {
			return upper, true // no better plan leaves this job a place
		}
		sum += cost
		r.count(j)
	}
	norm := int64(0)
	for s, row := range r.slot {
		for t, l := range row {
			room := int64(max(0, r.room[s][t]))
			sum -= l * room
			if g := int64(r.demand[s][t]) - room; int32(t) >= r.now && (g > 0 || l > 0) {
				norm += g * g
			}
		}
	}
	if norm == 0 || sum >= upper {
		return sum, true
	}
	unit := max(1, step*(upper-sum)/norm)
	for s, row := range r.slot {
		for t := int(r.now); row != nil && t < len(row); t++ {
			g := int64(r.demand[s][t]) - int64(max(0, r.room[s][t]))
			if g != 0 {
				row[t] = max(0, row[t]+unit*g/256)
			}
			r.price[s][t+1] = r.price[s][t] + row[t]
		}
	}
	return sum, false
}

// count adds what the job just placed takes.
func (r *pricer) count(j int) {
	s := &r.jobs[j]
	for i := s.ops.from; i < s.ops.to; i++ {
		o, t := &r.ops[i], r.at[i-r.base]
		if o.frozen {
			continue
		}
		for g := range o.groups {
			r.want(o.groups[g].combos[r.combo[o.group+int32(g)]].books, t, 0)
		}
		if o.use != nil {
			r.want(o.use.machines[r.mach[i]].books, t, 0)
		}
	}
	for i := s.links.from; i < s.links.to; i++ {
		if l := &r.links[i]; !l.frozen {
			end := r.at[l.from-r.base] + r.ops[l.from].dur
			r.want(l.ways[r.way[i]].books, end, r.at[l.to-r.base]-end)
		}
	}
}

// want adds bookings around t to the demand; a wait's bookings last for wait.
func (r *pricer) want(books []booking, t, wait int32) {
	for _, b := range books {
		if row := r.demand[b.store]; row != nil {
			for x := t + b.from; x < t+b.to+wait; x++ {
				row[x] += b.amount
			}
		}
	}
}
