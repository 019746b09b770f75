package schedule

import (
	"fmt"
	"math"
	"slices"

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
				c.missing("", id)
			}
			ids[id] = true
		}
		if dish, ok := c.dish(b); ok {
			c.doughs = append(c.doughs, dish)
		} else {
			c.missing("", b.ID)
			c.refused[b.ID] = true
		}
	}
}

// missing reports a task that is not there, or a batch or portion that cannot be.
func (c *judge) missing(task, of string) {
	c.found = append(c.found, Violation{Code: BadTask, Task: task, Of: of, At: c.plan.Made.In(c.loc)})
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
	mass, pieces := lostOf(c.plan.Lost, b.ID, func(bread *Bread) unit.Grams { return fromWhole(formula, bread) }, c.day)
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
		if s == nil || s.task == nil || len(s.folds) != s.stage.foldCount() {
			c.missing(fmt.Sprintf("%s.%d", l.id(b.batch), i+1), l.id(b.batch))
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
		case (c.known[t] || c.refused[t.Batch]) && t.ID != "" && !ids[t.ID]:
		default:
			c.breach(BadTask, t, "", t.Start, 0)
		}
		ids[t.ID] = true
	}
}
