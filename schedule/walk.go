package schedule

import (
	"fmt"
	"math"
	"slices"

	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// Dough temperatures off the mixer where the method does not say: handbooks ask
// for 25.5 to 28 °C; a preferment is kept cooler.
const (
	usualDough      unit.Celsius = 26
	usualPreferment unit.Celsius = 23
)

// riseLimit is how long a rise is followed, in minutes.
const riseLimit = 48 * 60

// walker carries doughs through the stages and places of one kitchen.
type walker struct {
	kitchen *Kitchen
	grid    *grid
	seen    *sightings // what was observed of the doughs; nil for nothing
	// watch is called at every moment that is recorded, with the task under way.
	watch func(st *strand, place *Place, task string, s *simulate.State)
}

// passage is one strand with its times and the dough at the beginning of each
// wait.
type passage struct {
	strand *strand
	at     []int            // start of each work, grid minutes
	cold   []bool           // by wait: in the place where it may be chilled
	begin  []simulate.State // by wait: the dough when the wait begins; zero before the mix
	alive  []bool           // by wait: begin counts
	spell  []*spell         // by wait: what moves the window on the way; nil for nothing
	past   *past            // what has happened already; nil for a fresh day
	heir   bool             // the whole dough's last wait ends when this portion is taken
}

func newPassage(st *strand) *passage {
	p := &passage{
		strand: st, at: make([]int, len(st.works)), cold: make([]bool, len(st.waits)),
		begin: make([]simulate.State, len(st.waits)), alive: make([]bool, len(st.waits)),
		spell: make([]*spell, len(st.waits)),
	}
	for i, wt := range st.waits {
		s := st.stage(wt.stage)
		p.cold[i] = s != nil && s.Chill != nil && s.Chill.Always
	}
	return p
}

// held is p with wait i in the cold, or not.
func (p *passage) held(i int, cold bool) *passage {
	q := *p
	q.cold = slices.Clone(p.cold)
	q.cold[i] = cold
	return &q
}

// run carries the dough through the passage's own times. With guess, the start
// of every work but the first is chosen instead: each rise ended at its best
// moment, each wait at its least. It returns the dough at the end of the last
// work; ok is false while nothing is mixed.
func (w *walker) run(p *passage, s simulate.State, ok, guess bool) (simulate.State, bool, error) {
	st := p.strand
	mixed := st.mixedAt()
	for i, wk := range st.works {
		if i > 0 {
			if guess {
				p.at[i] = p.at[i-1] + st.works[i-1].dur + w.guess(p, i-1)
			}
			w.stand(p, i-1, &s, ok, p.at[i])
		}
		end := p.at[i] + wk.dur
		if s := st.stage(wk.stage); s != nil && s.Kind == Bake {
			ok = false // bread does not rise any more
		}
		if ok {
			if err := w.handle(p, wk, &s, end); err != nil {
				return s, ok, err
			}
		}
		if i == mixed && !ok && st.portion == nil && st.dough != nil {
			var err error
			if s, err = w.start(st, wk, end); err != nil {
				return s, ok, fmt.Errorf("%s: %w", st.name, err)
			}
			ok = true
		}
		if i < len(st.waits) {
			if ok {
				st.accustom(i, &s, p.cold[i])
				w.look(p, i, &s)
			}
			p.begin[i], p.alive[i] = s, ok
		}
	}
	return s, ok, nil
}

// batch carries one batch through: parts, trunk, branches. With guess the times
// are chosen on the way, from the first work of the trunk on.
func (w *walker) batch(t *tree, ps []*passage, guess bool) error {
	trunk := ps[len(t.parts)]
	w.seen.anew()
	ready, alive := make([]simulate.State, len(t.parts)), make([]bool, len(t.parts))
	for k, p := range ps[:len(t.parts)] {
		var err error
		if ready[k], alive[k], err = w.run(p, simulate.State{}, false, guess); err != nil {
			return err
		}
	}
	s, ok, err := w.run(trunk, simulate.State{}, false, guess)
	if err != nil {
		return err
	}
	mixing := trunk.at[mixOf(trunk.strand)]
	for k, p := range ps[:len(t.parts)] {
		if tail := len(p.strand.works) - 1; tail < len(p.strand.waits) && !guess {
			w.stand(p, tail, &ready[k], alive[k], mixing)
		}
	}
	watch := w.watch
	last := slices.MaxFunc(ps[len(t.parts)+1:], func(a, b *passage) int { return a.at[0] - b.at[0] })
	for _, p := range ps[len(t.parts)+1:] {
		if w.watch = nil; p == last { // the whole dough is recorded once, until its last portion is taken
			w.watch = watch
		}
		taken := s
		w.take(trunk, p, &taken, ok, guess)
		w.watch = watch
		taken.Become(p.strand.dough)
		if _, _, err := w.run(p, taken, ok, guess); err != nil {
			return err
		}
	}
	return nil
}

// take leaves the whole dough until portion p is taken from it, at the time of
// the portion's first work.
func (w *walker) take(trunk, p *passage, s *simulate.State, ok, guess bool) {
	tail := len(trunk.strand.works) - 1
	if guess {
		p.at[0] = trunk.at[tail] + trunk.strand.works[tail].dur
	}
	if tail == len(trunk.strand.waits) {
		if bench, found := w.kitchen.Place(""); ok && found {
			w.pass(trunk.strand, bench, "", s, p.at[0])
		}
		return
	}
	if guess {
		p.at[0] += w.guess(trunk, tail)
	}
	w.stand(trunk, tail, s, ok, p.at[0])
}

// start mixes the dough.
func (w *walker) start(st *strand, wk work, minute int) (simulate.State, error) {
	t := usualDough
	if st.part != "" {
		t = usualPreferment
	}
	if s := st.stage(wk.stage); s != nil && s.Dough != 0 {
		t = s.Dough
	}
	wanted := t
	t += unit.Celsius(st.known.Warmer)
	if x, ok := w.seen.offMixer(st.taskID(wk.stage, 0)); ok {
		t = x.Celsius
		w.seen.warmed(x, st, wanted)
	}
	return simulate.Start(st.dough, float64(minute), w.kitchen.inTub(st.mass), t)
}

// handle does a work that lasts until end: the gas is pressed out as it begins,
// so that what is done last is not forgotten to have risen meanwhile.
func (w *walker) handle(p *passage, wk work, s *simulate.State, end int) error {
	s.Handle(wk.handling(p.strand))
	if body, changed := wk.body(w.kitchen, p.strand); changed {
		if err := s.Reshape(body); err != nil {
			return fmt.Errorf("%s: %w", p.strand.name, err)
		}
	}
	bench, _ := w.kitchen.Place("")
	w.pass(p.strand, bench, p.strand.taskID(wk.stage, wk.fold), s, end)
	return nil
}

// stand leaves the dough in the place of wait i until minute.
func (w *walker) stand(p *passage, i int, s *simulate.State, ok bool, minute int) {
	if ok {
		w.through(p, i, s, minute)
	}
}

// recordEvery is the most minutes between two recorded moments.
const recordEvery = 10

// pass lets s wait in a place until minute, stopping to record on the way.
func (w *walker) pass(st *strand, place *Place, task string, s *simulate.State, until int) {
	air := w.grid.air[place.Name]
	if w.watch == nil {
		s.Wait(air, float64(until)-s.Minute)
		return
	}
	for w.watch(st, place, task, s); s.Minute < float64(until); w.watch(st, place, task, s) {
		s.Wait(air, math.Min(recordEvery, float64(until)-s.Minute))
	}
}

// place is where wait i is spent.
func (w *walker) place(p *passage, i int) *Place {
	name := ""
	if s := p.strand.stage(p.strand.waits[i].stage); s != nil {
		name = s.Place
		if p.cold[i] && s.Chill != nil {
			name = s.Chill.Place
		}
	}
	pl, _ := w.kitchen.Place(name)
	return pl
}

func (w *walker) airOf(p *passage, i int) *simulate.Air { return w.grid.air[w.place(p, i).Name] }

// goal is what wait i waits for, when it is a rise or the way to a fold.
func (p *passage) goal(i int) simulate.Target {
	wt := p.strand.waits[i]
	g := p.strand.stage(wt.stage).goal(p.begin[i].Kinetics().Narrow(), p.strand.inTin())
	if wt.share < 1 {
		g.Expansion = 1 + wt.share*(g.Expansion-1)
	}
	g.FastTooFar = p.cold[i]
	return g
}

// window is when the rise of wait i may end, in grid minutes.
func (w *walker) window(p *passage, i int) simulate.Window {
	return w.ahead(p, i, p.begin[i])
}

// foldAt is the minute of the fold that wait i leads to.
func (w *walker) foldAt(p *passage, i int) float64 {
	if n := p.strand.waits[i].minutes; n > 0 {
		return p.begin[i].Minute + float64(n)
	}
	return w.window(p, i).Best
}

// rising says whether wait i is a rise of a living dough.
func (p *passage) rising(i int) bool {
	s := p.strand.stage(p.strand.waits[i].stage)
	return s != nil && s.Kind.Rises() && p.alive[i]
}

// guess is how long wait i is taken to last before a plan is made.
func (w *walker) guess(p *passage, i int) int {
	s := p.strand.stage(p.strand.waits[i].stage)
	switch {
	case s == nil:
		return 0
	case s.Kind.Rises() && p.alive[i]:
		if p.strand.waits[i].toFold() {
			return int(math.Ceil(w.foldAt(p, i) - p.begin[i].Minute))
		}
		v := w.window(p, i)
		best := int(math.Ceil(v.Best - p.begin[i].Minute))
		if p.cold[i] {
			best = min(max(best, int(s.Chill.Least)), int(s.Chill.Most))
		}
		return best
	}
	return int(math.Ceil(float64(s.Least)))
}
