package schedule

import (
	"fmt"
	"slices"

	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// tree is a batch taken apart for planning: the parts that join at the mix, the
// trunk up to the parting, and a branch for every portion.
type tree struct {
	batch    *batchPlan
	parts    []*strand
	trunk    *strand
	branches []*strand
}

// strand is a run of stages without a fork: works and waits in turn, a work
// first. A wait at the end leads over into the strand that follows.
type strand struct {
	id      string // of the batch or the portion
	part    string
	portion *portionPlan // nil in trunk and parts
	name    string
	dough   *simulate.Dough // nil where nothing ferments
	method  []Stage
	works   []work
	waits   []wait // waits[i] follows works[i]; the last strand of a batch has one fewer
	mass    unit.Grams
	pieces  int
	known   Learned // what earlier days taught of it
}

// work is something done at a time: a stage of work, a fold inside a rise, the
// bake, or a mere moment between two waits.
type work struct {
	stage int // index in the method; -1 for a moment
	fold  int // 1.. for the folds of a rise
	dur   int // minutes
}

// wait is what lies between two works.
type wait struct {
	stage   int     // index in the method; -1 for the bench between two works
	share   float64 // of a rise with folds: to this share of the way; 1 = to the end
	minutes int     // of a rise with folds at times: so long until the next; 0 = to the end
}

// toFold says whether a wait is only on the way to a fold inside a rise.
func (wt wait) toFold() bool { return wt.share < 1 || wt.minutes > 0 }

// forest takes all batches apart.
func forest(d *Day, bs []batchPlan) []*tree {
	out := make([]*tree, len(bs))
	for i := range bs {
		out[i] = plant(d, &bs[i])
	}
	return out
}

func plant(d *Day, b *batchPlan) *tree {
	t := &tree{batch: b}
	pieces := 0
	for _, p := range b.portions {
		pieces += p.Pieces
	}
	stages := func(part string) []int {
		var at []int
		for i, s := range b.recipe.whole {
			if s.Part == part {
				at = append(at, i)
			}
		}
		return at
	}
	for _, part := range partsOf(b.recipe.whole) {
		formula, share := partOf(b.recipe.formula, part)
		st := &strand{id: b.ID, part: part, name: b.Name, method: b.recipe.whole, mass: b.Mass * unit.Grams(share), pieces: pieces}
		if r := yeastly(formula); r.Yeast > 0 {
			st.dough = &simulate.Dough{Recipe: r}
		}
		st.lay(stages(part))
		t.parts = append(t.parts, st)
	}
	known, _ := d.LearnedOf(b.recipe.id)
	t.trunk = &strand{
		id: b.ID, name: b.Name, method: b.recipe.whole, mass: b.Mass, pieces: pieces, known: known,
		dough: &simulate.Dough{Recipe: yeastly(b.recipe.formula), Speed: known.Speed},
	}
	t.trunk.lay(stages(""))
	for i := range b.portions {
		p := &b.portions[i]
		st := &strand{
			id: p.ID, portion: p, name: p.Name, method: p.bread.Method, pieces: p.Pieces,
			mass:  p.bread.Piece * unit.Grams(p.Pieces),
			dough: &simulate.Dough{Recipe: yeastly(combined(b.recipe.formula, p.bread)), Speed: known.Speed},
			known: known,
		}
		var at []int
		for k := len(p.bread.Method) - len(p.stages); k < len(p.bread.Method); k++ {
			at = append(at, k)
		}
		st.lay(at)
		st.end()
		t.branches = append(t.branches, st)
	}
	return t
}

// partsOf lists the preferments and soakers of a method as they first appear.
func partsOf(method []Stage) []string {
	var names []string
	for _, s := range method {
		if s.Part != "" && !slices.Contains(names, s.Part) {
			names = append(names, s.Part)
		}
	}
	return names
}

// lay makes works and waits in turn out of stages.
func (st *strand) lay(stages []int) {
	for _, i := range stages {
		s := &st.method[i]
		switch {
		case s.Kind.Work() || s.Kind == Bake:
			st.work(work{stage: i, dur: s.Duration(st.pieces)})
		case s.Kind.Rises():
			for k := range s.foldCount() {
				wt := wait{stage: i, share: 1}
				if len(s.FoldTimes) > 0 {
					wt.minutes = s.foldAfter(k)
				} else {
					wt.share = s.Folds[k]
				}
				st.wait(wt)
				st.work(work{stage: i, fold: k + 1, dur: FoldMinutes})
			}
			st.wait(wait{stage: i, share: 1})
		default:
			st.wait(wait{stage: i, share: 1})
		}
	}
}

// work adds a work, with the bench before it where nothing else is.
func (st *strand) work(w work) {
	if len(st.works) > len(st.waits) {
		st.waits = append(st.waits, wait{stage: -1, share: 1})
	}
	st.works = append(st.works, w)
}

// wait adds a wait, with a moment before it where no work is.
func (st *strand) wait(w wait) {
	if len(st.works) == len(st.waits) {
		st.works = append(st.works, work{stage: -1})
	}
	st.waits = append(st.waits, w)
}

// end closes the strand with a moment after its last wait.
func (st *strand) end() {
	if len(st.works) == len(st.waits) {
		st.works = append(st.works, work{stage: -1})
	}
}

// tail is the wait that leads into the strands that follow.
func (st *strand) tail() wait {
	if len(st.waits) == len(st.works) && len(st.waits) > 0 {
		return st.waits[len(st.waits)-1]
	}
	return wait{stage: -1, share: 1}
}

// stage is the stage of index i, nil for none.
func (st *strand) stage(i int) *Stage {
	if i < 0 {
		return nil
	}
	return &st.method[i]
}

// taskID names the task of a stage, or of a fold inside it; "" for none.
func (st *strand) taskID(stage, fold int) string {
	if stage < 0 {
		return ""
	}
	if fold > 0 {
		return fmt.Sprintf("%s.%df%d", st.id, stage+1, fold)
	}
	return fmt.Sprintf("%s.%d", st.id, stage+1)
}

// inTin says whether the pieces stand in tins.
func (st *strand) inTin() bool { return st.portion != nil && st.portion.bread.Tin != "" }

// handling is what a work does to the gas in the dough.
func (w work) handling(st *strand) rise.Handling {
	s := st.stage(w.stage)
	switch {
	case s == nil:
		return rise.Leave
	case w.fold > 0 || s.Kind == Fold:
		return rise.Fold
	case s.Kind == KnockBack || s.Kind == Mix:
		return rise.KnockBack
	case s.Kind == Divide || s.Kind == Round:
		return rise.Divide
	case s.Kind == Shape:
		return rise.Shape
	}
	return rise.Leave
}

// body is the dough's new shape after a work, false where it keeps the old one.
func (w work) body(k *Kitchen, st *strand) (heat.Body, bool) {
	s := st.stage(w.stage)
	if s == nil || st.portion == nil {
		return heat.Body{}, false
	}
	switch s.Kind {
	case Divide, Round:
		return heat.Ball(st.portion.bread.Piece), true
	case Shape:
		return k.madeUp(st.portion.bread), true
	}
	return heat.Body{}, false
}

// mixedAt is the index of the work at whose end the yeast has met the flour:
// the last mix before the first rise, so that an autolyse does not count.
func (st *strand) mixedAt() int {
	mixed := -1
	for i, w := range st.works {
		s := st.stage(w.stage)
		if s == nil || w.fold > 0 {
			break
		}
		if s.Kind == Mix || st.part != "" && mixed < 0 {
			mixed = i
		}
		if i < len(st.waits) && st.waits[i].stage >= 0 && st.method[st.waits[i].stage].Kind.Rises() && mixed >= 0 {
			break
		}
	}
	return max(mixed, 0)
}
