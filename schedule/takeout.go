package schedule

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// What is used at the warmth of the room leaves the cold an hour before, and half
// an hour is the least that helps: common practice, no source. Perishable food may
// lie out for two hours (USDA, "danger zone"; from memory).
const (
	toWarm      = time.Hour
	leastToWarm = 30 * time.Minute
)

// TakeOut is something to be taken out of the cold.
type TakeOut struct {
	At      time.Time
	Batch   string
	Portion string // "" while the dough is whole
	Part    string // preferment or soaker
	Name    string // of the dough or bread
	Place   string // where a dough waits; "" for ingredients
	Pieces  int
	Needs   []Need // the ingredients; none for a dough
	// Next is what it is for, and when; "" where nothing follows.
	Next  StageKind
	Begin time.Time
	Short bool // an ingredient: nobody is there long enough before
}

// TakeOuts lists, by time, the doughs and soakers of a plan that wait in a cold
// place, and the ingredients kept cold that are weighed into a bowl: these an hour
// before it is begun, or as soon before as somebody is at work.
func (d *Day) TakeOuts(p *Plan) (all []TakeOut) {
	for i := range p.Tasks {
		if t := &p.Tasks[i]; d.waitsCold(t) {
			all = append(all, leaving(p, t)...)
		}
	}
	for _, b := range d.Bowls(p) {
		cold := slices.DeleteFunc(slices.Clone(b.Needs), func(n Need) bool { return !n.Cold })
		t := p.beginning(b)
		if len(cold) == 0 || t == nil {
			continue
		}
		at := d.warmFrom(t.Start)
		all = append(all, TakeOut{At: at, Batch: b.Batch, Portion: b.Portion, Part: b.Part, Name: b.Name, Needs: cold,
			Next: t.Kind, Begin: t.Start, Short: t.Start.Sub(at) < leastToWarm})
	}
	slices.SortStableFunc(all, func(a, b TakeOut) int { return cmp.Or(a.At.Compare(b.At), strings.Compare(a.Batch, b.Batch)) })
	return all
}

// waitsCold reports whether a task is a wait in a cold place.
func (d *Day) waitsCold(t *Task) bool {
	place, ok := d.Kitchen.Place(t.Place)
	return ok && place.Kind == Cold && (t.Kind.Rises() || t.Kind.Waits())
}

// leaving is how a dough leaves the cold: at the end of its wait or, where the
// parting follows, portion by portion. One that goes on waiting there does not.
func leaving(p *Plan, t *Task) (all []TakeOut) {
	out := TakeOut{At: t.End, Batch: t.Batch, Portion: t.Portion, Part: t.Part, Name: t.Name, Place: t.Place, Pieces: t.Pieces}
	next := p.following(t)
	switch {
	case len(next) == 0:
		return []TakeOut{out}
	case len(next) == 1 && next[0].Place == t.Place && (next[0].Kind.Rises() || next[0].Kind.Waits()):
		return nil
	}
	for _, n := range next {
		o := out
		o.At, o.Next, o.Begin = n.Start, n.Kind, n.Start
		if n.Portion != "" {
			o.Portion, o.Name, o.Pieces = n.Portion, n.Name, n.Pieces
		}
		all = append(all, o)
	}
	return all
}

// following are the tasks that take a dough on from t: the next of the same bowl
// or portion, the mix a part joins, or the first of every portion.
func (p *Plan) following(t *Task) (all []*Task) {
	first := map[string]bool{}
	for i := range p.Tasks { // by start
		n := &p.Tasks[i]
		if n.Batch != t.Batch || n == t || n.Start.Before(t.Start) || n.Kind == Preheat {
			continue
		}
		switch {
		case n.Part == t.Part && n.Portion == t.Portion && !n.Start.Before(t.End):
			return []*Task{n}
		case t.Part != "" && n.Part == "" && n.Portion == "" && n.Kind == Mix && len(all) == 0:
			all = append(all, n)
		case t.Part == "" && t.Portion == "" && n.Part == "" && n.Portion != "" && !first[n.Portion]:
			first[n.Portion] = true
			all = append(all, n)
		}
	}
	return all
}

// beginning is the task a bowl is weighed for, nil for none.
func (p *Plan) beginning(b Bowl) *Task {
	for i := range p.Tasks { // by start
		t := &p.Tasks[i]
		if t.Batch == b.Batch && t.Portion == b.Portion && t.Part == b.Part && (b.Portion != "" || b.Part != "" || t.Kind == Mix) {
			return t
		}
	}
	return nil
}

// warmFrom is when what is used at start is taken out: the first minute within the
// hour before at which somebody is at work.
func (d *Day) warmFrom(start time.Time) time.Time {
	for at := start.Add(-toWarm); at.Before(start); at = at.Add(time.Minute) {
		if slices.ContainsFunc(d.Kitchen.Bakers, func(b Baker) bool { return b.AtWork(at, at.Add(time.Minute)) }) {
			return at
		}
	}
	return start
}
