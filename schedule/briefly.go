package schedule

import "context"

// PlanBriefly is PlanDay for a moment when somebody waits who asked for something
// else. Where its smallest search keeps every promise, it plans as PlanDay does.
// Any other day gets the nearest plan of as many searches, the smallest first, as the
// given search steps allow, always of one; its Outcome is then Brief: neither larger
// searches were tried, nor was it looked for what binds and what would help.
func PlanBriefly(ctx context.Context, d *Day, s Settings, steps int) (Plan, error) {
	p, err := planned(ctx, d, s, func(ctx context.Context, d *Day) (*solved, error) { return brief(ctx, d, steps) })
	p.Outcome.Brief = !p.Outcome.Kept
	return p, err
}

// brief searches from the fewest steps on.
func brief(ctx context.Context, d *Day, steps int) (*solved, error) {
	const fewest = 64 // halvings: more than there are
	best, err := nearestWith(ctx, d, fewest)
	if err != nil {
		return nil, err
	}
	jobs := len(best.jobs)
	for n := d.Settings.stepsFor(jobs, fewest); !best.good(); n *= 2 {
		steps -= n
		if 2*n > min(steps, d.Settings.stepsFor(jobs, 0)) || ctx.Err() != nil {
			return best, nil
		}
		larger := *d
		larger.Settings.Steps = 2 * n
		other, err := nearestWith(ctx, &larger, 0)
		if err != nil {
			return nil, err
		}
		if best.worse(other) {
			best = other
		}
	}
	whole, err := nearestWith(ctx, d, 0)
	if err != nil || whole.good() {
		return whole, err
	}
	return best, nil
}
