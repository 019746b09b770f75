package schedule

import (
	"math"
	"slices"
	"time"
)

// Chance is how often a plan held when it was rehearsed with doughs faster and
// slower than forecast.
type Chance struct {
	Draws  int     `json:"draws"`
	Kept   float64 `json:"kept"`   // every promise kept, to five minutes
	Close  float64 `json:"close"`  // no promise missed by more than a quarter of an hour
	Inside float64 `json:"inside"` // every rise acted on inside its window
}

// What counts as kept and as close, in minutes late.
const (
	keptWithin  = 5.0
	closeWithin = 15.0
)

// Of the spread of a forecast, what all doughs of a day share (kitchen,
// thermometer, season) and what is each one's own, as in package learn: 0.21,
// 0.20 and 0.06 in ln, squared and summed by sharing.
const (
	sharedPart = 0.73 // sqrt((0.21² + 0.06²) / 0.30²)
	ownPart    = 0.68 // sqrt(1 - sharedPart²)
)

// Rehearse plays a plan through draws times, each time with other doughs drawn
// from the forecast's spread. People keep to the plan: they wait for a slow dough
// and do meanwhile what can be done, and act sooner on a fast one where hands and
// oven allow. The same plan and seed give the same chance.
func Rehearse(d *Day, p *Plan, draws int, seed uint64) Chance {
	r := newRehearsal(d, p, func(*Task) bool { return false })
	r.hasten = true
	c := Chance{Draws: draws}
	random, z := normals(seed), make([]float64, r.batches)
	for range draws {
		r.draw(&random, z)
		out := r.play(z)
		c.Kept += count(out.worst <= keptWithin)
		c.Close += count(out.worst <= closeWithin)
		c.Inside += count(out.over == 0)
	}
	if n := float64(draws); n > 0 {
		c.Kept, c.Close, c.Inside = c.Kept/n, c.Close/n, c.Inside/n
	}
	return c
}

func count(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

// rehearsal is a plan laid out for playing. Moments are minutes from the plan's
// first task.
type rehearsal struct {
	steps   []rehearsalStep
	batches int
	hands   map[string]int // people and mixers
	there   [][]int32      // of each, by minute from opened, the first from then on at which there; nil: always
	opened  int            // minutes
	hasten  bool           // who has time comes sooner to a fast dough
	looks   float64        // minutes until a dough that is not ready is looked at again; 0: one waits beside it
	ovens   []rehearsalOven
	// For playing:
	begun   *scene // with what is begun at the beginning, and nothing else
	scratch *scene
}

// rehearsalStep is a task with what must be over before it.
type rehearsalStep struct {
	start, end float64
	begun      bool // as it was
	batch      int  // index of the dough
	task       string
	before     []int
	rise       int     // the step that is the rise it ends, or folds; -1 none
	fold       bool    // of that rise
	waits      bool    // a rest or cooling, which lasts as long as it must
	least      float64 // of such
	hands      []hold
	bake       *rehearsalBake
	promised   bool
	due        float64
	weight     float64
	opens      []int // steps that this one must be placed before
	// Of a rise, in minutes after its start, and its spread in ln of minutes:
	rises               bool
	ready, late, tooFar float64
	sd                  float64
}

// hold is how long a step holds a person or a mixer.
type hold struct {
	what    int
	minutes float64
}

// rehearsalBake is what a bake needs of its oven.
type rehearsalBake struct {
	oven  int // of the rehearsal's
	kind  int // of the oven's
	trays int
	level bool
}

// rehearsalOven is an oven with the kinds of bake it is for.
type rehearsalOven struct {
	name   string
	trays  int
	kinds  []profile
	change [][]float64 // minutes from one kind to another
	bakes  []int       // steps
}

// newRehearsal finds for every task what comes before it in its dough, and what
// it needs of hands, mixers and ovens. What is begun is as it is.
func newRehearsal(d *Day, p *Plan, begun func(*Task) bool) *rehearsal {
	r := &rehearsal{batches: len(p.Batches), hands: map[string]int{}}
	l := layout{rehearsal: r, day: d, plan: p, origin: p.begin(), strand: map[string]int{}}
	for i := range p.Tasks {
		if t := &p.Tasks[i]; t.Kind != Preheat {
			l.add(t, begun(t))
		}
	}
	r.there = make([][]int32, len(r.hands))
	r.link()
	return r
}

// link has every step know what it opens: what must come after it.
func (r *rehearsal) link() {
	for i := range r.steps {
		for _, k := range r.needs(i) {
			r.steps[k].opens = append(r.steps[k].opens, i)
		}
	}
}

// needs are the steps that must be placed before a step: those before it in its
// dough, and the bakes of another kind that the plan has before it in its oven.
func (r *rehearsal) needs(i int) (out []int) {
	s := &r.steps[i]
	if s.begun {
		return nil
	}
	out = append(out, s.before...)
	if s.rise >= 0 {
		out = append(out, s.rise)
	}
	if s.bake != nil {
		for _, k := range r.ovens[s.bake.oven].bakes {
			if k < i && r.steps[k].bake.kind != s.bake.kind {
				out = append(out, k)
			}
		}
	}
	return out
}

// layout lays a plan out, task by task.
type layout struct {
	*rehearsal
	day    *Day
	plan   *Plan
	origin time.Time
	strand map[string]int // last step of a strand
}

func (l *layout) minute(t time.Time) float64 { return t.Sub(l.origin).Minutes() }

// add adds a task as a step.
func (l *layout) add(t *Task, begun bool) {
	s := rehearsalStep{
		start: l.minute(t.Start), end: l.minute(t.End), begun: begun, task: t.ID, waits: t.Kind.Waits(),
		batch: slices.IndexFunc(l.plan.Batches, func(b Batch) bool { return b.ID == t.Batch }),
		rise:  -1, fold: t.Kind == Fold && t.Label == "",
	}
	if s.waits {
		s.least = leastOf(l.day, l.plan, t).Minutes()
	}
	l.follow(&s, t)
	if len(t.Hands) > 0 {
		h := t.Hands[0]
		s.hands = append(s.hands, l.hold(h.Baker, h.To.Sub(h.From).Minutes()))
	}
	if t.Mixer != "" {
		s.hands = append(s.hands, l.hold(t.Mixer+" (mixer)", s.end-s.start))
	}
	if s.bake = l.bake(t); s.bake != nil {
		o := &l.ovens[s.bake.oven]
		o.bakes = append(o.bakes, len(l.steps))
	}
	if t.Window != nil {
		l.window(&s, t.Window)
	}
	if t.Promise != nil {
		s.promised, s.due = true, l.minute(*t.Promise)
		s.weight = float64(max(1, l.day.Orders[l.plan.portion(t.Portion).Order].Weight))
	}
	l.steps = append(l.steps, s)
}

// follow finds what comes before a task in its dough.
func (l *layout) follow(s *rehearsalStep, t *Task) {
	key := t.Batch + "/" + t.Part + "/" + t.Portion
	previous, known := l.strand[key]
	if !known && t.Part == "" {
		previous, known = l.strand[t.Batch+"//"]
	}
	switch {
	case known && l.steps[previous].rises:
		s.rise = previous
	case known:
		s.before = append(s.before, previous)
	}
	if t.Kind == Mix && t.Part == "" && t.Portion == "" {
		for i := range l.plan.Tasks {
			o := &l.plan.Tasks[i]
			if last, ok := l.strand[o.Batch+"/"+o.Part+"/"]; ok && o.Batch == t.Batch && o.Part != "" && !slices.Contains(s.before, last) {
				s.before = append(s.before, last)
			}
		}
	}
	if !s.fold {
		l.strand[key] = len(l.steps)
	}
}

// hold is a person or a mixer, held for some minutes.
func (l *layout) hold(name string, minutes float64) hold {
	if _, known := l.hands[name]; !known {
		l.hands[name] = len(l.hands)
	}
	return hold{l.hands[name], minutes}
}

// window gives a step the forecast of its rise; its latest moment in nine of ten
// such rises is 1.28 standard deviations above the best.
func (l *layout) window(s *rehearsalStep, w *Window) {
	after := func(t time.Time) float64 { return l.minute(t) - s.start }
	s.rises = true
	s.ready, s.late, s.tooFar = after(w.Ready), after(w.Late), after(w.TooFar)
	if best, tardy := after(w.Best), after(w.Tardy); best > 0 && tardy > best {
		s.sd = math.Log(tardy/best) / 1.2815515655446004
	}
}

// surer leaves rises that were seen no more spread than that.
func (r *rehearsal) surer(seen *sightings) {
	if seen == nil {
		return
	}
	for i := range r.steps {
		if s := &r.steps[i]; s.rises {
			if sd, ok := seen.left[s.task]; ok {
				s.sd = sd
			}
		}
	}
}

// bake is what a bake needs of its oven; nil for what is none.
func (l *layout) bake(t *Task) *rehearsalBake {
	i := slices.IndexFunc(l.day.Kitchen.Ovens, func(o Oven) bool { return o.Name == t.Oven })
	s := stageOf(l.day, l.plan, t)
	if i < 0 || s == nil {
		return nil
	}
	k := slices.IndexFunc(l.ovens, func(o rehearsalOven) bool { return o.name == t.Oven })
	if k < 0 {
		k = len(l.ovens)
		l.ovens = append(l.ovens, rehearsalOven{name: t.Oven, trays: l.day.Kitchen.Ovens[i].Trays()})
	}
	f := profileOf(*s)
	return &rehearsalBake{k, l.ovens[k].kind(&l.day.Kitchen.Ovens[i], f), l.plan.portion(t.Portion).Trays, f.level}
}

// kind is the number of a kind of bake, a new one where there is none.
func (o *rehearsalOven) kind(in *Oven, f profile) int {
	if i := slices.IndexFunc(o.kinds, func(k profile) bool { return k.key == f.key }); i >= 0 {
		return i
	}
	o.kinds = append(o.kinds, f)
	o.change = make([][]float64, len(o.kinds))
	for i, from := range o.kinds {
		for _, to := range o.kinds {
			o.change[i] = append(o.change[i], float64(in.Change(from.end, to.start)))
		}
	}
	return len(o.kinds) - 1
}

// leastOf is the least minutes of a rest or cooling.
func leastOf(d *Day, p *Plan, t *Task) time.Duration {
	if !t.Kind.Waits() {
		return 0
	}
	if s := stageOf(d, p, t); s != nil {
		return time.Duration(math.Ceil(float64(s.Least))) * time.Minute
	}
	return 0
}

// stageOf is the stage of the method a task comes from, nil for none.
func stageOf(d *Day, p *Plan, t *Task) *Stage {
	var b *Bread
	for _, batch := range p.Batches {
		for _, q := range batch.Portions {
			if batch.ID == t.Batch && (t.Portion == "" || q.ID == t.Portion) && b == nil {
				b, _ = d.Bread(q.Bread)
			}
		}
	}
	if b == nil {
		return nil
	}
	method := b.Method
	if base, ok := d.Base(b.Base); ok && t.Portion == "" && b.Base != "" {
		method = base.Method
	}
	if t.Stage < 0 || t.Stage >= len(method) {
		return nil
	}
	return &method[t.Stage]
}

// Later is the later of two instants.
func Later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// normals is a seeded stream of standard normal numbers: splitmix64 (Steele,
// Lea, Flood 2014) through the inverse of the normal distribution.
type normals uint64

func (n *normals) next() float64 {
	*n += 0x9e3779b97f4a7c15
	z := uint64(*n)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	z ^= z >> 31
	u := (float64(z>>11) + 0.5) / (1 << 53)
	return math.Sqrt2 * math.Erfinv(2*u-1)
}
