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
	random := normals(seed)
	for range draws {
		out := r.play(r.draw(&random))
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
	there   [][]int32      // of each, 1 where there, by minute from opened; nil: always
	opened  int            // minutes
	hasten  bool           // who has time comes sooner to a fast dough
	looks   float64        // minutes until a dough that is not ready is looked at again; 0: one waits beside it
	// For playing:
	start, end, free []float64
	placed           []bool
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
	oven    *Oven
	trays   int
	profile profile
	others  []int // bakes the plan has in that oven before
}

// newRehearsal finds for every task what comes before it in its dough, and what
// it needs of hands, mixers and ovens. What is begun is as it is.
func newRehearsal(d *Day, p *Plan, begun func(*Task) bool) *rehearsal {
	r := &rehearsal{batches: len(p.Batches), hands: map[string]int{}}
	l := layout{rehearsal: r, day: d, plan: p, origin: p.begin(), strand: map[string]int{}, ovens: map[string][]int{}}
	for i := range p.Tasks {
		if t := &p.Tasks[i]; t.Kind != Preheat {
			l.add(t, begun(t))
		}
	}
	r.there = make([][]int32, len(r.hands))
	r.start, r.end = make([]float64, len(r.steps)), make([]float64, len(r.steps))
	r.free, r.placed = make([]float64, len(r.hands)), make([]bool, len(r.steps))
	return r
}

// layout lays a plan out, task by task.
type layout struct {
	*rehearsal
	day    *Day
	plan   *Plan
	origin time.Time
	strand map[string]int   // last step of a strand
	ovens  map[string][]int // bakes so far
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
	if s.bake = bakeOf(l.day, l.plan, t); s.bake != nil {
		s.bake.others = slices.Clone(l.ovens[t.Oven])
		l.ovens[t.Oven] = append(l.ovens[t.Oven], len(l.steps))
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

// bakeOf is what a bake needs of its oven.
func bakeOf(d *Day, p *Plan, t *Task) *rehearsalBake {
	i := slices.IndexFunc(d.Kitchen.Ovens, func(o Oven) bool { return o.Name == t.Oven })
	s := stageOf(d, p, t)
	if i < 0 || s == nil {
		return nil
	}
	return &rehearsalBake{oven: &d.Kitchen.Ovens[i], trays: p.portion(t.Portion).Trays, profile: profileOf(*s)}
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

// played is what becomes of a day: how late the latest promise is, the weighted
// lateness of all, and the minutes doughs are acted on past too far, in minutes.
type played struct{ worst, late, over float64 }

// draw is how fast the doughs are, by batch, in standard deviations of ln of
// minutes.
func (r *rehearsal) draw(random *normals) []float64 {
	shared := random.next()
	out := make([]float64, r.batches)
	for i := range out {
		out[i] = sharedPart*shared + ownPart*random.next()
	}
	return out
}

// play goes through the day once, with doughs so fast: whatever can begin first
// does, in the order of the plan.
func (r *rehearsal) play(z []float64) (out played) {
	for i := range r.free {
		r.free[i] = math.Inf(-1)
	}
	clear(r.placed)
	left := r.steps
	for first := 0; first < len(left); {
		next, at := -1, math.Inf(1)
		for i := first; i < len(left); i++ {
			if r.placed[i] {
				if i == first {
					first++
				}
				continue
			}
			if begin, ok := r.earliest(i, z); ok && begin < at {
				next, at = i, begin
				if left[i].begun {
					break
				}
			}
		}
		if next < 0 {
			break
		}
		r.place(next, at, z, &out)
	}
	return out
}

// place begins a step at a minute.
func (r *rehearsal) place(i int, at float64, z []float64, out *played) {
	s := &r.steps[i]
	r.placed[i], r.start[i], r.end[i] = true, at, at+s.end-s.start
	if s.waits {
		r.end[i] = at + s.least
	}
	for _, h := range s.hands {
		r.free[h.what] = max(r.free[h.what], at+h.minutes)
	}
	if s.rise >= 0 && !s.fold && !s.begun {
		rise := &r.steps[s.rise]
		out.over += max(0, at-r.start[s.rise]-rise.tooFar*math.Exp(rise.sd*z[s.batch]))
	}
	if s.promised {
		out.worst = max(out.worst, r.end[i]-s.due)
		out.late += s.weight * max(0, r.end[i]-s.due)
	}
}

// earliest is when a step can begin, once what comes before it has.
func (r *rehearsal) earliest(i int, z []float64) (at float64, ok bool) {
	s := &r.steps[i]
	if s.begun {
		return s.start, true
	}
	at = s.start
	if (s.rises || s.waits) && s.rise < 0 { // as soon as what comes before is over
		at = math.Inf(-1)
	}
	for _, b := range s.before {
		if !r.placed[b] {
			return 0, false
		}
		at = max(at, r.end[b])
	}
	if s.rise >= 0 {
		if !r.placed[s.rise] {
			return 0, false
		}
		at = r.ripe(s, at, z)
	}
	if math.IsInf(at, -1) {
		at = s.start
	}
	for _, h := range s.hands {
		at = r.present(h.what, max(at, r.free[h.what]))
	}
	if s.bake != nil {
		return r.intoOven(s, at)
	}
	return at, true
}

// present is from when on a person is there.
func (r *rehearsal) present(who int, at float64) float64 {
	caps := r.there[who]
	m := int(math.Ceil(at)) - r.opened
	if m < 0 || m >= len(caps) || caps[m] > 0 {
		return at
	}
	for m < len(caps) && caps[m] == 0 {
		m++
	}
	return float64(m + r.opened)
}

// ripe is when the rise before a step lets it begin that is called for at a
// minute.
func (r *rehearsal) ripe(s *rehearsalStep, at float64, z []float64) float64 {
	rise, begun := &r.steps[s.rise], r.start[s.rise]
	pace := math.Exp(rise.sd * z[s.batch])
	if s.fold {
		return max(at, begun+foldedFrom*(s.start-rise.start)*pace)
	}
	if late := begun + rise.late*pace; r.hasten && late < at && s.bake == nil {
		at = late // the alert says so, and hands can
	}
	wait := begun + rise.ready*pace - at
	if wait <= 0 {
		return at
	}
	if r.looks > 0 {
		wait = r.looks * math.Ceil(wait/r.looks)
	}
	return at + wait
}

// foldedFrom is the share of the way to a fold from which it may be folded.
const foldedFrom = 0.8

// intoOven is when an oven takes a bake: level ones beside each other as long as
// there is room, others after those that the plan has before them.
func (r *rehearsal) intoOven(s *rehearsalStep, at float64) (float64, bool) {
	b := s.bake
	alike := func(o *rehearsalBake) bool { return o.profile.key == b.profile.key }
	for _, k := range b.others {
		if o := r.steps[k].bake; !r.placed[k] && !alike(o) {
			return 0, false
		}
	}
	for again := true; again; {
		again = false
		taken, out := b.trays, math.Inf(1)
		for k := range r.steps {
			o := r.steps[k].bake
			if o == nil || !r.placed[k] || o.oven != b.oven {
				continue
			}
			switch together := alike(o) && (b.profile.level || at-r.start[k] <= joinWithin); {
			case !together && at < r.end[k]+o.change(b):
				at, again = r.end[k]+o.change(b), true
			case r.end[k] > at:
				taken, out = taken+o.trays, min(out, r.end[k])
			}
		}
		if taken > b.oven.Trays() && !math.IsInf(out, 1) {
			at, again = out, true
		}
	}
	return at, true
}

// change is how long the oven takes from one bake to another, in minutes.
func (b *rehearsalBake) change(to *rehearsalBake) float64 {
	return float64(b.oven.Change(b.profile.end, to.profile.start))
}

func latestOf(a, b time.Time) time.Time {
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
