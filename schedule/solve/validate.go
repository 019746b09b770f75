package solve

import (
	"errors"
	"fmt"
)

const (
	// maxSlots keeps times in 32 bits and tables in memory: 69 days of minutes.
	maxSlots = 100_000
	// maxCost bounds the cost of the worst imaginable plan, so that sums of
	// costs and of prices put on top stay far inside 64 bits.
	maxCost = 1 << 50
	// maxJobs times the cost of a missing job stays far inside 64 bits.
	maxJobs = 1000
	// maxAmount bounds all that could ever be taken of one resource at once.
	maxAmount = 1 << 30
	// maxRoom bounds the room of a part of a machine: a thousand uses stay far inside
	// 64 bits.
	maxRoom = 1 << 50
	// maxCombos bounds the ways to choose among the alternatives of needs that
	// get in each other's way, or of one mode's holds.
	maxCombos = 256
)

// Validate reports the first thing that is wrong with p, saying where and what.
func (p *Problem) Validate() error {
	v := validator{p: p}
	for _, err := range []error{v.grid(), v.resources(), v.machines(), v.profiles(), v.jobs()} {
		if err != nil {
			return fmt.Errorf("solve: %w", err)
		}
	}
	return nil
}

// validator adds up the worst cost on its way through the problem.
type validator struct {
	p      *Problem
	worst  int64
	amount int64
}

// take adds to all that could ever be taken at once.
func (v *validator) take(amount int64) error {
	if v.amount += amount; v.amount > maxAmount {
		return errors.New("amounts add up to too much")
	}
	return nil
}

func (v *validator) grid() error {
	p := v.p
	if p.Slots < 0 || p.Slots > maxSlots {
		return fmt.Errorf("slots: %d is not within 0 to %d", p.Slots, maxSlots)
	}
	if p.Now < 0 || p.Now > p.Slots {
		return fmt.Errorf("now: %d is not within 0 to %d", p.Now, p.Slots)
	}
	for _, w := range []int64{p.Late, p.Early, p.Span} {
		if w < 0 {
			return fmt.Errorf("weight %d is below 0", w)
		}
	}
	return v.charge(p.Span, int64(p.Slots), 1)
}

// charge adds a*b*c to the worst cost.
func (v *validator) charge(a, b, c int64) error {
	for _, f := range []int64{b, c} {
		if f != 0 && a > maxCost/f {
			return errors.New("cost too large")
		}
		a *= f
	}
	if v.worst += a; v.worst > maxCost {
		return errors.New("costs add up to too much")
	}
	return nil
}

func (v *validator) resources() error {
	for i, r := range v.p.Resources {
		if len(r.Cap) != 1 && len(r.Cap) != v.p.Slots {
			return fmt.Errorf("resource %d %q: capacity has %d entries, want 1 or %d", i, r.Name, len(r.Cap), v.p.Slots)
		}
		for t, c := range r.Cap {
			if c < 0 {
				return fmt.Errorf("resource %d %q: capacity %d at slot %d is below 0", i, r.Name, c, t)
			}
		}
	}
	return nil
}

func (v *validator) machines() error {
	for i, m := range v.p.Machines {
		if m.Cap < 0 {
			return fmt.Errorf("machine %d %q: capacity %d is below 0", i, m.Name, m.Cap)
		}
		for k, room := range m.Parts {
			if room < 0 || room > maxRoom {
				return fmt.Errorf("machine %d %q: room %d of part %d is not within 0 to %d", i, m.Name, room, k, int64(maxRoom))
			}
		}
		for _, c := range m.Closed {
			if c.From > c.To {
				return fmt.Errorf("machine %d %q: closed from %d to %d runs backward", i, m.Name, c.From, c.To)
			}
		}
		for q, c := range m.Cold {
			if c < 0 || c > maxSlots {
				return fmt.Errorf("machine %d %q: cold start %d of profile %d is not within 0 to %d", i, m.Name, c, q, maxSlots)
			}
		}
	}
	return nil
}

func (v *validator) profiles() error {
	n := len(v.p.Setup)
	for a, row := range v.p.Setup {
		if len(row) != n {
			return fmt.Errorf("setup: row %d has %d entries, want %d", a, len(row), n)
		}
		for b, s := range row {
			if s < 0 || s > maxSlots {
				return fmt.Errorf("setup from %d to %d: %d is not within 0 to %d", a, b, s, maxSlots)
			}
		}
	}
	for q, c := range v.p.Cold {
		if c < 0 || c > maxSlots {
			return fmt.Errorf("cold start of profile %d: %d is not within 0 to %d", q, c, maxSlots)
		}
	}
	return v.triangle()
}

// triangle holds setups to "a detour is never shorter", the least use on the way
// included, without which keeping every pair of uses apart would ask for more
// than keeping neighbours apart.
func (v *validator) triangle() error {
	s := v.p.Setup
	least := v.leastUse()
	for a := range s {
		for b := range s {
			if least[b] < 0 {
				continue // nobody goes that way
			}
			for c := range s {
				if a != b && b != c && a != c && s[a][c] > s[a][b]+least[b]+s[b][c] {
					return fmt.Errorf("setup from %d to %d is %d, longer than the detour over %d with %d", a, c, s[a][c], b, s[a][b]+least[b]+s[b][c])
				}
			}
		}
	}
	return nil
}

// leastUse is the length of the shortest use of each profile, -1 for no use.
func (v *validator) leastUse() []int {
	least := make([]int, len(v.p.Setup))
	for q := range least {
		least[q] = -1
	}
	for _, j := range v.p.Jobs {
		for _, op := range j.Ops {
			if u := op.Machine; u != nil && u.Profile >= 0 && u.Profile < len(least) && op.Dur >= 0 && (least[u.Profile] < 0 || op.Dur < least[u.Profile]) {
				least[u.Profile] = op.Dur
			}
		}
	}
	return least
}

func (v *validator) jobs() error {
	if len(v.p.Jobs) > maxJobs {
		return fmt.Errorf("%d jobs are more than %d", len(v.p.Jobs), maxJobs)
	}
	for j := range v.p.Jobs {
		job := &v.p.Jobs[j]
		for i := range job.Ops {
			if err := v.op(&job.Ops[i]); err != nil {
				return fmt.Errorf("job %d %q: operation %d %q: %w", j, job.Name, i, job.Ops[i].Name, err)
			}
		}
		for i := range job.Links {
			if err := v.link(job, &job.Links[i]); err != nil {
				return fmt.Errorf("job %d %q: link %d: %w", j, job.Name, i, err)
			}
		}
		if err := tree(job); err != nil {
			return fmt.Errorf("job %d %q: %w", j, job.Name, err)
		}
	}
	return nil
}

func (v *validator) op(o *Op) error {
	slots := int64(v.p.Slots)
	switch {
	case o.Dur < 0 || o.Dur > maxSlots:
		return fmt.Errorf("duration %d is not within 0 to %d", o.Dur, maxSlots)
	case o.Weight < 0 || o.EarlyWeight < 0 || o.HandCost < 0 || o.Move < 0 || o.MoveFlat < 0:
		return errors.New("a weight is below 0")
	case o.Fixed < Free || o.Fixed != Free && o.Fixed+o.Dur > v.p.Slots:
		return fmt.Errorf("fixed start %d is not within 0 to %d", o.Fixed, v.p.Slots-o.Dur)
	case o.Was < Free || o.Was > v.p.Slots:
		return fmt.Errorf("former start %d is not within 0 to %d", o.Was, v.p.Slots)
	case o.Due < -maxSlots || o.Due > 2*maxSlots:
		return fmt.Errorf("due time %d is not within %d to %d", o.Due, -maxSlots, 2*maxSlots)
	case o.Hand < 0 || o.Hand > maxSlots:
		return fmt.Errorf("%d slots in hand are not within 0 to %d", o.Hand, maxSlots)
	case o.Release < -maxSlots || o.Release > 2*maxSlots:
		return fmt.Errorf("release %d is not within %d to %d", o.Release, -maxSlots, 2*maxSlots)
	}
	reach := slots + int64(abs(o.Due))
	for _, err := range []error{
		v.charge(v.p.Late, o.Weight, reach), v.charge(v.p.Early, o.EarlyWeight, reach), v.charge(o.HandCost, int64(o.Hand), 1),
		v.charge(o.Move, slots, 1), v.charge(o.MoveFlat, 1, 1), v.needs(o), v.use(o),
	} {
		if err != nil {
			return err
		}
	}
	return v.fixedChoice(o)
}

func (v *validator) needs(o *Op) error {
	for i, n := range o.Needs {
		err := v.alternatives(n.Any, n.Cost, len(v.p.Resources), "resource")
		switch to := n.End(o.Dur); {
		case err != nil:
		case n.Amount < 1:
			err = fmt.Errorf("amount %d is below 1", n.Amount)
		case n.From < 0 || to <= n.From || to > o.Dur:
			err = fmt.Errorf("slots %d to %d are not within 0 to %d", n.From, to, o.Dur)
		}
		if err == nil {
			err = v.take(int64(n.Amount))
		}
		if err != nil {
			return fmt.Errorf("need %d: %w", i, err)
		}
	}
	combos := make([]int, len(o.Needs))
	for i, last := range o.together() {
		if combos[last] = max(1, combos[last]) * len(o.Needs[i].Any); combos[last] > maxCombos {
			return fmt.Errorf("needs have more than %d combinations of alternatives", maxCombos)
		}
	}
	return nil
}

// together gives for every need the last of those that are chosen with it: they
// overlap in time and could fall on one resource.
func (o *Op) together() []int {
	in := make([]int, len(o.Needs))
	for i := range in {
		in[i] = i
		for k := range i {
			if a, b := &o.Needs[k], &o.Needs[i]; a.From < b.End(o.Dur) && b.From < a.End(o.Dur) && meet(a.Any, b.Any) {
				for x, old := 0, in[k]; x < i; x++ {
					if in[x] == old {
						in[x] = i
					}
				}
			}
		}
	}
	return in
}

// End is when the need ends, counted from the start of its operation, which takes
// dur; it resolves the 0 that stands for that.
func (n *Need) End(dur int) int {
	if n.To == 0 {
		return dur
	}
	return n.To
}

func (v *validator) use(o *Op) error {
	u := o.Machine
	if u == nil {
		return nil
	}
	if err := v.alternatives(u.Any, u.Cost, len(v.p.Machines), "machine"); err != nil {
		return err
	}
	switch {
	case u.Items < 0 || u.Items > 1<<20:
		return fmt.Errorf("machine: %d items are not within 0 to %d", u.Items, 1<<20)
	case u.Items > 0 && len(u.Share) != len(u.Any):
		return fmt.Errorf("machine: shares of %d machines for %d", len(u.Share), len(u.Any))
	case u.Places < 1 || u.Places > 1<<30:
		return fmt.Errorf("machine: places %d are not within 1 to %d", u.Places, 1<<30)
	case o.Dur < 1:
		return errors.New("machine: an operation without duration cannot use it")
	case u.Profile < 0 || u.Profile > 1<<30:
		return fmt.Errorf("machine: profile %d is not within 0 to %d", u.Profile, 1<<30)
	case v.p.Setup != nil && u.Profile >= len(v.p.Setup):
		return fmt.Errorf("machine: profile %d is not within 0 to %d", u.Profile, len(v.p.Setup)-1)
	case v.p.Cold != nil && u.Profile >= len(v.p.Cold):
		return fmt.Errorf("machine: profile %d has no cold start", u.Profile)
	case v.p.Join != nil && u.Profile >= len(v.p.Join):
		return fmt.Errorf("machine: profile %d has no entry in join", u.Profile)
	}
	if err := v.take(int64(u.Places)); err != nil {
		return err
	}
	for i, m := range u.Any {
		if err := v.parts(u, i); err != nil {
			return err
		}
		if c := v.p.Machines[m].Cold; c != nil && u.Profile >= len(c) {
			return fmt.Errorf("machine %d: profile %d has no cold start", m, u.Profile)
		}
	}
	return nil
}

// parts wants a share of every part of the machine Any[i].
func (v *validator) parts(u *Use, i int) error {
	m := u.Any[i]
	if u.Items == 0 {
		return nil
	}
	if got, want := len(u.Share[i]), len(v.p.Machines[m].Parts); got != want {
		return fmt.Errorf("machine %d: shares of %d parts, want %d", m, got, want)
	}
	for k, s := range u.Share[i] {
		if s < 0 || s > maxRoom {
			return fmt.Errorf("machine %d: share %d of part %d is not within 0 to %d", m, s, k, int64(maxRoom))
		}
	}
	return nil
}

func (v *validator) fixedChoice(o *Op) error {
	c := o.FixedChoice
	if o.Fixed != Free && c != nil && len(c.Spread) > 0 && (o.Machine == nil || c.Machine < 0 || c.Machine >= len(v.p.Machines) || len(c.Spread) != len(v.p.Machines[c.Machine].Parts)) {
		return errors.New("fixed choice: items on parts the machine does not have")
	}
	if o.Fixed == Free || c == nil || c.Needs == nil && len(o.Needs) > 0 {
		return nil
	}
	if len(c.Needs) != len(o.Needs) {
		return fmt.Errorf("fixed choice has %d needs, want %d", len(c.Needs), len(o.Needs))
	}
	for _, r := range c.Needs {
		if r < 0 || r >= len(v.p.Resources) {
			return fmt.Errorf("fixed choice: resource %d does not exist", r)
		}
	}
	if o.Machine != nil && (c.Machine < 0 || c.Machine >= len(v.p.Machines)) {
		return fmt.Errorf("fixed choice: machine %d does not exist", c.Machine)
	}
	return nil
}

func (v *validator) alternatives(anyOf []int, cost []int64, n int, what string) error {
	if len(anyOf) == 0 {
		return fmt.Errorf("no %s to choose from", what)
	}
	if cost != nil && len(cost) != len(anyOf) {
		return fmt.Errorf("%d prices for %d choices", len(cost), len(anyOf))
	}
	dearest := int64(0)
	for i, k := range anyOf {
		if k < 0 || k >= n {
			return fmt.Errorf("%s %d does not exist", what, k)
		}
		if cost != nil {
			if cost[i] < 0 {
				return fmt.Errorf("price %d is below 0", cost[i])
			}
			dearest = max(dearest, cost[i])
		}
	}
	return v.charge(dearest, 1, 1)
}

func (v *validator) link(job *Job, l *Link) error {
	if l.From < 0 || l.From >= len(job.Ops) || l.To < 0 || l.To >= len(job.Ops) || l.From == l.To {
		return fmt.Errorf("no link from operation %d to %d", l.From, l.To)
	}
	if len(l.Modes) == 0 {
		return errors.New("no mode")
	}
	dearest := int64(0)
	for i := range l.Modes {
		if err := v.mode(&l.Modes[i]); err != nil {
			return fmt.Errorf("mode %d %q: %w", i, l.Modes[i].Name, err)
		}
		dearest = max(dearest, l.Modes[i].Cost)
	}
	return v.charge(dearest, 1, 1)
}

func (v *validator) mode(m *Mode) error {
	if m.Cost < 0 {
		return fmt.Errorf("price %d is below 0", m.Cost)
	}
	if err := v.window(m); err != nil {
		return err
	}
	combos := 1
	for i, h := range m.Space {
		if err := v.alternatives(h.Any, h.Cost, len(v.p.Resources), "resource"); err != nil {
			return fmt.Errorf("space %d: %w", i, err)
		}
		if h.Amount < 1 {
			return fmt.Errorf("space %d: amount %d is below 1", i, h.Amount)
		}
		if err := v.take(int64(h.Amount)); err != nil {
			return fmt.Errorf("space %d: %w", i, err)
		}
		if combos *= len(h.Any); combos > maxCombos {
			return fmt.Errorf("spaces have more than %d combinations of alternatives", maxCombos)
		}
	}
	return nil
}

func (v *validator) window(m *Mode) error {
	w := m.Window
	if w == nil {
		if m.Min < 0 || m.Min > maxSlots || m.Max < -1 || m.Max > maxSlots {
			return fmt.Errorf("wait of %d to %d is not within 0 to %d", m.Min, m.Max, maxSlots)
		}
		return nil
	}
	if len(w.Min) != v.p.Slots+1 || len(w.Max) != v.p.Slots+1 {
		return fmt.Errorf("window has %d and %d entries, want %d", len(w.Min), len(w.Max), v.p.Slots+1)
	}
	for e := range w.Min {
		if w.Min[e] < 0 || w.Min[e] > maxSlots || w.Max[e] < -1 || w.Max[e] > maxSlots {
			return fmt.Errorf("window at slot %d: wait of %d to %d is not within 0 to %d", e, w.Min[e], w.Max[e], maxSlots)
		}
		if e > 0 && (1+w.Min[e] < w.Min[e-1] || 1+w.Max[e] < w.Max[e-1]) {
			return fmt.Errorf("window at slot %d: a wait begun later ends earlier", e)
		}
	}
	return nil
}

// tree checks that the links tie the operations together without a circle.
func tree(job *Job) error {
	if len(job.Ops) == 0 {
		return errors.New("no operations")
	}
	if len(job.Links) != len(job.Ops)-1 {
		return fmt.Errorf("%d links for %d operations do not make a tree", len(job.Links), len(job.Ops))
	}
	root := make([]int, len(job.Ops))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			i = root[i]
		}
		return i
	}
	for i, l := range job.Links {
		a, b := find(l.From), find(l.To)
		if a == b {
			return fmt.Errorf("link %d closes a circle", i)
		}
		root[a] = b
	}
	return nil
}

func abs(x int) int {
	if x < 0 {
		return -x
	}
	return x
}
