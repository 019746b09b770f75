package schedule

import "math"

// played is what becomes of a day: how late the latest promise is, the weighted
// lateness of all, and the minutes doughs are acted on past too far, in minutes.
type played struct{ worst, late, over float64 }

// draw sets how fast the doughs are, by batch, in standard deviations of ln of
// minutes.
func (r *rehearsal) draw(random *normals, z []float64) {
	shared := random.next()
	for i := range z {
		z[i] = sharedPart*shared + ownPart*random.next()
	}
}

// scene is how far a rehearsal has come.
type scene struct {
	start, end []float64 // of steps that are placed
	placed     []bool
	needs      []int     // of a step: how many must still be placed before it
	free       []float64 // from when on a person or mixer is
	loads      [][]int   // bakes that are placed, by oven
	next       []cue     // steps that can be placed
	out        played
}

// cue is a step whose dough is there.
type cue struct {
	step  int
	ripe  float64 // when its dough lets it begin
	begin float64 // no sooner, for hands and oven
}

// play goes through the day once, with doughs so fast: whatever can begin first
// does, in the order of the plan. When a step can begin only moves back as others
// are placed, so only the one that would be next is looked at again.
func (r *rehearsal) play(z []float64) played {
	if r.begun == nil {
		r.begun = r.open()
	}
	s := r.scratch
	s.copy(r.begun)
	for i := range r.steps {
		if !s.placed[i] && s.needs[i] == 0 {
			r.enter(s, i, z)
		}
	}
	for len(s.next) > 0 {
		c := s.first()
		if at := r.earliest(s, c); at > c.begin {
			c.begin = at
			continue
		}
		i, at := c.step, c.begin
		*c = s.next[len(s.next)-1]
		s.next = s.next[:len(s.next)-1]
		r.place(s, i, at, z)
		for _, k := range r.steps[i].opens {
			if s.needs[k]--; s.needs[k] == 0 {
				r.enter(s, k, z)
			}
		}
	}
	return s.out
}

// open is the scene with what is begun at the beginning of the plan: the same
// however fast the doughs are.
func (r *rehearsal) open() *scene {
	n := len(r.steps)
	s := &scene{
		start: make([]float64, n), end: make([]float64, n), placed: make([]bool, n), needs: make([]int, n),
		free: make([]float64, len(r.hands)), loads: make([][]int, len(r.ovens)),
	}
	for i := range s.free {
		s.free[i] = math.Inf(-1)
	}
	for i := range r.steps {
		for _, k := range r.steps[i].opens {
			s.needs[k]++
		}
	}
	for i := 0; i < n && r.steps[i].begun; i++ {
		r.place(s, i, r.steps[i].start, nil)
		for _, k := range r.steps[i].opens {
			s.needs[k]--
		}
	}
	r.scratch = &scene{loads: make([][]int, len(r.ovens))}
	return s
}

// copy makes a scene like another, in the memory it has.
func (s *scene) copy(o *scene) {
	s.start, s.end = append(s.start[:0], o.start...), append(s.end[:0], o.end...)
	s.placed, s.needs = append(s.placed[:0], o.placed...), append(s.needs[:0], o.needs...)
	s.free, s.next, s.out = append(s.free[:0], o.free...), s.next[:0], o.out
	for i := range s.loads {
		s.loads[i] = append(s.loads[i][:0], o.loads[i]...)
	}
}

// first is the step that would be next: of those that begin at once the one that
// the plan has first.
func (s *scene) first() *cue {
	c := &s.next[0]
	for i := 1; i < len(s.next); i++ {
		if o := &s.next[i]; o.begin < c.begin || o.begin == c.begin && o.step < c.step {
			c = o
		}
	}
	return c
}

// enter adds a step to those that can be placed.
func (r *rehearsal) enter(s *scene, i int, z []float64) {
	c := cue{step: i, ripe: r.ripe(s, i, z)}
	c.begin = r.earliest(s, &c)
	s.next = append(s.next, c)
}

// place begins a step at a minute.
func (r *rehearsal) place(s *scene, i int, at float64, z []float64) {
	p := &r.steps[i]
	s.placed[i], s.start[i], s.end[i] = true, at, at+p.end-p.start
	if p.waits {
		s.end[i] = at + p.least
	}
	for _, h := range p.hands {
		s.free[h.what] = max(s.free[h.what], at+h.minutes)
	}
	if p.bake != nil {
		s.loads[p.bake.oven] = append(s.loads[p.bake.oven], i)
	}
	if p.rise >= 0 && !p.fold && !p.begun {
		rise := &r.steps[p.rise]
		s.out.over += max(0, at-s.start[p.rise]-rise.tooFar*math.Exp(rise.sd*z[p.batch]))
	}
	if p.promised {
		s.out.worst = max(s.out.worst, s.end[i]-p.due)
		s.out.late += p.weight * max(0, s.end[i]-p.due)
	}
}

// ripe is when what comes before a step lets it begin, hands and oven aside.
func (r *rehearsal) ripe(s *scene, i int, z []float64) float64 {
	p := &r.steps[i]
	if p.begun {
		return p.start
	}
	at := p.start
	if (p.rises || p.waits) && p.rise < 0 { // as soon as what comes before is over
		at = math.Inf(-1)
	}
	for _, b := range p.before {
		at = max(at, s.end[b])
	}
	if p.rise >= 0 {
		return r.risen(s, p, at, z)
	}
	if math.IsInf(at, -1) {
		return p.start
	}
	return at
}

// risen is when the rise before a step lets it begin that is called for at a
// minute.
func (r *rehearsal) risen(s *scene, p *rehearsalStep, at float64, z []float64) float64 {
	rise, begun := &r.steps[p.rise], s.start[p.rise]
	pace := math.Exp(rise.sd * z[p.batch])
	if p.fold {
		return max(at, begun+foldedFrom*(p.start-rise.start)*pace)
	}
	if late := begun + rise.late*pace; r.hasten && late < at && p.bake == nil {
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

// earliest is when hands and oven let a step begin whose dough is there.
func (r *rehearsal) earliest(s *scene, c *cue) float64 {
	p, at := &r.steps[c.step], c.ripe
	if p.begun {
		return at
	}
	for _, h := range p.hands {
		at = r.present(h.what, max(at, s.free[h.what]))
	}
	if p.bake != nil {
		return r.intoOven(s, p.bake, at)
	}
	return at
}

// present is from when on a person is there.
func (r *rehearsal) present(who int, at float64) float64 {
	there := r.there[who]
	m := int(math.Ceil(at)) - r.opened
	if m < 0 || m >= len(there) || there[m] == int32(m) {
		return at
	}
	return float64(int(there[m]) + r.opened)
}

// intoOven is when an oven takes a bake: level ones beside each other as long as
// there is room, others after those that the plan has before them.
func (r *rehearsal) intoOven(s *scene, b *rehearsalBake, at float64) float64 {
	oven := &r.ovens[b.oven]
	for again := true; again; {
		again = false
		taken, out := b.trays, math.Inf(1)
		for _, k := range s.loads[b.oven] {
			o := r.steps[k].bake
			change := oven.change[o.kind][b.kind]
			switch together := o.kind == b.kind && (b.level || at-s.start[k] <= joinWithin); {
			case !together && at < s.end[k]+change:
				at, again = s.end[k]+change, true
			case s.end[k] > at:
				taken, out = taken+o.trays, min(out, s.end[k])
			}
		}
		if taken > oven.trays && !math.IsInf(out, 1) {
			at, again = out, true
		}
	}
	return at
}
