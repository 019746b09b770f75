package schedule

import (
	"math"
	"slices"
	"time"

	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// dish is one batch as the day says it must be: its parts, the whole dough, and
// its portions, each with the tasks the plan has for it.
type dish struct {
	batch  *Batch
	parts  []*lane
	whole  *lane
	shares []*lane
	sound  bool // every stage has its one task, in order
}

// lanes are all of a dish.
func (b *dish) lanes() []*lane { return append(append(slices.Clone(b.parts), b.whole), b.shares...) }

// lane is the way of one dough through its stages.
type lane struct {
	method  []Stage
	formula dough.Formula
	part    string
	portion *Portion // nil while the dough is whole
	bread   *Bread   // of the portion
	pieces  int
	mass    unit.Grams
	steps   []step
}

// step is a stage of a lane and its task.
type step struct {
	stage *Stage
	task  *Task
	folds []*Task // inside a rise
}

// idle says whether the stage is a wait or a rise: no work between two works.
func (s step) idle() bool { return s.stage.Kind.Waits() || s.stage.Kind.Rises() }

// batches lays every batch out and wants each of its stages done once.
func (c *judge) batches() {
	ids := map[string]bool{}
	for i := range c.plan.Batches {
		b := &c.plan.Batches[i]
		for _, id := range append([]string{b.ID}, portionIDs(b)...) {
			if ids[id] {
				c.breach(BadTask, nil, id, c.plan.Made, 0)
			}
			ids[id] = true
		}
		if dish, ok := c.dish(b); ok {
			c.doughs = append(c.doughs, dish)
		} else {
			c.breach(BadTask, nil, b.ID, c.plan.Made, 0)
		}
	}
}

func portionIDs(b *Batch) []string {
	var ids []string
	for _, p := range b.Portions {
		ids = append(ids, p.ID)
	}
	return ids
}

// dish lays one batch out; false when its dough or a bread does not exist or
// does not belong.
func (c *judge) dish(b *Batch) (*dish, bool) {
	out := &dish{batch: b, sound: true}
	var method []Stage
	var formula dough.Formula
	if base, ok := c.day.Base(b.Dough); ok {
		method, formula = base.Method, base.Formula
	} else if bread, ok := c.day.Bread(b.Dough); ok && bread.Base == "" {
		method, formula = bread.Method[:parted(bread.Method)], bread.Formula
	} else {
		return nil, false
	}
	pieces, mass := 0, unit.Grams(0)
	for i := range b.Portions {
		p := &b.Portions[i]
		bread, ok := c.day.Bread(p.Bread)
		if !ok || bread.Base != b.Dough && (bread.Base != "" || bread.ID != b.Dough) {
			return nil, false
		}
		share := unit.Grams(p.Pieces) * fromWhole(formula, bread)
		pieces += p.Pieces
		mass += share
		l := &lane{method: bread.Method, formula: formula, portion: p, bread: bread, pieces: p.Pieces, mass: share}
		from := 0
		if bread.Base == "" {
			from = parted(bread.Method)
		}
		c.fill(out, l, from, len(bread.Method))
		out.shares = append(out.shares, l)
	}
	if math.Abs(float64(b.Mass-mass)) > 1 {
		c.breach(ShortOrder, nil, b.ID, c.plan.Made, 0)
	}
	var total unit.Percent
	weight := map[string]unit.Percent{}
	for _, in := range formula.Ingredients {
		total += in.Percent
		weight[in.Part] += in.Percent
	}
	for i, s := range method {
		if s.Part != "" && !slices.ContainsFunc(method[:i], func(o Stage) bool { return o.Part == s.Part }) {
			l := &lane{method: method, formula: formula, part: s.Part, pieces: pieces, mass: mass * unit.Grams(weight[s.Part]/total)}
			c.fill(out, l, 0, len(method))
			out.parts = append(out.parts, l)
		}
	}
	out.whole = &lane{method: method, formula: formula, pieces: pieces, mass: mass}
	c.fill(out, out.whole, 0, len(method))
	return out, true
}

// parted is the stage at which a dough becomes portions: the first divide, else
// the first shape.
func parted(method []Stage) int {
	for _, kind := range []StageKind{Divide, Shape} {
		if i := slices.IndexFunc(method, func(s Stage) bool { return s.Kind == kind && s.Part == "" }); i >= 0 {
			return i
		}
	}
	return len(method)
}

// fromWhole is what a piece of b takes of the whole dough: with additions to a
// base, less than it weighs.
func fromWhole(whole dough.Formula, b *Bread) unit.Grams {
	if b.Base == "" {
		return b.Piece
	}
	var base, added unit.Percent
	for _, in := range whole.Ingredients {
		base += in.Percent
	}
	for _, in := range b.Formula.Ingredients {
		added += in.Percent
	}
	return b.Piece * unit.Grams(base/(base+added))
}

// fill finds the tasks of a lane: one for each of the method's stages from..to,
// and inside a rise one for each fold. The dish is not sound unless all are
// there.
func (c *judge) fill(b *dish, l *lane, from, to int) {
	tasks := map[int]*step{}
	for i := range c.plan.Tasks {
		t := &c.plan.Tasks[i]
		if !l.owns(b.batch, t) || t.Stage < from || t.Stage >= to || l.method[t.Stage].Part != l.part {
			continue
		}
		s := tasks[t.Stage]
		if s == nil {
			s = &step{stage: &l.method[t.Stage]}
			tasks[t.Stage] = s
		}
		switch {
		case t.Kind == Fold && s.stage.Kind.Rises():
			s.folds = append(s.folds, t)
		case t.Kind == s.stage.Kind && s.task == nil:
			s.task = t
		default:
			continue // reported as a stranger
		}
		c.known[t] = true
	}
	for i := from; i < to; i++ {
		if l.method[i].Part != l.part {
			continue
		}
		s := tasks[i]
		if s == nil || s.task == nil || len(s.folds) != len(s.stage.Folds) {
			c.breach(BadTask, nil, l.id(b.batch), c.plan.Made, 0)
			b.sound = false
			continue
		}
		slices.SortStableFunc(s.folds, func(a, b *Task) int { return a.Start.Compare(b.Start) })
		l.steps = append(l.steps, *s)
	}
}

func (l *lane) owns(b *Batch, t *Task) bool {
	portion := ""
	if l.portion != nil {
		portion = l.portion.ID
	}
	return t.Batch == b.ID && t.Portion == portion && t.Part == l.part
}

func (l *lane) id(b *Batch) string {
	if l.portion != nil {
		return l.portion.ID
	}
	return b.ID
}

// strangers reports tasks of no stage, and IDs given twice.
func (c *judge) strangers() {
	ids := map[string]bool{}
	for i := range c.plan.Tasks {
		t := &c.plan.Tasks[i]
		_, oven := c.oven(t.Oven)
		switch {
		case t.Kind == Preheat && t.Batch == "" && oven && !ids[t.ID]:
		case c.known[t] && t.ID != "" && !ids[t.ID]:
		default:
			c.breach(BadTask, t, "", t.Start, 0)
		}
		ids[t.ID] = true
	}
}

// orders wants as many pieces of each order as ordered, of its bread.
func (c *judge) orders() {
	pieces := make([]int, len(c.day.Orders))
	for _, b := range c.plan.Batches {
		for _, p := range b.Portions {
			bread, ok := c.day.Bread(p.Bread)
			if p.Order < 0 || p.Order >= len(pieces) || !ok || c.day.Orders[p.Order].Bread != p.Bread || p.Pieces < 1 || p.Trays != (p.Pieces+bread.PerTray-1)/max(1, bread.PerTray) {
				c.breach(ShortOrder, nil, p.ID, c.plan.Made, 0)
				continue
			}
			pieces[p.Order] += p.Pieces
		}
	}
	for i, o := range c.day.Orders {
		if pieces[i] != o.Pieces {
			c.breach(ShortOrder, nil, o.Bread, c.plan.Made, 0)
		}
	}
}

// promises wants every portion out, or ready, when it was promised.
func (c *judge) promises(b *dish) {
	for _, l := range b.shares {
		if l.portion.Order < 0 || l.portion.Order >= len(c.day.Orders) {
			continue
		}
		o := c.day.Orders[l.portion.Order]
		due, err := o.Promise().In(c.loc)
		if err != nil {
			continue
		}
		var last *Task
		for _, s := range l.steps {
			if o.Out == "" || s.stage.Kind == Bake {
				last = s.task
			}
		}
		if last != nil && last.End.After(due) {
			c.breach(LatePromise, last, l.bread.ID, due, last.End.Sub(due))
		}
	}
}

// sequence judges the order and the lengths of a dish's tasks.
func (c *judge) sequence(b *dish) {
	for _, l := range b.lanes() {
		for i, s := range l.steps {
			c.length(l, s)
			if i > 0 && !c.follows(l.steps[i-1], s, false) {
				b.sound = false
			}
		}
	}
	if !b.sound {
		return
	}
	for _, l := range b.parts {
		if i := slices.IndexFunc(b.whole.steps, func(s step) bool { return s.stage.Kind == Mix }); i >= 0 && len(l.steps) > 0 {
			last := l.steps[len(l.steps)-1]
			b.sound = c.follows(last, b.whole.steps[i], last.stage.Kind == Prepare) && b.sound
		}
	}
	if n := len(b.whole.steps); n > 0 && len(b.shares) > 0 {
		b.sound = c.parting(b.whole.steps[n-1], b.shares) && b.sound
	}
}

// length judges how long a task is, and where a wait is.
func (c *judge) length(l *lane, s step) {
	t := s.task
	took := t.End.Sub(t.Start)
	switch {
	case s.stage.Kind.Waits():
		c.between(s, t, took, s.stage.Least, s.stage.Most)
	case t.Chilled && s.stage.Chill == nil:
		c.breach(BadTask, t, t.Place, t.Start, 0)
	case t.Chilled:
		c.between(s, t, took, s.stage.Chill.Least, s.stage.Chill.Most)
	case !s.stage.Kind.Rises():
		if want := minutes(s.stage.Duration(l.pieces)); took != want {
			c.breach(BadDuration, t, "", t.Start, (took - want).Abs())
		}
	}
	if s.idle() && c.place(t.Place) != c.place(wanted(s)) {
		c.breach(BadTask, t, t.Place, t.Start, 0)
	}
	for _, f := range s.folds {
		if took := f.End.Sub(f.Start); took != minutes(FoldMinutes) {
			c.breach(BadDuration, f, "", f.Start, (took - minutes(FoldMinutes)).Abs())
		}
		if f.Start.Before(t.Start) || f.End.After(t.End) {
			c.breach(BadTask, f, "", f.Start, 0)
		}
	}
}

// wanted is the place a method wants a wait to be in.
func wanted(s step) string {
	if s.task.Chilled && s.stage.Chill != nil {
		return s.stage.Chill.Place
	}
	return s.stage.Place
}

// place finds a place by name, nil for none.
func (c *judge) place(name string) *Place {
	if p, ok := c.day.Kitchen.Place(name); ok {
		return p
	}
	return nil
}

// between wants a wait that t ends or follows to have taken least to most.
func (c *judge) between(s step, t *Task, took time.Duration, least, most unit.Minutes) {
	if short := minutes(least) - took; short > 0 {
		c.breach(BadWait, t, "", s.task.Start.Add(took), short)
	}
	if over := took - minutes(most); over > 0 {
		c.breach(BadWait, t, "", s.task.Start.Add(took), over)
	}
}

// follows wants b to begin when a ends where one of them is a wait, within the
// slack otherwise, or whenever it likes. It is false when b begins before.
func (c *judge) follows(a, b step, whenever bool) bool {
	gap := b.task.Start.Sub(a.task.End)
	most := c.slack
	if a.idle() || b.idle() {
		most = 0
	}
	switch {
	case gap < 0:
		c.breach(BadTask, b.task, "", b.task.Start, -gap)
		return false
	case gap > most && !whenever:
		c.breach(BadWait, b.task, "", b.task.Start, gap-most)
	}
	return true
}

// parting wants the whole dough's last wait to end when the first portion is
// taken, and what is taken later to have waited no longer than it may. It is
// false when a portion is taken before the dough is there.
func (c *judge) parting(tail step, shares []*lane) bool {
	first := shares[0].steps[0].task
	for _, l := range shares {
		t := l.steps[0].task
		if t.Start.Before(first.Start) {
			first = t
		}
	}
	if first.Start.Before(tail.task.End) {
		c.breach(BadTask, first, "", first.Start, tail.task.End.Sub(first.Start))
		return false
	}
	if gap := first.Start.Sub(tail.task.End); tail.idle() && gap > 0 {
		c.breach(BadWait, first, "", first.Start, gap)
	}
	for _, l := range shares {
		t := l.steps[0].task
		took := t.Start.Sub(tail.task.Start)
		switch {
		case tail.stage.Kind.Waits() && t != first:
			c.between(tail, t, took, tail.stage.Least, tail.stage.Most)
		case tail.task.Chilled && tail.stage.Chill != nil && t != first:
			c.between(tail, t, took, tail.stage.Chill.Least, tail.stage.Chill.Most)
		case !tail.idle():
			if over := t.Start.Sub(tail.task.End) - c.slack; over > 0 {
				c.breach(BadWait, t, "", t.Start, over)
			}
		}
	}
	return true
}
