package solve

import (
	"context"
	"slices"
)

const (
	// missing is the cost of a job off the board. It outweighs every plan.
	missing = 2 * maxCost
	// firstCycle is the number of moves in the first cycle of annealing; each
	// later one is a quarter longer.
	firstCycle = 2000
	// stages is the number of temperatures in a cycle, each cooling/1024 of the
	// one before: about 1 to 20 over all.
	stages, cooling = 16, 849
	// lost heats the search for a place for every job, where costs are no guide.
	lost = 100
)

// search improves the plan on a board by ruin and recreate: a few related jobs
// are taken off and put back one by one, each at its cheapest place; annealing
// decides beforehand how dear the outcome may be, so that hopeless insertions
// end early and look at few slots.
type search struct {
	*placer
	budget, patience int
	cost             int64 // of the plan on the board, missing jobs included
	best             snapshot
	floor            int64 // no plan costs less
	first            int   // steps until the first complete plan
	found            int   // steps until the best plan
	saved            snapshot
	out              []int     // the jobs taken off
	toll             int64     // mean toll, in fractions
	tolls            [][]int64 // see guide
	rows             [][]int64 // those of tolls in use, by store
}

func newSearch(m *model, s Settings) *search {
	r := rng(m.seed ^ s.Seed*0x9e3779b97f4a7c15)
	w := &search{placer: newPlacer(newBoard(m), &r), budget: s.Steps}
	if w.budget == 0 {
		w.budget = defaultSteps
	}
	if w.patience = s.Patience; w.patience == 0 {
		w.patience = w.budget
	}
	for range m.stores {
		w.tolls = append(w.tolls, make([]int64, m.slots+1))
	}
	w.rows = make([][]int64, len(m.stores))
	w.best.cost = never
	return w
}

// run searches until the budget is spent or ctx is done, and leaves the best
// plan on the board.
func (s *search) run(ctx context.Context, start *Plan) {
	if start != nil {
		s.resume(start)
	}
	s.construct(start == nil)
	for moves := firstCycle; s.going(ctx); moves += moves / 4 {
		s.cycle(ctx, moves)
		if s.rng.below(2) == 0 {
			s.back()
		}
	}
	s.back()
}

func (s *search) going(ctx context.Context) bool {
	return s.steps < s.budget && s.steps-s.found < s.patience && s.best.cost > s.floor && len(s.jobs) > 0 && ctx.Err() == nil
}

// back goes back to the best plan.
func (s *search) back() {
	s.load(&s.best)
	s.cost = s.best.cost
}

// cycle cools down once, from twice a job's mean cost above its least.
func (s *search) cycle(ctx context.Context, moves int) {
	above := s.best.cost % missing
	for j := range s.jobs {
		above -= s.jobs[j].least
	}
	mean := min(max(above, 0)/int64(len(s.jobs)), maxCost/fraction)
	if s.best.cost >= missing {
		mean += min(s.p.Late+s.p.Early+s.p.Span, maxCost/fraction) + lost
	}
	hot := max(2*mean, 2) * fraction
	s.toll = max(mean/8, 1) * fraction
	for k := range moves {
		if !s.going(ctx) {
			return
		}
		if k > 0 && k%(moves/stages) == 0 {
			hot = max(hot/1024*cooling, fraction/2)
		}
		s.move(hot)
	}
}

// move tries one step at the given temperature.
func (s *search) move(hot int64) {
	s.save(&s.saved, s.cost)
	limit := s.cost + s.rng.exp(hot)
	s.ruin()
	left, off := int64(0), int64(0)
	for _, j := range s.out {
		left += s.jobs[j].least
	}
	for j, on := range s.on {
		if !on && !slices.Contains(s.out, j) {
			off += missing
		}
	}
	for k, j := range s.out {
		left -= s.jobs[j].least
		_, cost := s.total()
		s.guide(s.out[k+1:])
		if !s.insert(j, limit-cost-left-off) {
			if off += missing; cost+left+off > limit {
				s.undo()
				return
			}
		}
	}
	if s.measure(); s.cost > limit {
		s.undo()
		return
	}
	s.publish()
}

// undo puts the jobs taken off back where they were.
func (s *search) undo() {
	for _, j := range s.out {
		s.remove(j)
	}
	for _, j := range s.out {
		s.restore(j, &s.saved)
	}
	s.cost = s.saved.cost
}

// measure sums the plan's cost up.
func (s *search) measure() {
	off, cost := s.total()
	s.cost = cost + int64(off)*missing
}

// publish keeps the plan on the board if it is the best so far.
func (s *search) publish() {
	if s.cost >= s.best.cost {
		return
	}
	if s.cost < missing && s.best.cost >= missing {
		s.first = s.steps
	}
	s.found = s.steps
	s.save(&s.best, s.cost)
}
