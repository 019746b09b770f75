package solve

import (
	"cmp"
	"context"
)

// Budgets where Settings name none.
const (
	defaultSteps      = 8000
	defaultBoundSteps = 40
)

// Settings steer the search. The zero value is good for a day of 12 jobs.
type Settings struct {
	// Steps is the budget, counted in insertions of jobs; 0 means 8000. More
	// steps never give a worse plan.
	Steps int
	// Seed varies the search; the same seed gives the same plan.
	Seed uint64
	// Start is a plan to begin with, nil for none. Jobs without operations in
	// it are new. What is still possible in it is kept unless something better
	// is found.
	Start *Plan
	// BoundSteps is the budget for lower bounds, in rounds of pricing; 0 means
	// 40, below 0 only the free bound is taken.
	BoundSteps int
	// Patience ends the search after so many steps without a better plan; 0 means
	// never. Where it does not fall with Steps, more steps still are never worse.
	Patience int
}

// Result is what Solve found.
type Result struct {
	Plan   Plan
	Stats  Stats
	Status Status
	Bound  Bound
}

// Stats tells how the search went.
type Stats struct {
	// Steps is the number of insertions tried, FirstPlan the number after which
	// the first complete plan was there, BestPlan that of the returned one.
	Steps, FirstPlan, BestPlan int
	// BoundSteps is the number of pricing rounds.
	BoundSteps int
}

// Bound holds what no plan of all jobs can undercut.
type Bound struct {
	// Late bounds Cost.Late, Total bounds Cost.Total.
	Late, Total int64
}

// LateBound gives a lateness no plan of all jobs can undercut, raised towards that
// of a plan in at most so many rounds of pricing, 0 for 40. The error is Solve's.
func LateBound(ctx context.Context, p *Problem, late int64, rounds int) (int64, error) {
	if err := p.Validate(); err != nil {
		return 0, err
	}
	b := compile(p).bounder()
	b.late.tighten(ctx, late, cmp.Or(rounds, defaultBoundSteps))
	return b.bound().Late, nil
}

// Status tells why the search ended and what may be said of the plan.
type Status int

const (
	// StepLimit: all jobs are placed; a better plan may exist.
	StepLimit Status = iota
	// LeastLate: no plan has less weighted lateness.
	LeastLate
	// Optimal: no plan costs less.
	Optimal
	// Incomplete: some jobs found no place, see Plan.Unplaced.
	Incomplete
	// Cancelled: the context ended the search; the plan is the best until then.
	Cancelled
)

// String names the status in words.
func (s Status) String() string {
	switch s {
	case StepLimit:
		return "step limit"
	case LeastLate:
		return "least late"
	case Optimal:
		return "optimal"
	case Incomplete:
		return "incomplete"
	case Cancelled:
		return "cancelled"
	}
	return "unknown"
}

// Solve searches the cheapest plan. The error tells where an invalid problem
// is invalid; everything else is told by the result.
func Solve(ctx context.Context, p *Problem, s Settings) (Result, error) {
	if err := p.Validate(); err != nil {
		return Result{}, err
	}
	m := compile(p)
	b := m.bounder()
	w := newSearch(m, s)
	w.floor = b.bound().Total
	w.run(ctx, s.Start)
	res := Result{Plan: w.plan()}
	if rounds := s.BoundSteps; len(res.Plan.Unplaced) == 0 && rounds >= 0 {
		if rounds == 0 {
			rounds = defaultBoundSteps
		}
		b.tighten(ctx, &res.Plan.Cost, rounds)
	}
	res.Bound = b.bound()
	res.Stats = Stats{Steps: w.steps, FirstPlan: w.first, BestPlan: w.found, BoundSteps: b.rounds}
	switch {
	case len(res.Plan.Unplaced) > 0:
		res.Status = Incomplete
	case res.Plan.Cost.Total == res.Bound.Total:
		res.Status = Optimal
	case ctx.Err() != nil:
		res.Status = Cancelled
	case res.Plan.Cost.Late == res.Bound.Late:
		res.Status = LeastLate
	}
	return res, nil
}
