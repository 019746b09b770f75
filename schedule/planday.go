package schedule

import (
	"context"
	"errors"
)

// PlanDay works the day backward from its promises. A day that does not pass
// Validate gives its Faults as the error. A day that cannot be kept gives the
// nearest plan, with what is late or broken and the one binding reason in its
// Outcome. The search is bounded by s.Steps; a cancelled ctx ends it early with
// the best plan so far.
func PlanDay(ctx context.Context, d *Day, s Settings) (Plan, error) {
	return Plan{}, errors.New("schedule: being built")
}

// Check judges a plan for a day independently of the planner: it simulates every
// rise again and counts every resource again. An empty result means it holds.
func Check(d *Day, p *Plan) []Violation { return nil }

// Validate reports every fault of the day at once.
func (d *Day) Validate() Faults { return nil }

// Traces follows every dough of a plan through the day, a point every few
// minutes and at each change.
func Traces(d *Day, p *Plan) ([]Trace, error) { return nil, nil }

// Alerts lists the calls a plan makes, by time.
func Alerts(p *Plan) []Alert { return nil }
