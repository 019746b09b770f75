package schedule

import (
	"slices"
	"time"
)

// near is how close two moments must be for one to explain the other: the
// planner's margins.
const near = 3 * time.Minute

// explain says of every task of a plan why it is then and not later.
func explain(d *Day, p *Plan) {
	e := explainer{day: d, plan: p, next: map[string]*Task{}}
	last := map[string]*Task{}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if t.Batch == "" || t.Kind == Fold && t.Label == "" {
			continue
		}
		strand := t.Batch + "/" + t.Part + "/" + t.Portion
		if before := last[strand]; before != nil {
			e.next[before.ID] = t
		}
		last[strand] = t
	}
	for i := range p.Tasks {
		e.lead(&p.Tasks[i])
	}
	for i := range p.Tasks {
		p.Tasks[i].Why = e.why(&p.Tasks[i])
	}
}

// lead finds what follows the last task of a part, the mix, or of the whole
// dough, its first portion: the first task of the batch when it ends.
func (e *explainer) lead(t *Task) {
	if e.next[t.ID] != nil || t.Batch == "" || t.Portion != "" || t.Kind == Fold {
		return
	}
	for i := range e.plan.Tasks {
		if o := &e.plan.Tasks[i]; o.Batch == t.Batch && o.ID != t.ID && o.Part == "" && !o.Start.Before(t.End) {
			e.next[t.ID] = o
			return
		}
	}
}

type explainer struct {
	day  *Day
	plan *Plan
	next map[string]*Task // what follows a task in its own strand
}

// why tries the reasons from the hardest to the softest.
func (e *explainer) why(t *Task) *Reason {
	for _, try := range []func(*Task) *Reason{e.promise, e.tooFar, e.oven, e.hands, e.mixer, e.ready, e.follows, e.now} {
		if r := try(t); r != nil {
			return r
		}
	}
	return &Reason{Code: ByFresh}
}

func (e *explainer) promise(t *Task) *Reason {
	inHand := time.Duration(e.day.Settings.reserve()) * time.Minute
	if t.Promise != nil && t.End.Add(inHand+near).After(*t.Promise) {
		return &Reason{Code: ByPromise, At: t.Promise, Name: t.Name}
	}
	return nil
}

func (e *explainer) tooFar(t *Task) *Reason {
	if t.TooFar != nil && t.Start.Add(near).After(*t.TooFar) {
		return &Reason{Code: ByTooFar, At: t.TooFar, Name: t.Name}
	}
	return nil
}

// oven: the next load needs another heat, or all the room.
func (e *explainer) oven(t *Task) *Reason {
	if t.Kind == Preheat {
		return &Reason{Code: ByOven, Of: t.Oven, At: &t.End}
	}
	if t.Kind != Bake {
		return nil
	}
	for i := range e.plan.Loads {
		l := &e.plan.Loads[i]
		if l.Oven != t.Oven || l.Start.Before(t.End) {
			continue
		}
		o := e.day.Kitchen.Ovens[slices.IndexFunc(e.day.Kitchen.Ovens, func(o Oven) bool { return o.Name == t.Oven })]
		change := time.Duration(o.Change(endHeat(e.day, e.plan, e.loadOf(t)), l.Celsius)) * time.Minute
		if l.Start.Sub(t.End) <= change+near {
			return &Reason{Code: ByOven, Of: t.Oven, At: &l.Start, Name: e.plan.portion(l.Portions[0]).Name}
		}
	}
	return nil
}

func (e *explainer) loadOf(t *Task) Load {
	for _, l := range e.plan.Loads {
		if slices.Contains(l.Portions, t.Portion) {
			return l
		}
	}
	return Load{Portions: []string{t.Portion}}
}

// hands: the person has the next thing to do at once, or leaves.
func (e *explainer) hands(t *Task) *Reason {
	if len(t.Hands) == 0 {
		return nil
	}
	h := t.Hands[len(t.Hands)-1]
	for i := range e.plan.Tasks {
		o := &e.plan.Tasks[i]
		if o.ID == t.ID || o == e.next[t.ID] {
			continue
		}
		for k := range o.Hands {
			if g := &o.Hands[k]; g.Baker == h.Baker && !g.From.Before(h.To) && g.From.Sub(h.To) < near {
				from := g.From // its own: a plan may be changed afterwards
				return &Reason{Code: ByHands, Of: h.Baker, At: &from, Name: o.Name}
			}
		}
	}
	for _, b := range e.day.Kitchen.Bakers {
		if b.Name == h.Baker && !b.AtWork(h.To, h.To.Add(near)) {
			return &Reason{Code: ByHands, Of: h.Baker, At: &h.To}
		}
	}
	return nil
}

func (e *explainer) mixer(t *Task) *Reason {
	if t.Mixer == "" {
		return nil
	}
	for i := range e.plan.Tasks {
		if o := &e.plan.Tasks[i]; o.Mixer == t.Mixer && !o.Start.Before(t.End) && o.Start.Sub(t.End) < near {
			return &Reason{Code: ByMixer, Of: t.Mixer, At: &o.Start, Name: o.Name}
		}
	}
	return nil
}

// ready: what is done to a rise the moment it may be.
func (e *explainer) ready(t *Task) *Reason {
	if w := t.Window; w != nil && t.End.Sub(w.Ready) < near {
		return &Reason{Code: ByReady, At: &w.Ready, Name: t.Name}
	}
	return nil
}

// follows: the next stage comes at once, or a rise is timed to its best.
func (e *explainer) follows(t *Task) *Reason {
	n := e.next[t.ID]
	switch {
	case n == nil:
		return nil
	case n.Window != nil && !n.End.Before(n.Window.Ready) && n.End.Before(n.Window.TooFar):
		return &Reason{Code: ByBest, Of: n.ID, At: &n.Window.Best, Name: n.Name}
	case n.Start.Sub(t.End) < near:
		return &Reason{Code: ByNext, Of: n.ID, At: &n.Start, Name: n.Name}
	}
	return nil
}

func (e *explainer) now(t *Task) *Reason {
	if t.Start.Sub(e.plan.Made) < near {
		return &Reason{Code: ByNow, At: &e.plan.Made}
	}
	return nil
}
