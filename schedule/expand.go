package schedule

import (
	"fmt"
	"math"
	"slices"

	"ovenward/schedule/simulate"
	"ovenward/schedule/solve"
	"ovenward/schedule/unit"
)

// Prices, in the planner's own money: a minute early is 4. Lateness is never
// worth anything else, and a breach is dearer than a week of it.
const (
	priceLate  = 1_000_000       // a weighted minute late
	priceEarly = 4               // a minute out of the oven before it is promised
	priceSpan  = 1               // a minute between the day's first and last work
	priceHand  = 300             // a weighted minute used up of what is kept in hand
	priceSoon  = 40              // a rise planned for its best, with no room for a slow dough
	priceYoung = 120             // a rise ended on the young side of its best
	priceLook  = 200             // one to be ended, in a repair, before it is expected to be ready
	priceOld   = 200             // and on the old side
	priceLast  = 1200            // and in the last stretch before too far
	priceLie   = 40              // dough lying at the bench between two works
	priceStand = 1               // a minute of rest longer than it must be
	priceChill = 60              // a move into the cold
	priceLater = 20              // one that is not at once
	priceEdge  = 1200            // a rise in the cold that only a dough as forecast keeps
	priceHours = 10_000_000_000  // of a nearest plan: a work by someone not there or not able
	priceCrowd = 2 * priceHours  // a place or the tins too full
	priceSpoil = 10 * priceHours // and a wait outside its limits
)

// aimPast is how much of the good moments after its best a bulk rise may be
// planned to take for the sake of doughs slower than forecast. Chosen by playing
// days (TestSeason), no other source.
const aimPast = 0.5

// worthLook is by how many standard deviations of its forecast a dough may be
// faster for a repair to have hands come to it, where something would be late
// otherwise: who comes too early looks again ten minutes later, who comes too late
// has lost the time. Chosen by playing days (TestSeason), no other source.
// No sooner than mostLook minutes before it is expected: judgement, no source.
const (
	worthLook = 1.2
	mostLook  = 45
)

// Minutes of hands at the oven.
const (
	loadMinutes   = 2
	unloadMinutes = 2
)

// mixAttended is how long hands stay at a mixer that then runs alone.
const mixAttended = 2

// joinWithin is how many minutes apart loads of one falling-heat bake may go in
// to count as one.
const joinWithin = 5

// model is the day as the solver sees it, and how to read its answer.
type model struct {
	day     *Day
	grid    *grid
	walker  *walker
	trees   []*tree
	problem *solve.Problem
	jobs    []*jobModel
	bakers  []int          // resource of each baker
	spare   []int          // of each outside the hours of work; only when relaxed
	mixers  []int          // resource of each mixer
	crewed  []crew         // of bakers and mixers
	spaces  map[string]int // place name: resource
	counted map[string]int // name of a tin or tray: resource
	profile []profile
	finest  int               // most that a deck takes of anything, where decks are told apart
	named   map[opNeed]string // who of a crew serves what, once that is dealt out
	choices
}

// jobModel maps one tree to its job.
type jobModel struct {
	tree     *tree
	passages []*passage // parts, trunk, branches
	first    []int      // op of each passage's first work
	links    [][]int    // by passage: link of each wait; -1 for a tail without followers
	tailOf   []int      // links of the trunk's tail, by branch
}

// profile is a way of baking an oven can be at.
type profile struct {
	key        string
	start, end unit.Celsius
	level      bool // one temperature throughout
	least      int  // minutes of the shortest bake of this kind
}

// slack is how long dough may lie at the bench between two works.
func (s Settings) slack() int {
	if s.Slack > 0 {
		return s.Slack
	}
	return 15
}

// reserve is how many minutes are kept in hand before every promise.
func (s Settings) reserve() int {
	switch {
	case s.Reserve < 0:
		return 0
	case s.Reserve > 0:
		return s.Reserve
	}
	return 15
}

// newModel builds the problem for the batches. passages, where given, are the
// doughs as an earlier plan left them.
func newModel(d *Day, g *grid, trees []*tree, c choices) *model {
	m := &model{
		day: d, grid: g, trees: trees, choices: c,
		walker: &walker{kitchen: &d.Kitchen, grid: g},
		spaces: map[string]int{}, counted: map[string]int{},
	}
	m.problem = &solve.Problem{Slots: g.slots, Late: priceLate, Early: priceEarly, Span: priceSpan}
	m.addResources()
	m.addOvens()
	return m
}

func (m *model) addResource(name string, caps ...int32) int {
	m.problem.Resources = append(m.problem.Resources, solve.Resource{Name: name, Cap: caps})
	return len(m.problem.Resources) - 1
}

func (m *model) addResources() {
	k := &m.day.Kitchen
	m.bakers = m.people(func(there int32) int32 { return there })
	m.mixers = m.enlist(len(k.Mixers), func(i int) (string, []int32) { return k.Mixers[i].Name, []int32{1} }, func(i, j int) bool {
		return k.Mixers[i].Least == k.Mixers[j].Least && k.Mixers[i].Most == k.Mixers[j].Most
	})
	for i := range k.Places {
		if p := &k.Places[i]; p.Spaces > 0 {
			m.spaces[p.Name] = m.addResource(p.Name, int32(p.Spaces))
		}
	}
	for _, c := range k.counted() {
		m.counted[c.of] = m.addResource(c.of, int32(c.n))
	}
	if m.relaxed { // the same people outside their hours, at a price
		m.spare = m.people(func(there int32) int32 { return 1 - there })
	}
}

// people adds the bakers, each there as when says of their hours.
func (m *model) people(when func(there int32) int32) []int {
	bs := m.day.Kitchen.Bakers
	return m.enlist(len(bs), func(i int) (string, []int32) {
		caps := m.grid.capacity(&bs[i])
		for t := range caps {
			caps[t] = when(caps[t])
		}
		return bs[i].Name, caps
	}, func(i, j int) bool { return sameKinds(bs[i].Cannot, bs[j].Cannot) })
}

func (m *model) addOvens() {
	m.profiles()
	n := len(m.profile)
	m.problem.Setup = make([][]int, n)
	m.problem.Join = make([]int, n)
	for i, p := range m.profile {
		m.problem.Setup[i] = make([]int, n)
		for j, q := range m.profile {
			for _, o := range m.day.Kitchen.Ovens {
				m.problem.Setup[i][j] = max(m.problem.Setup[i][j], o.Change(p.end, q.start))
			}
		}
		m.problem.Join[i] = -1
		if !p.level {
			m.problem.Join[i] = joinWithin
		}
	}
	m.lengthen()
	whole := m.wholes()
	for i, o := range m.day.Kitchen.Ovens {
		cold := make([]int, n)
		for q, p := range m.profile {
			cold[q] = o.Change(ColdOven, p.start)
		}
		x := solve.Machine{Name: o.Name, Cap: o.Trays(), Cold: cold}
		if whole != nil {
			x.Parts, x.Cap = whole[i], o.Decks*m.finest
		}
		m.problem.Machines = append(m.problem.Machines, x)
	}
}

// profiles lists the ways of baking there are on this day.
func (m *model) profiles() {
	for _, t := range m.trees {
		for _, b := range t.branches {
			for _, s := range b.portion.stages {
				if s.Kind != Bake {
					continue
				}
				p := profileOf(s)
				i := slices.IndexFunc(m.profile, func(q profile) bool { return q.key == p.key })
				if i < 0 {
					m.profile = append(m.profile, p)
					continue
				}
				m.profile[i].least = min(m.profile[i].least, p.least)
			}
		}
	}
}

// lengthen sees to it that no detour over another bake is shorter than the
// straight way. A bake that ends cooler than it begins brings the oven down
// sooner than it comes down by itself, but rarely so much sooner that the bake's
// own length does not make up for it; then the oven is given a little longer
// after it.
func (m *model) lengthen() {
	setup := m.problem.Setup
	for again := true; again; {
		again = false
		for k := range setup {
			for i := range setup {
				for j := range setup {
					if more := setup[i][j] - setup[i][k] - m.profile[k].least - setup[k][j]; more > 0 && i != k && k != j {
						setup[k][j] += more
						again = true
					}
				}
			}
		}
	}
}

// profileOf is how an oven must be for a bake.
func profileOf(s Stage) profile {
	p := profile{level: true, least: s.Duration(0)}
	for i, b := range s.Steps {
		if i == 0 {
			p.start = b.Celsius
		}
		p.level = p.level && b.Celsius == p.start
		p.end = b.Celsius
	}
	p.key = fmt.Sprint(float64(p.start))
	if !p.level {
		p.key = fmt.Sprint(s.Steps)
	}
	return p
}

// addJob adds one tree with the passages as they are.
func (m *model) addJob(j *jobModel) error {
	job := solve.Job{Name: j.tree.batch.ID}
	j.first, j.links, j.tailOf = nil, nil, nil
	for _, p := range j.passages {
		j.first = append(j.first, len(job.Ops))
		for i := range p.strand.works {
			op, err := m.op(p, i)
			if err != nil {
				return err
			}
			p.past.settle(m, p, i, &op)
			job.Ops = append(job.Ops, op)
		}
	}
	link := func(from, to int, modes []solve.Mode) int {
		job.Links = append(job.Links, solve.Link{From: from, To: to, Modes: modes})
		return len(job.Links) - 1
	}
	trunk := len(j.tree.parts)
	for k, p := range j.passages {
		var links []int
		for i := range p.strand.waits {
			if i+1 < len(p.strand.works) {
				links = append(links, link(j.first[k]+i, j.first[k]+i+1, m.modes(p, i)))
			}
		}
		j.links = append(j.links, links)
	}
	for k := range trunk { // parts join at the dough's first mix
		p := j.passages[k]
		modes := m.tailModes(p)
		j.links[k] = append(j.links[k], link(j.first[k]+len(p.strand.works)-1, j.first[trunk]+mixOf(j.passages[trunk].strand), modes[0]))
	}
	tails := m.tailModes(j.passages[trunk], j.passages[trunk+1:]...)
	for k := trunk + 1; k < len(j.passages); k++ {
		last := j.first[trunk] + len(j.passages[trunk].strand.works) - 1
		j.tailOf = append(j.tailOf, link(last, j.first[k], tails[k-trunk-1]))
	}
	m.problem.Jobs = append(m.problem.Jobs, job)
	m.jobs = append(m.jobs, j)
	return nil
}

// mixOf is the work of the trunk at which the parts come in.
func mixOf(trunk *strand) int {
	for i, w := range trunk.works {
		if s := trunk.stage(w.stage); s != nil && s.Kind == Mix {
			return i
		}
	}
	return 0
}

// op is work i of a passage.
func (m *model) op(p *passage, i int) (solve.Op, error) {
	st, w := p.strand, p.strand.works[i]
	op := solve.Op{Name: st.taskID(w.stage, w.fold), Dur: w.dur, Fixed: solve.Free, Was: solve.Free}
	if i == len(st.works)-1 || m.isBake(st, w) {
		m.promise(&op, st, w, i)
	}
	m.needCarriers(&op, p, i)
	s := st.stage(w.stage)
	if s == nil {
		return op, nil
	}
	kind := s.Kind
	if w.fold > 0 {
		kind = Fold
	}
	if kind == Bake {
		return op, m.needOven(&op, s, st)
	}
	to := 0
	if kind == Mix && s.Machine {
		if mixers := m.mixersFor(st.mass); len(mixers) > 0 {
			op.Needs = append(op.Needs, solve.Need{Any: mixers, Amount: 1})
		}
	}
	if s.Alone && w.dur > mixAttended {
		to = mixAttended
	}
	if w.dur > 0 {
		op.Needs = append(op.Needs, m.hands(kind, 0, to))
	}
	return op, nil
}

func (m *model) isBake(st *strand, w work) bool {
	s := st.stage(w.stage)
	return s != nil && s.Kind == Bake
}

// promise puts the order's promise on the bake or on the last work.
func (m *model) promise(op *solve.Op, st *strand, w work, i int) {
	if st.portion == nil {
		return
	}
	o := m.day.Orders[st.portion.Order]
	atBake := m.isBake(st, w)
	if (o.Out != "") != atBake {
		return
	}
	if !atBake && i != len(st.works)-1 {
		return
	}
	op.Due = m.grid.minute(st.portion.due)
	op.Weight = int64(max(o.Weight, 1))
	op.Hand, op.HandCost = m.day.Settings.reserve(), priceHand*op.Weight
	op.EarlyWeight = 1
}

// hands needs one of the people who can do kind, from and to minutes after the
// start (to 0: to the end).
func (m *model) hands(kind StageKind, from, to int) solve.Need {
	n := solve.Need{Amount: 1, From: from, To: to}
	offer := func(resource int, price int64) {
		if !slices.Contains(n.Any, resource) {
			n.Any, n.Cost = append(n.Any, resource), append(n.Cost, price)
		}
	}
	able := func(b Baker) bool { return !slices.Contains(b.Cannot, kind) }
	nobody := !slices.ContainsFunc(m.day.Kitchen.Bakers, able)
	for i, b := range m.day.Kitchen.Bakers {
		switch {
		case able(b):
			offer(m.bakers[i], 0)
		case m.relaxed || nobody:
			offer(m.bakers[i], priceHours)
		}
		if m.relaxed {
			offer(m.spare[i], priceHours)
		}
	}
	return n
}

// mixersFor lists the mixers for a mass: those it suits, else those it is too
// little for by hand only.
func (m *model) mixersFor(mass unit.Grams) []int {
	var fit []int
	for i, x := range m.day.Kitchen.Mixers {
		if mass <= x.Most && mass >= x.Least && !slices.Contains(fit, m.mixers[i]) {
			fit = append(fit, m.mixers[i])
		}
	}
	return fit
}

func (m *model) needOven(op *solve.Op, s *Stage, st *strand) error {
	u := &solve.Use{Places: st.portion.Trays}
	p := profileOf(*s)
	u.Profile = slices.IndexFunc(m.profile, func(q profile) bool { return q.key == p.key })
	of, each := m.day.Kitchen.Stands(st.portion.bread)
	n := items(st.portion.Pieces, each)
	for i := range m.day.Kitchen.Ovens {
		if o := &m.day.Kitchen.Ovens[i]; o.Max >= hottest([]Stage{*s}) && o.takes(of) >= n {
			u.Any = append(u.Any, i)
		}
	}
	if len(u.Any) == 0 {
		return fmt.Errorf("no oven takes %d of %s at %v", n, st.name, hottest([]Stage{*s}))
	}
	m.layOut(u, of, n)
	op.Machine = u
	if op.Dur <= loadMinutes+unloadMinutes { // too short to go away
		op.Needs = append(op.Needs, m.hands(Bake, 0, 0))
		return nil
	}
	op.Needs = append(op.Needs, m.hands(Bake, 0, loadMinutes), m.hands(Bake, op.Dur-unloadMinutes, 0))
	return nil
}

// carried says whether a strand's pieces are in their tins or on their trays at
// work i: from the shaping, or the dividing where nothing is shaped, to the bake.
func (m *model) carried(st *strand, i int) bool {
	if st.portion == nil {
		return false
	}
	from, baked := -1, len(st.works)
	for k, w := range st.works {
		s := st.stage(w.stage)
		switch {
		case s == nil:
		case s.Kind == Shape, s.Kind == Divide && from < 0:
			from = k
		case s.Kind == Bake:
			baked = k
		}
	}
	return from >= 0 && i >= from && i <= baked
}

// carriers is what a strand's pieces take of the tins and trays that are counted.
func (m *model) carriers(st *strand) []solve.Hold {
	var out []solve.Hold
	for _, c := range m.day.Kitchen.carriersOf(st.portion.bread, st.pieces) {
		if r, counted := m.counted[c.of]; counted {
			out = append(out, solve.Hold{Any: []int{r}, Amount: int32(c.n)})
		}
	}
	return out
}

func (m *model) needCarriers(op *solve.Op, p *passage, i int) {
	if op.Dur == 0 || !m.carried(p.strand, i) { // the waits before and after it hold them
		return
	}
	for _, h := range m.carriers(p.strand) {
		op.Needs = append(op.Needs, solve.Need{Any: h.Any, Amount: h.Amount})
	}
}

// tailModes are the ways of the wait that leads into each follower; without
// followers, of the one that leads into the mix.
func (m *model) tailModes(p *passage, followers ...*passage) [][]solve.Mode {
	last := len(p.strand.works) - 1
	var modes []solve.Mode
	if last < len(p.strand.waits) {
		modes = m.modes(p, last)
	} else if modes = m.underWay(p, last, nil); modes == nil {
		modes = m.benchModes(nil)
	}
	out := make([][]solve.Mode, max(1, len(followers)))
	for i := range out {
		out[i] = modes
		if i > 0 { // the tubs are counted once, on the first portion's way
			out[i] = slices.Clone(modes)
			for k := range out[i] {
				out[i][k].Space = nil
			}
		}
	}
	return out
}

// modes are the ways wait i may be spent.
func (m *model) modes(p *passage, i int) []solve.Mode {
	st := p.strand
	s := st.stage(st.waits[i].stage)
	hold := m.holdCarriers(p, i)
	if modes := m.underWay(p, i, hold); modes != nil {
		return modes
	}
	switch {
	case s == nil:
		return m.benchModes(hold)
	case st.waits[i].toFold():
		return m.foldModes(p, i, hold)
	case p.rising(i):
		return m.riseModes(p, i, hold)
	}
	least, most := int(math.Ceil(float64(s.Least))), int(s.Most)
	if i+1 == len(st.works)-1 && st.works[i+1].stage < 0 {
		most = least // the last cooling ends when it may
	}
	price := int64(priceStand)
	if s.Kind == Cool {
		price = priceEarly
	}
	return m.orBroken(standModes(least, max(least, most), price, append(hold, m.space(p, i)...)))
}

// standModes are a wait from least to most: longer than it must be at a price by
// the minute, in steps, lest someone gets up early for what then stands about.
func standModes(least, most int, price int64, space []solve.Hold) []solve.Mode {
	var modes []solve.Mode
	from := least
	for _, longer := range []int{15, 60, 240, most} {
		to := min(least+longer, most)
		modes = append(modes, solve.Mode{Name: "wait", Min: from, Max: to, Space: space, Cost: price * int64(from-least)})
		if from = to + 1; from > most {
			break
		}
	}
	return modes
}

// benchModes let dough lie between two works: one thing follows the other at
// once, if it can.
func (m *model) benchModes(hold []solve.Hold) []solve.Mode {
	return m.orBroken([]solve.Mode{
		{Name: "at once", Max: 1, Space: hold},
		{Name: "bench", Max: m.day.Settings.slack(), Space: hold, Cost: priceLie},
	})
}

// orBroken adds last resorts for a nearest plan: the same with a tray too many,
// or any wait at all.
func (m *model) orBroken(modes []solve.Mode) []solve.Mode {
	if !m.relaxed {
		return modes
	}
	for _, mode := range modes {
		if len(mode.Space) > 0 {
			mode.Space, mode.Cost = nil, mode.Cost+priceCrowd
			modes = append(modes, mode)
		}
	}
	return append(modes, solve.Mode{Name: "broken", Max: m.grid.slots, Cost: priceSpoil})
}

func (m *model) holdCarriers(p *passage, i int) []solve.Hold {
	if m.carried(p.strand, i) && m.carried(p.strand, i+1) {
		return m.carriers(p.strand)
	}
	return nil
}

// space is what the dough takes of its place during wait i.
func (m *model) space(p *passage, i int) []solve.Hold {
	return m.shelf(p, m.walker.place(p, i))
}

// foldModes lead to a fold: near the share of the way, a fifth of it either side;
// at its minute, or as near for a price.
func (m *model) foldModes(p *passage, i int, hold []solve.Hold) []solve.Mode {
	space := append(hold, m.space(p, i)...)
	if n := p.strand.waits[i].minutes; n > 0 {
		return m.orBroken(timedFold(solve.Mode{Name: "to fold", Space: space}, n))
	}
	t := simulate.Table(p.begin[i], m.walker.airOf(p, i), p.goal(i), m.grid.slots)
	aside := max(5, t.Best[clampIndex(p.at[i], len(t.Best))]/5)
	w := window(t.Best, t.Best, -aside, aside)
	return m.orBroken([]solve.Mode{{Name: "to fold", Window: w, Space: space}})
}

// timedFold lead to a fold after so many minutes.
func timedFold(as solve.Mode, after int) []solve.Mode {
	aside := max(5, after/5)
	near := as
	as.Min, as.Max = after, after
	near.Min, near.Max, near.Cost = max(0, after-aside), after+aside, priceYoung
	return []solve.Mode{as, near}
}

// riseModes are the ways a rise may be spent: where it is, acted on at its best
// or to either side; or held in the cold.
func (m *model) riseModes(p *passage, i int, hold []solve.Hold) []solve.Mode {
	var modes []solve.Mode
	s := p.strand.stage(p.strand.waits[i].stage)
	final := s.Kind == Proof
	if !p.cold[i] || final && !s.Chill.Always {
		warm := p.held(i, false)
		t := simulate.Table(p.as(i, false), m.walker.airOf(warm, i), warm.goal(i), m.grid.slots)
		space := append(slices.Clone(hold), m.space(warm, i)...)
		aim := t.Best
		if !final && !m.tight {
			aim = p.strand.aim(i, &p.begin[i], &t)
			modes = append(modes, solve.Mode{Name: "best", Window: window(t.Best, aim, 0, 0), Space: space, Cost: priceSoon})
		}
		modes = append(modes,
			solve.Mode{Name: "best", Window: window(aim, middle(aim, t.Late), 0, 0), Space: space},
			solve.Mode{Name: "young", Window: window(t.Ready, t.Best, 1, 0), Space: space, Cost: priceYoung},
			solve.Mode{Name: "old", Window: window(t.Best, t.Late, 0, 0), Space: space, Cost: priceOld},
			solve.Mode{Name: "last", Window: window(t.Late, t.TooFar, 0, -2), Space: space, Cost: priceLast})
		if p.past != nil && m.worthLooking(p, i) {
			modes = append(modes, solve.Mode{Name: "look", Window: window(p.strand.soonest(i, &p.begin[i], &t), t.Ready, 1, 0), Space: space, Cost: priceLook})
		}
	}
	if s.Chill != nil && (final || p.cold[i]) {
		modes = append(modes, m.chillModes(p, i, s, hold)...)
	}
	if m.rescue && p.past != nil && p.past.mixed {
		modes = append(modes, m.rescueModes(p, i, hold)...)
	}
	return m.orBroken(modes)
}

// as is the dough at the beginning of wait i if it is held in the cold, or not.
func (p *passage) as(i int, cold bool) simulate.State {
	s := p.begin[i]
	if p.cold[i] != cold {
		p.strand.accustom(i, &s, cold)
	}
	return s
}

// aim is how long a bulk rise, or a preferment, is planned to take by the minute
// it begins: past its best moment, so that a dough slower by one sd of its
// forecast is at its best when hands come to it; but no further than aimPast, so
// that a fast one is not too far.
func (st *strand) aim(i int, s *simulate.State, t *simulate.Tables) []float64 {
	out := make([]float64, len(t.Best))
	for e := range out {
		slower := t.Best[e] * (math.Exp(st.spread(i, s, t.Spread[e])) - 1)
		out[e] = t.Best[e] + min(slower, aimPast*(t.Late[e]-t.Best[e]))
	}
	return inOrder(out)
}

// inOrder makes waits, by the minute they begin, such that one begun later never ends
// earlier: a forecast is surer at some temperatures than at others.
func inOrder(waits []float64) []float64 {
	for e := 1; e < len(waits); e++ {
		waits[e] = max(waits[e], waits[e-1]-1)
	}
	return waits
}

// worthLooking says whether hands may come to a rise before it is expected to be
// ready: not in the cold, where the forecast is too unsure to look all night.
func (m *model) worthLooking(p *passage, i int) bool {
	return !m.relaxed && m.walker.place(p, i).Kind != Cold
}

// lookFrom is after how many minutes hands may come to a rise that is expected to be
// ready after so many, where that is so unsure.
func lookFrom(ready, spread float64) float64 {
	return max(ready*math.Exp(-worthLook*spread), ready-mostLook)
}

// soonest is how long a rise may take that is as much faster than forecast as is
// worth a look, by the minute it begins.
func (st *strand) soonest(i int, s *simulate.State, t *simulate.Tables) []float64 {
	out := make([]float64, len(t.Ready))
	for e := range out {
		out[e] = lookFrom(t.Ready[e], st.spread(i, s, t.Spread[e]))
	}
	return inOrder(out)
}

// window makes a solver's window of minutes from and to by start, each moved.
func window(from, to []float64, more, less float64) *solve.Window {
	w := &solve.Window{Min: make([]int32, len(from)), Max: make([]int32, len(to))}
	for e := range from {
		w.Min[e] = int32(math.Ceil(max(0, from[e]+more)))
		w.Max[e] = int32(math.Floor(to[e] + less))
	}
	return w
}

// middle is half way between a and b.
func middle(a, b []float64) []float64 {
	out := make([]float64, len(a))
	for i := range a {
		out[i] = (a[i] + b[i]) / 2
	}
	return out
}

func clampIndex(i, n int) int { return min(max(i, 0), n-1) }
