package schedule

import (
	"math"
	"slices"

	"ovenward/schedule/learn"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// carried is how much of what one rise has shown of its dough's speed holds for
// the dough's later rises, where the model alone misses it by sd: the share of
// kitchen and day in that spread. A slow preferment, of little yeast and cool,
// says less of the bulk rise than a slow bulk rise of the proof.
func carried(sd float64) float64 {
	k, d := learn.RisePrior.Kitchen, learn.RisePrior.Day
	return min(0.5, (k*k+d*d)/(sd*sd))
}

// readySD is the spread, in ln of minutes, of "ready" and of "ready in a
// quarter of an hour": the eye's, and the width of what bakers call ready.
const readySD = 0.15

// sightings are what bakers saw of the doughs of a plan.
type sightings struct {
	of    map[string][]Slip       // by task, in order of time
	speed map[string]learn.Belief // of the batch being followed, by task of a rise
	batch map[string]float64      // what its later rises take over, in ln of speed

	left map[string]float64 // by task of a rise: how unsure it is still, sd in ln of minutes

	taught map[string]learn.Observation // by ID of the sighting
}

// see gathers what was seen of doughs; nil for nothing.
func see(log []Slip) *sightings {
	v := &sightings{of: map[string][]Slip{}, left: map[string]float64{}}
	for _, s := range log {
		if s.Kind.sighting() {
			v.of[s.Task] = append(v.of[s.Task], s)
		}
	}
	if len(v.of) == 0 {
		return nil
	}
	for _, ss := range v.of {
		slices.SortStableFunc(ss, func(a, b Slip) int { return a.At.Compare(b.At) })
	}
	return v
}

// anew forgets what was concluded when a batch is followed once more.
func (v *sightings) anew() {
	if v != nil {
		v.speed, v.batch = map[string]learn.Belief{}, map[string]float64{}
	}
}

// offMixer is the last temperature measured of a dough just mixed.
func (v *sightings) offMixer(task string) (x Slip, ok bool) {
	if v == nil {
		return x, false
	}
	for _, s := range v.of[task] {
		if s.Kind == WasWarm {
			x, ok = s, true
		}
	}
	return x, ok
}

// warmed keeps what a temperature off the mixer says of the dough's mixing. Of
// preferments nothing is learnt: no water is asked for them.
func (v *sightings) warmed(x Slip, st *strand, wanted unit.Celsius) {
	if st.part != "" {
		return
	}
	v.teach(x, learn.Observation{Kind: learn.Temperature, Predicted: float64(wanted), Observed: float64(x.Celsius), Allowed: float64(st.known.Friction)})
}

// on says whether anything was seen of a batch.
func (v *sightings) on(batch string) bool {
	if v == nil {
		return false
	}
	for task := range v.of { // any order: only whether
		if batchOf(task) == batch {
			return true
		}
	}
	return false
}

// look makes the dough at the beginning of wait i what it was seen to be: as
// fast as its rises were, as warm as it was measured last. It may come back
// some minutes on.
func (w *walker) look(p *passage, i int, s *simulate.State) {
	if w.seen == nil || p.strand.dough == nil {
		return
	}
	stage := p.strand.stage(p.strand.waits[i].stage)
	if stage == nil || !stage.Kind.Rises() {
		return
	}
	task, batch := p.strand.taskID(p.strand.waits[i].stage, 0), batchOf(p.strand.id)
	seen := w.within(p, i, w.seen.of[task])
	usual := p.strand.usual(i, p.cold[i])
	belief, known := w.seen.speed[task] // from before a fold
	if !known {
		belief = learn.Belief{Mean: usual + w.seen.batch[batch]}
	}
	plain := *s
	w.pace(p, &plain, 0)
	var read []learn.Observation
	for _, x := range seen {
		says := w.readings(p, i, plain, x, seen)
		w.seen.note(x, says, regimeOf(&plain, p.cold[i]))
		read = append(read, says...)
	}
	if len(read) > 0 {
		model := w.ahead(p.from(i, plain), i, plain).Spread
		if !known {
			belief.SD = p.strand.spread(i, &plain, model)
		}
		belief = belief.Running(read...)
		w.seen.speed[task] = belief
		w.seen.left[task] = belief.SD
		w.seen.batch[batch] = carried(model) * (belief.Mean - usual)
	}
	if belief.Mean != usual {
		w.pace(p, s, belief.Mean)
	}
	w.warm(p, i, s, seen, math.Inf(1))
}

// spread is that of rise i of the dough, which the model alone misses by model.
func (st *strand) spread(i int, s *simulate.State, model float64) float64 {
	plain, _ := warmly(s.Kinetics())
	return st.paceIn(i).spread(model, plain)
}

// paceIn is what is known of the dough's speed in wait i.
func (st *strand) paceIn(i int) Pace {
	if s := st.stage(st.waits[i].stage); s != nil {
		return st.known.of(s.Kind)
	}
	return st.known.Pace
}

// unsure is the spread of rise i, which the model alone misses by model, after
// what was seen of it.
func (w *walker) unsure(p *passage, i int, model float64) float64 {
	if w.seen != nil {
		if b, ok := w.seen.left[p.strand.taskID(p.strand.waits[i].stage, 0)]; ok {
			return b
		}
	}
	return p.strand.spread(i, &p.begin[i], model)
}

// usual is ln of the dough's speed in wait i, in the cold or not, before anything is
// seen of it today.
func (st *strand) usual(i int, cold bool) float64 {
	if v := st.paceIn(i).speed(cold); v > 0 {
		return math.Log(v)
	}
	return 0
}

// accustom gives the dough at the beginning of wait i the speed it is known for
// there.
func (st *strand) accustom(i int, s *simulate.State, cold bool) {
	if st.dough == nil || !st.known.varies() {
		return
	}
	d := *st.dough
	d.Speed = st.paceIn(i).speed(cold)
	s.Become(&d)
}

// pace makes the dough as fast as ln says, against the model.
func (w *walker) pace(p *passage, s *simulate.State, ln float64) {
	d := *p.strand.dough
	d.Speed, d.Observed = math.Exp(ln), ln != 0
	s.Become(&d)
}

// within are the sightings that belong to wait i: of a rise with folds, those
// between the folds before and after it.
func (w *walker) within(p *passage, i int, all []Slip) []Slip {
	stage := p.strand.waits[i].stage
	part := func(k int) bool { return k >= 0 && k < len(p.strand.waits) && p.strand.waits[k].stage == stage }
	var out []Slip
	for _, s := range all {
		m := w.grid.minute(s.At)
		if (!part(i-1) || m >= p.at[i]) && (!part(i+1) || m < p.at[i+1]) {
			out = append(out, s)
		}
	}
	return out
}

// warm lets the dough rise up to a minute as far as temperatures were measured,
// and takes those over.
func (w *walker) warm(p *passage, i int, s *simulate.State, seen []Slip, until float64) {
	for _, x := range seen {
		if m := float64(w.grid.minute(x.At)); x.Kind == WasWarm && m <= until {
			w.through(p, i, s, int(m))
			s.Probe(x.Celsius)
		}
	}
}

// readings are what one sighting says of the speed of wait i, which s began at
// the model's own pace.
func (w *walker) readings(p *passage, i int, s simulate.State, x Slip, seen []Slip) []learn.Observation {
	begin, at := s.Minute, float64(w.grid.minute(x.At))
	if p.cold[i] {
		return w.coldReadings(p, i, s, x, seen)
	}
	if x.Kind == Volume {
		return []learn.Observation{{Predicted: w.reach(p, i, s, seen, x.Expansion, 4*(at-begin)+60), Observed: at - begin}}
	}
	w.warm(p, i, &s, seen, at)
	v := w.ahead(p.from(i, s), i, s)
	best := learn.Observation{Predicted: v.Best - begin, Observed: at - begin, SD: readySD}
	switch x.Kind {
	case Ready:
		return []learn.Observation{best}
	case Over:
		return []learn.Observation{{Kind: learn.Past, Predicted: v.TooFar - begin, Observed: at - begin}}
	case NotYet:
		young := learn.Observation{Kind: learn.NotYet, Predicted: v.Ready - begin, Observed: at - begin}
		if best.Observed += float64(x.Minutes); x.Minutes > 0 {
			return []learn.Observation{young, best}
		}
		return []learn.Observation{young}
	}
	return nil
}

// coldReadings are readings of a rise in the cold, by how far the model's own
// dough is when the true one is seen: gas is made in proportion to the speed. How
// much longer it needs nobody can tell of cold dough; such a guess says nothing.
func (w *walker) coldReadings(p *passage, i int, s simulate.State, x Slip, seen []Slip) []learn.Observation {
	at := float64(w.grid.minute(x.At))
	p = p.from(i, s)
	v, goal := w.window(p, i), p.goal(i)
	o := learn.Observation{Predicted: v.Best - s.Minute, Observed: at - s.Minute}
	expansion, edge := goal.Expansion, 1.0
	switch x.Kind {
	case Ready:
		o.SD = readySD
	case Over:
		o.Kind, o.Predicted, edge = learn.Past, v.TooFar-s.Minute, goal.Edges().TooFar
	case NotYet:
		o.Kind, o.Predicted, edge = learn.NotYet, v.Ready-s.Minute, goal.Edges().Ready
	case Volume:
		expansion, o.Predicted = x.Expansion, w.reach(p, i, s, seen, x.Expansion, riseLimit)
	default:
		return nil
	}
	w.warm(p, i, &s, seen, at)
	w.through(p, i, &s, int(at))
	dose := s.Dose(expansion)
	if !(dose > 0) {
		return nil
	}
	o.Speed = edge / dose
	return []learn.Observation{o}
}

// reach is after how many minutes, of at most limit, the dough of wait i stands
// at an expansion.
func (w *walker) reach(p *passage, i int, s simulate.State, seen []Slip, e, limit float64) float64 {
	begin := s.Minute
	for s.Expansion() < e && s.Minute-begin < limit {
		next := int(s.Minute) + 1
		w.warm(p, i, &s, seen, float64(next))
		w.through(p, i, &s, next)
	}
	return s.Minute - begin
}

// from is p with wait i begun by s.
func (p *passage) from(i int, s simulate.State) *passage {
	q := *p
	q.begin = slices.Clone(p.begin)
	q.begin[i] = s
	return &q
}
