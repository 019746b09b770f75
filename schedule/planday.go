package schedule

import (
	"context"
	"fmt"
	"slices"

	"ovenward/schedule/solve"
)

// PlanDay works the day backward from its promises. A day that does not pass
// Validate gives its Faults as the error. A day that cannot be kept gives the
// nearest plan, with what is late or broken and the one binding reason in its
// Outcome. The search is bounded by s.Steps; a cancelled ctx ends it early with
// the best plan so far, Brief where that keeps not all.
func PlanDay(ctx context.Context, d *Day, s Settings) (Plan, error) {
	p, err := planned(ctx, d, s, nearest)
	if err != nil || p.Outcome.Kept {
		return p, err
	}
	binding, ways := waysOut(ctx, d, s, &p)
	if p.Outcome.Brief = ctx.Err() != nil; !p.Outcome.Brief {
		p.Outcome.Binding, p.Outcome.WaysOut = binding, ways
	}
	return p, nil
}

// planned is PlanDay by a search, without looking for what binds.
func planned(ctx context.Context, d *Day, s Settings, search func(context.Context, *Day) (*solved, error)) (Plan, error) {
	if err := d.Validate().Err(); err != nil {
		return Plan{}, err
	}
	day := *d
	day.Settings = s
	best, err := search(ctx, &day)
	if err != nil {
		return Plan{}, err
	}
	p := best.plan()
	explain(&day, &p)
	p.Outcome, err = outcome(ctx, &day, best, &p)
	return p, err
}

// solved is a model with the answer that its passages have taken over.
type solved struct {
	*model
	result solve.Result
	drift  float64
	steps  int
}

func (s *solved) plan() Plan { return s.model.plan(&s.result.Plan) }

// worse orders answers: all placed, nothing bought, less late, cheaper.
func (s *solved) worse(t *solved) bool {
	a, b := s.rank(), t.rank()
	return slices.Compare(a, b) > 0
}

func (s *solved) rank() []int64 {
	relaxed := int64(0)
	if s.relaxed {
		relaxed = 1
	}
	c := s.result.Plan.Cost
	drift := int64(0)
	if s.drift > driftAllowed {
		drift = 1
	}
	return []int64{int64(len(s.result.Plan.Unplaced)), relaxed, drift, s.late(), c.Total}
}

// nearest plans with the whole budget and, where that leaves something late,
// missing or broken, with half of it, a quarter and so on: a plan of more steps
// is never later than one of fewer.
func nearest(ctx context.Context, d *Day) (*solved, error) {
	best, err := nearestWith(ctx, d, 0)
	for halved := 1; err == nil && !best.good() && ctx.Err() == nil; halved++ {
		if d.Settings.stepsFor(len(best.jobs), halved) == d.Settings.stepsFor(len(best.jobs), halved-1) {
			break
		}
		var other *solved
		if other, err = nearestWith(ctx, d, halved); err == nil && best.worse(other) {
			best = other
		}
	}
	return best, err
}

// nearestWith tries the day as it stands; then with rises at their best moments
// and, as they allow it, bulk rises held cold; in the end with breaches.
//
// A day that is late at once because its rises want room is not followed to its
// end before it has been tried without.
func nearestWith(ctx context.Context, d *Day, halved int) (*solved, error) {
	roomy, err := begin(d, choices{halved: halved})
	if err != nil {
		return nil, err
	}
	if err := roomy.round(ctx); err != nil {
		return nil, err
	}
	var tight *solved
	if roomy.last.late() > 0 && !roomy.done() {
		tight, err = attempt(ctx, d, choices{halved: halved, tight: true})
		if err != nil || tight.good() {
			return tight, err
		}
	}
	best, err := roomy.finish(ctx)
	if err != nil {
		return nil, err
	}
	if best.good() {
		return best, nil
	}
	tries := coldChoices(best)
	if tight == nil {
		tries = append([]choices{{tight: true}}, tries...)
	} else if best.worse(tight) {
		best = tight
	}
	for _, c := range tries {
		if ctx.Err() != nil {
			break
		}
		c.halved = halved
		next, err := attempt(ctx, d, c)
		if err != nil {
			return nil, err
		}
		if best.worse(next) {
			best = next
		}
		if best.good() {
			return best, nil
		}
	}
	if len(best.result.Plan.Unplaced) == 0 && best.drift <= driftAllowed {
		return best, nil
	}
	c := best.choices
	c.relaxed = true
	return attempt(ctx, d, c)
}

// good says that nothing is late, missing or broken.
func (s *solved) good() bool {
	return len(s.result.Plan.Unplaced) == 0 && s.late() == 0 && s.drift <= driftAllowed && !s.relaxed
}

// late is the weighted minutes past promises.
func (s *solved) late() int64 { return s.result.Plan.Cost.Late }

// choices are decided outside the solver.
type choices struct {
	crews   bool // people and mixers that are alike count as one resource
	relaxed bool
	tight   bool           // rises are planned for their best moment, without room for a slow dough
	once    bool           // windows are not taken anew: an estimate
	halved  int            // how many times the budget is halved
	rescue  bool           // doughs under way may be chilled for a while
	press   bool           // bulk rises under way may be knocked back again
	cold    map[string]int // batch ID: stage of the whole dough that is held in the cold
}

// coldChoices holds the bulk rise of every dough that allows it in the cold,
// then of one dough at a time.
func coldChoices(s *solved) []choices {
	all := choices{cold: map[string]int{}}
	var out []choices
	for _, t := range s.trees {
		for i, st := range t.batch.recipe.whole {
			if st.Part == "" && st.Kind == Rise && st.Chill != nil {
				all.cold[t.batch.ID] = i
				out = append(out, choices{cold: map[string]int{t.batch.ID: i}})
				break
			}
		}
	}
	if len(out) > 1 {
		out = append([]choices{all}, out...)
	}
	return out
}

const (
	// rounds bound how often windows are taken anew from the doughs as planned.
	rounds = 5
	// driftAllowed is by how many minutes a rise may end outside its exact
	// window: the grid's rounding.
	driftAllowed = 0.75
)

// leastShare is the part of the usual budget that is spent at least.
const leastShare = 8

// stepsFor is the search budget, halved so many times: what is usual for so many
// jobs, doubled as often as the settings allow or halved as often as they want,
// down to its least share.
func (s Settings) stepsFor(jobs, halved int) int {
	usual := 600 + 200*jobs
	n := usual
	for s.Steps >= 2*n {
		n *= 2
	}
	for n > usual/leastShare && (s.Steps > 0 && n > s.Steps || halved > 0) {
		if n <= s.Steps || s.Steps == 0 {
			halved--
		}
		n /= 2
	}
	return n
}

// attempt plans with given choices.
func attempt(ctx context.Context, d *Day, c choices) (*solved, error) {
	t, err := begin(d, c)
	if err != nil {
		return nil, err
	}
	return t.finish(ctx)
}

// trial plans with given choices. Windows come from doughs that go through the day
// at their best moments; then from the doughs as planned, until both agree.
type trial struct {
	day        *Day
	choices    choices
	grid       *grid
	trees      []*tree
	jobs       []*jobModel
	rounds     int // until now
	steps      int // of the search
	last, best *solved
}

func begin(d *Day, c choices) (*trial, error) {
	c.crews = true
	g, err := newGrid(d)
	if err != nil {
		return nil, err
	}
	bs, err := batches(d, g.loc, shareWithin)
	if err != nil {
		return nil, err
	}
	t := &trial{day: d, choices: c, grid: g, trees: forest(d, bs)}
	w := &walker{kitchen: &d.Kitchen, grid: g}
	for _, tree := range t.trees {
		j, err := w.sketch(tree, c)
		if err != nil {
			return nil, err
		}
		t.jobs = append(t.jobs, j)
	}
	return t, nil
}

// round plans with the windows of the round before.
func (t *trial) round(ctx context.Context) error {
	m := newModel(t.day, t.grid, t.trees, t.choices)
	for _, j := range t.jobs {
		if err := m.addJob(j); err != nil {
			return err
		}
	}
	s := t.day.Settings
	set := solve.Settings{Steps: s.stepsFor(len(t.jobs), t.choices.halved), Seed: s.Seed, BoundSteps: -1}
	if t.last != nil {
		set.Start, set.Steps = &t.last.result.Plan, set.Steps/2
	}
	set.Patience = set.Steps / 3
	r, err := solve.Solve(ctx, m.problem, set)
	if err != nil {
		return fmt.Errorf("schedule: %w", err)
	}
	t.rounds++
	t.steps += r.Stats.Steps
	m.adopt(&r.Plan)
	if err := m.rerun(); err != nil {
		return err
	}
	t.last = &solved{m, r, m.drift(), t.steps}
	if t.best == nil || t.last.drift < t.best.drift || len(t.last.result.Plan.Unplaced) < len(t.best.result.Plan.Unplaced) {
		t.best = t.last
	}
	return nil
}

// done tells whether another round would bring nothing.
func (t *trial) done() bool {
	return t.rounds == rounds || t.last != nil && (t.last.drift <= driftAllowed || len(t.last.result.Plan.Unplaced) > 0 || t.choices.once)
}

// finish plans on until doughs and windows agree.
func (t *trial) finish(ctx context.Context) (*solved, error) {
	for !t.done() && (t.best == nil || ctx.Err() == nil) {
		if err := t.round(ctx); err != nil {
			return nil, err
		}
	}
	if t.best != t.last { // the doughs are those of the last round
		t.best.adopt(&t.best.result.Plan)
		if err := t.best.rerun(); err != nil {
			return nil, err
		}
	}
	t.best.steps = t.steps
	return t.best, nil
}

// sketch carries a batch through its stages at their best moments, so that it
// ends when it is first promised.
func (w *walker) sketch(t *tree, c choices) (*jobModel, error) {
	j := &jobModel{tree: t}
	for _, st := range slices.Concat(t.parts, []*strand{t.trunk}, t.branches) {
		j.passages = append(j.passages, newPassage(st))
	}
	trunk := j.passages[len(t.parts)]
	if stage, held := c.cold[t.batch.ID]; held {
		for i, wt := range t.trunk.waits {
			trunk.cold[i] = wt.stage == stage
		}
	}
	due := w.grid.minute(t.batch.due)
	begin := due - 6*60
	for range 2 {
		trunk.at[0] = begin
		for _, p := range j.passages[:len(t.parts)] {
			p.at[0] = begin - 12*60
		}
		if err := w.batch(t, j.passages, true); err != nil {
			return nil, err
		}
		end := 0
		for _, p := range j.passages[len(t.parts)+1:] {
			last := len(p.at) - 1
			end = max(end, p.at[last]+p.strand.works[last].dur)
		}
		begin = max(0, begin+due-end)
	}
	return j, nil
}
