package schedule

import (
	"cmp"
	"slices"
	"time"

	"ovenward/schedule/solve"
)

// past is what has happened of a strand, by work, and what was planned.
type past struct {
	begun   []bool
	was     []int   // start in the plan before, solve.Free for none
	release []int   // not before
	task    []*Task // in the plan before, nil for none
	pinned  bool    // what is to come stays where it was, too
	mixed   bool    // the batch is begun
}

func (h *past) fixed(i int) bool { return h != nil && (h.begun[i] || h.pinned) }

// settle freezes what has happened, and makes moving the rest cost something.
func (h *past) settle(m *model, p *passage, i int, op *solve.Op) {
	switch {
	case h == nil:
	case h.fixed(i):
		op.Fixed = p.at[i]
		op.FixedChoice = m.choiceOf(op, h.task[i], p.at[i])
	default:
		op.Release = max(h.release[i], 0)
		if op.Was = h.was[i]; op.Was != solve.Free {
			op.Move, op.MoveFlat = priceMove, priceMoved
			op.EarlyWeight = 0 // fresher is no reason to use up what is in hand
		}
	}
}

// choiceOf is who and what served a task in the plan before. Hands still to
// come that their person cannot give any more go to somebody who can.
func (m *model) choiceOf(op *solve.Op, t *Task, start int) *solve.Choice {
	c := solve.Choice{Machine: solve.Free}
	hands := 0
	for _, need := range op.Needs {
		pick := need.Any[0]
		named := func(name string) {
			if i := slices.IndexFunc(need.Any, func(r int) bool { return m.problem.Resources[r].Name == name }); i >= 0 {
				pick = need.Any[i]
			}
		}
		switch {
		case t == nil:
		case m.isBaker(pick):
			if hands < len(t.Hands) {
				named(t.Hands[hands].Baker)
			}
			hands++
			if from := start + need.From; from >= m.problem.Now {
				pick = m.standIn(need, pick, from)
			}
		case slices.Contains(m.mixers, pick):
			named(t.Mixer)
		}
		c.Needs = append(c.Needs, pick)
	}
	if u := op.Machine; u != nil {
		c.Machine = u.Any[0]
		for _, i := range u.Any {
			if t != nil && m.problem.Machines[i].Name == t.Oven {
				c.Machine = i
			}
		}
		c.Spread = m.spreadOf(u, c.Machine, t)
	}
	return &c
}

// standIn is the resource that serves a need from a minute on: the usual one if
// it is there.
func (m *model) standIn(need solve.Need, usual, from int) int {
	there := func(r int) bool {
		caps := m.problem.Resources[r].Cap
		return from >= len(caps) || caps[from] > 0
	}
	if there(usual) {
		return usual
	}
	for _, r := range need.Any {
		if there(r) {
			return r
		}
	}
	return usual
}

// history tells what has happened from a plan and the log.
type history struct {
	grid   *grid
	now    int
	task   map[string]*Task
	last   map[string]map[SlipKind]Slip // by task and kind, the latest
	seen   map[string][]Slip            // sightings by task
	away   []Slip
	closed map[string][]closure
}

func newHistory(g *grid, p *Plan, log []Slip, a *amended, now int) *history {
	h := &history{grid: g, now: now, task: map[string]*Task{}, last: map[string]map[SlipKind]Slip{}, seen: map[string][]Slip{}, closed: a.closed}
	for i := range p.Tasks {
		h.task[p.Tasks[i].ID] = &p.Tasks[i]
	}
	for _, s := range log {
		switch {
		case s.Kind == Away:
			s.From, s.To = s.span(g.loc)
			h.away = append(h.away, s)
			continue
		case s.Kind == AsUsual:
			for i := range h.away {
				if a := &h.away[i]; a.Of == s.Of && a.To.After(s.At) {
					a.To = s.At
				}
			}
			continue
		case s.Kind.sighting():
			h.seen[s.Task] = append(h.seen[s.Task], s)
		}
		if h.last[s.Task] == nil {
			h.last[s.Task] = map[SlipKind]Slip{}
		}
		if old, ok := h.last[s.Task][s.Kind]; !ok || !s.At.Before(old.At) {
			h.last[s.Task][s.Kind] = s
		}
	}
	return h
}

// minuteOf is when a slip of a kind was last said of a task.
func (h *history) minuteOf(task string, k SlipKind) (int, bool) {
	s, ok := h.last[task][k]
	return h.grid.minute(s.At), ok && task != ""
}

// batch settles the works of one batch, in order: parts, the whole dough,
// portions. moved says that something to come cannot be when it was planned.
func (h *history) batch(t *tree, ps []*passage) (moved bool) {
	trunk := ps[len(t.parts)]
	joined, open := 0, true
	for _, p := range ps[:len(t.parts)] {
		moved = h.strand(p, 0, true, "") || moved
		n := len(p.at) - 1
		h.giveWay(p, n, trunk, mixOf(trunk.strand))
		joined, open = max(joined, p.at[n]+p.strand.works[n].dur), open && p.past.begun[n]
	}
	moved = h.trunk(trunk, joined, open, h.unready(ps[:len(t.parts)])) || moved
	n := len(trunk.at) - 1
	tail := trunk.strand.taskID(trunk.strand.tail().stage, 0)
	branches := ps[len(t.parts)+1:]
	for _, p := range branches {
		h.giveWay(trunk, n, p, 0)
	}
	first := slices.MinFunc(branches, func(a, b *passage) int { return a.at[0] - b.at[0] })
	for _, p := range branches { // the rise ends with the portion that is taken first
		p.heir = p == first
		moved = h.strand(p, trunk.at[n]+trunk.strand.works[n].dur, trunk.past.begun[n], tail) || moved
	}
	mixed := trunk.past.begun[0]
	for _, p := range ps {
		p.past.mixed = mixed
	}
	return moved
}

// unready is the last wait of the part that was last said to need more time; ""
// for none.
func (h *history) unready(parts []*passage) (task string) {
	latest := -1
	for _, p := range parts {
		id := p.strand.taskID(p.strand.tail().stage, 0)
		if s, said := h.last[id][NotYet]; said && id != "" {
			if until := h.grid.minute(s.At.Add(minutes(s.Minutes))); until > latest {
				task, latest = id, until
			}
		}
	}
	return task
}

// trunk settles the whole dough, whose first mix waits for the parts; unready is
// the wait of one that needs more time.
func (h *history) trunk(p *passage, joined int, open bool, unready string) (moved bool) {
	p.past = newPast(len(p.at))
	mix := mixOf(p.strand)
	floor := 0
	for i := range p.at {
		before := h.before(p, i, "")
		if h.giveWay(p, i-1, p, i) {
			floor = p.at[i-1] + p.strand.works[i-1].dur
		}
		if i == mix {
			floor = max(floor, joined)
			before = cmp.Or(unready, before)
		}
		moved = h.work(p, i, floor, (i < mix || open) && (i == 0 || p.past.begun[i-1]), before) || moved
		floor = p.at[i] + p.strand.works[i].dur
	}
	return moved
}

// strand settles a strand that begins when floor is over, if open.
func (h *history) strand(p *passage, floor int, open bool, tail string) (moved bool) {
	p.past = newPast(len(p.at))
	for i := range p.at {
		if h.giveWay(p, i-1, p, i) {
			floor, open = p.at[i-1]+p.strand.works[i-1].dur, true
		}
		moved = h.work(p, i, floor, open, h.before(p, i, tail)) || moved
		floor, open = p.at[i]+p.strand.works[i].dur, p.past.begun[i]
	}
	return moved
}

// giveWay ends the works of p up to the last by when work i of q was said to be
// begun, if the plan has them last longer: hands that begin the next have done
// with them. It reports whether that was so.
func (h *history) giveWay(p *passage, last int, q *passage, i int) bool {
	wk := q.strand.works[i]
	limit, said := h.minuteOf(q.strand.taskID(wk.stage, wk.fold), Started)
	if !said || last < 0 || p.at[last]+p.strand.works[last].dur <= limit {
		return false
	}
	for ; last >= 0 && p.at[last]+p.strand.works[last].dur > limit; last-- {
		p.at[last] = min(p.at[last], limit)
		p.strand.works[last].dur = limit - p.at[last]
		p.past.begun[last] = true
		limit = p.at[last]
	}
	return true
}

func newPast(n int) *past {
	return &past{begun: make([]bool, n), was: make([]int, n), release: make([]int, n), task: make([]*Task, n)}
}

// before is the task of the wait that leads to work i.
func (h *history) before(p *passage, i int, tail string) string {
	if i == 0 {
		return tail
	}
	return p.strand.taskID(p.strand.waits[i-1].stage, 0)
}

// work settles one work: begun as it was said, or as it was planned if nothing
// speaks against it; else not before now.
func (h *history) work(p *passage, i, floor int, open bool, before string) (moved bool) {
	wk, v := &p.strand.works[i], p.past
	id := p.strand.taskID(wk.stage, wk.fold)
	v.task[i], v.was[i] = h.task[id], p.at[i]
	at, dur := max(p.at[i], floor), wk.dur
	ended, waited := h.minuteOf(before, Done)
	switch waited = waited && p.strand.endsWait(i); {
	case waited && i == 0 && !p.heir:
		at, waited = max(at, ended), false
	case waited:
		at = max(ended, floor)
	}
	start, started := h.minuteOf(id, Started)
	if started {
		at = max(start, floor)
	}
	done, finished := h.minuteOf(id, Done)
	skip, skipped := h.minuteOf(id, Skipped)
	switch {
	case finished && !started && (done <= at || h.kept(p, i, at)): // earlier than planned
		at = max(done-dur, floor)
		dur = max(done-at, 0)
	case finished:
		dur = max(done-at, 0)
	case skipped:
		dur, at = 0, max(min(at, skip), floor)
	}
	v.begun[i] = started || finished || open && (waited || at < h.now && !h.kept(p, i, at) && !h.denied(before, p.at[i], p.strand.endsWait(i)))
	if wait, said := h.last[id][NotYet]; said && id != "" && v.begun[i] && !finished {
		dur = max(dur, h.grid.minute(wait.At.Add(minutes(wait.Minutes)))-at)
	}
	wk.dur = dur
	if wait, said := h.last[before][NotYet]; said && before != "" && p.strand.endsWait(i) {
		v.release[i] = h.grid.minute(wait.At.Add(minutes(max(1, wait.Minutes))))
	}
	if !v.begun[i] {
		at = max(at, h.now, v.release[i])
		moved = at != v.was[i]
	}
	p.at[i] = at
	return moved
}

// endsWait says whether the wait before work i ends with it, and is not only on
// the way to a fold.
func (st *strand) endsWait(i int) bool { return st.works[i].fold == 0 }

// kept says whether somebody or an oven needed from a minute on was not there.
func (h *history) kept(p *passage, i, at int) bool {
	t := p.past.task[i]
	if t == nil {
		return false
	}
	when := h.grid.at(at)
	within := func(from, to time.Time) bool { return !when.Before(from) && when.Before(to) }
	for _, s := range h.away {
		if len(t.Hands) > 0 && t.Hands[0].Baker == s.Of && within(s.From, s.To) {
			return true
		}
	}
	return slices.ContainsFunc(h.closed[t.Oven], func(c closure) bool { return t.Kind == Bake && within(c.from, c.to) })
}

// denied says whether a rise was still on when it should have been ended.
func (h *history) denied(wait string, planned int, ends bool) bool {
	return ends && wait != "" && slices.ContainsFunc(h.seen[wait], func(s Slip) bool {
		at := h.grid.minute(s.At)
		return at > planned || at == planned && s.Kind == NotYet
	})
}
