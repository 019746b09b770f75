package schedule

import (
	"math"
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

// What counts as kept and as close.
const (
	keptWithin  = 5 * time.Minute
	closeWithin = 15 * time.Minute
)

// Of the spread of a forecast, what all doughs of a day share (kitchen,
// thermometer, season) and what is each one's own, as in package learn: 0.21,
// 0.20 and 0.06 in ln, squared and summed by sharing.
const (
	sharedPart = 0.73 // sqrt((0.21² + 0.06²) / 0.30²)
	ownPart    = 0.68 // sqrt(1 - sharedPart²)
)

// Rehearse plays a plan through draws times, each time with other doughs drawn
// from the forecast's spread. People keep the plan's sequence: they wait for a
// slow dough and act sooner on a fast one where hands and oven allow. The same
// plan and seed give the same chance.
func Rehearse(d *Day, p *Plan, draws int, seed uint64) Chance {
	r := newRehearsal(d, p)
	c := Chance{Draws: draws}
	random := normals(seed)
	for range draws {
		worst, inside := r.play(&random)
		c.Kept += count(worst <= keptWithin)
		c.Close += count(worst <= closeWithin)
		c.Inside += count(inside)
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

// rehearsal is a plan laid out for playing.
type rehearsal struct {
	steps   []rehearsalStep
	batches int
}

// rehearsalStep is a task with what must be over before it.
type rehearsalStep struct {
	task   *Task
	batch  int           // index of the dough; -1 none
	before []int         // steps that must have ended: same dough, same hands, same mixer
	gaps   []int64       // minutes after each of before
	rise   int           // the step that is the rise before it; -1 none
	least  time.Duration // of a wait
}

// newRehearsal finds for every task what comes before it in its dough, its
// hands, its mixer and its oven.
func newRehearsal(d *Day, p *Plan) *rehearsal {
	r := &rehearsal{}
	batch := map[string]int{}
	hands, mixer := map[string]int{}, map[string]int{}
	strand := map[string]int{} // last step of a strand
	oven := map[string][]int{}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if t.Kind == Preheat {
			continue
		}
		if _, known := batch[t.Batch]; !known {
			batch[t.Batch] = len(batch)
		}
		s := rehearsalStep{task: t, batch: batch[t.Batch], rise: -1, least: leastOf(d, p, t)}
		n := len(r.steps)
		key := t.Batch + "/" + t.Part + "/" + t.Portion
		previous, known := strand[key]
		if !known && t.Part == "" {
			previous, known = strand[t.Batch+"//"]
		}
		if known {
			if r.steps[previous].task.Window != nil {
				s.rise = previous
			} else {
				s.after(previous, 0)
			}
		}
		if t.Kind == Mix && t.Part == "" && t.Portion == "" {
			for k, last := range strand {
				if k != key && len(k) > len(t.Batch)+2 && k[:len(t.Batch)+1] == t.Batch+"/" {
					s.after(last, 0)
				}
			}
		}
		for _, h := range t.Hands {
			if last, busy := hands[h.Baker]; busy && last != n && !overlaps(r.steps[last].task, t) {
				s.after(last, 0)
			}
			hands[h.Baker] = n
		}
		if t.Mixer != "" {
			if last, busy := mixer[t.Mixer]; busy {
				s.after(last, 0)
			}
			mixer[t.Mixer] = n
		}
		if t.Kind == Bake {
			for _, last := range oven[t.Oven] {
				if b := r.steps[last].task; !b.End.After(t.Start) {
					s.after(last, int64(ovenChange(d, p, b, t)))
				}
			}
			oven[t.Oven] = append(oven[t.Oven], n)
		}
		if t.Kind != Fold || t.Label != "" {
			strand[key] = n
		}
		r.steps = append(r.steps, s)
	}
	r.batches = len(batch)
	return r
}

func (s *rehearsalStep) after(step int, gap int64) {
	s.before, s.gaps = append(s.before, step), append(s.gaps, gap)
}

// overlaps says that the second begins while the first still runs: hands are
// free of a bake between loading and unloading.
func overlaps(a, b *Task) bool { return b.Start.Before(a.End) }

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

// ovenChange is how many minutes the oven needs between two bakes.
func ovenChange(d *Day, p *Plan, a, b *Task) int {
	for _, o := range d.Kitchen.Ovens {
		if o.Name == a.Oven {
			return o.Change(endHeat(d, p, Load{Portions: []string{a.Portion}}), b.Celsius)
		}
	}
	return 0
}

// play goes through the day once. It returns the worst lateness and whether
// every rise was acted on inside its own window.
func (r *rehearsal) play(random *normals) (worst time.Duration, inside bool) {
	shared := random.next()
	own := make([]float64, r.batches)
	for i := range own {
		own[i] = random.next()
	}
	start, end := make([]time.Time, len(r.steps)), make([]time.Time, len(r.steps))
	inside = true
	for i := range r.steps {
		s := &r.steps[i]
		t := s.task
		begin := t.Start
		if s.rise >= 0 {
			w := r.actual(s.rise, start[s.rise], sharedPart*shared+ownPart*own[s.batch])
			if w.late.Before(begin) && t.Kind != Bake {
				begin = w.late // the alert says so, and hands can
			}
			begin = latestOf(begin, w.ready)
			begin = r.free(s, end, begin)
			inside = inside && !begin.After(w.tooFar)
		} else {
			begin = r.free(s, end, begin)
		}
		start[i] = begin
		end[i] = begin.Add(r.length(s))
		if t.Promise != nil {
			worst = max(worst, end[i].Sub(*t.Promise))
		}
	}
	return worst, inside
}

// free is the first moment from begin on at which all before s is over.
func (r *rehearsal) free(s *rehearsalStep, end []time.Time, begin time.Time) time.Time {
	for k, b := range s.before {
		begin = latestOf(begin, end[b].Add(time.Duration(s.gaps[k])*time.Minute))
	}
	return begin
}

// length is how long a step lasts; a wait its least, so that slack in it is
// used.
func (r *rehearsal) length(s *rehearsalStep) time.Duration {
	if s.task.Kind.Waits() {
		return s.least
	}
	return s.task.End.Sub(s.task.Start)
}

// actualWindow is a rise's window on the day of the rehearsal.
type actualWindow struct{ ready, late, tooFar time.Time }

// actual stretches a rise's forecast by z standard deviations.
func (r *rehearsal) actual(i int, start time.Time, z float64) actualWindow {
	t := r.steps[i].task
	w := t.Window
	planned := func(at time.Time) float64 { return at.Sub(t.Start).Minutes() }
	sd := 0.0
	if best, tardy := planned(w.Best), planned(w.Tardy); best > 0 && tardy > best {
		sd = math.Log(tardy/best) / 1.2815515655446004
	}
	f := math.Exp(sd * z)
	at := func(edge time.Time) time.Time {
		return start.Add(time.Duration(planned(edge) * f * float64(time.Minute)))
	}
	return actualWindow{at(w.Ready), at(w.Late), at(w.TooFar)}
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
