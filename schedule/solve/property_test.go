package solve_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/solve"
)

// mixed gives random problems of moderate size: chains and trees by turns.
func mixed(n int) []*solve.Problem {
	var out []*solve.Problem
	for seed := uint64(1000); len(out) < n; seed++ {
		if p := newDice(seed).problem(5, 4, 30, seed%2 == 0); p.Validate() == nil {
			out = append(out, p)
		}
	}
	return out
}

// worse tells whether plan a is worse than b.
func worse(a, b *solve.Plan) bool {
	if len(a.Unplaced) != len(b.Unplaced) {
		return len(a.Unplaced) > len(b.Unplaced)
	}
	return a.Cost.Total > b.Cost.Total
}

func TestMoreStepsAreNeverWorse(t *testing.T) {
	t.Parallel()
	for i, p := range mixed(20) {
		share := 1 + i%2*2 // of the steps as patience: all or a third
		last := run(t, p, solve.Settings{Steps: 1})
		for _, steps := range []int{3, 10, 30, 100, 101, 102, 300, 1000, 3000} {
			r := run(t, p, solve.Settings{Steps: steps, Patience: steps / share})
			if worse(&r.Plan, &last.Plan) {
				t.Errorf("problem %d: %d steps: %+v, fewer steps: %+v", i, steps, r.Plan.Cost, last.Plan.Cost)
			}
			last = r
		}
	}
}

func TestJobOrderDoesNotMatter(t *testing.T) {
	t.Parallel()
	for i, p := range mixed(20) {
		q := *p
		q.Jobs = slices.Clone(p.Jobs)
		rand.New(rand.NewPCG(uint64(i), 2)).Shuffle(len(q.Jobs), func(a, b int) { q.Jobs[a], q.Jobs[b] = q.Jobs[b], q.Jobs[a] })
		for j := range q.Jobs {
			q.Jobs[j].Name = "renamed"
		}
		a, b := run(t, p, solve.Settings{Steps: 500}), run(t, &q, solve.Settings{Steps: 500})
		if diff := cmp.Diff(a.Plan.Cost, b.Plan.Cost); diff != "" || a.Bound != b.Bound || a.Stats != b.Stats || a.Status != b.Status {
			t.Errorf("problem %d: %s", i, diff)
		}
	}
}

func TestSameInputSamePlan(t *testing.T) {
	t.Parallel()
	for i, p := range mixed(10) {
		a, b := run(t, p, solve.Settings{Steps: 700, Seed: 3}), run(t, p, solve.Settings{Steps: 700, Seed: 3})
		if diff := cmp.Diff(a, b); diff != "" {
			t.Errorf("problem %d: %s", i, diff)
		}
	}
}

// One more of everything, or a later promise, never makes the least cost
// dearer; on problems this small the search finds it.
func TestWiderKitchenIsNeverDearer(t *testing.T) {
	t.Parallel()
	for seed := range uint64(60) {
		p := newDice(seed).problem(3, 3, 14, true)
		if p.Validate() != nil {
			continue
		}
		base := run(t, p, solve.Settings{Steps: 4000, BoundSteps: -1})
		for what, widen := range map[string]func(q *solve.Problem){
			"resource": func(q *solve.Problem) {
				q.Resources = slices.Clone(q.Resources)
				q.Resources[0].Cap = slices.Clone(q.Resources[0].Cap)
				for t := range q.Resources[0].Cap {
					q.Resources[0].Cap[t]++
				}
			},
			"machine": func(q *solve.Problem) {
				q.Machines = slices.Clone(q.Machines)
				q.Machines[0].Cap++
				q.Machines[0].Closed = nil
			},
			"promise without earliness": func(q *solve.Problem) {
				q.Jobs = slices.Clone(q.Jobs)
				for j := range q.Jobs {
					q.Jobs[j].Ops = slices.Clone(q.Jobs[j].Ops)
					for i := range q.Jobs[j].Ops {
						o := &q.Jobs[j].Ops[i]
						o.Due++
						o.Weight = max(0, o.Weight-1)
						o.EarlyWeight = 0
					}
				}
			},
		} {
			q := *p
			widen(&q)
			if r := run(t, &q, solve.Settings{Steps: 4000, BoundSteps: -1}); worse(&r.Plan, &base.Plan) {
				t.Errorf("seed %d: more of %s: %+v %v, before %+v %v", seed, what, r.Plan.Cost, r.Plan.Unplaced, base.Plan.Cost, base.Plan.Unplaced)
			}
		}
	}
}

func TestAddingAJobNeverLowersTheBound(t *testing.T) {
	t.Parallel()
	for i, p := range mixed(20) {
		q := *p
		q.Jobs = p.Jobs[:len(p.Jobs)-1]
		fewer, all := run(t, &q, solve.Settings{Steps: 1, BoundSteps: -1}), run(t, p, solve.Settings{Steps: 1, BoundSteps: -1})
		if fewer.Bound.Late > all.Bound.Late {
			t.Errorf("problem %d: bound %d falls to %d with one more job", i, fewer.Bound.Late, all.Bound.Late)
		}
	}
}

// The bound on lateness by itself is the one that Solve gives.
func TestLateBound(t *testing.T) {
	t.Parallel()
	raised := 0
	for i, p := range mixed(30) {
		r := run(t, p, solve.Settings{Steps: 500})
		if len(r.Plan.Unplaced) > 0 {
			continue
		}
		got, err := solve.LateBound(context.Background(), p, r.Plan.Cost.Late, 0)
		if err != nil || got != r.Bound.Late {
			t.Errorf("problem %d: bound %d, %v; with the search %d", i, got, err, r.Bound.Late)
		}
		if got > 0 {
			raised++
		}
	}
	if raised == 0 {
		t.Error("nothing is late in any of these")
	}
}

// A plan to start with is never made worse, and kept where nothing is better.
func TestStart(t *testing.T) {
	t.Parallel()
	for i, p := range mixed(20) {
		good := run(t, p, solve.Settings{Steps: 4000})
		r := run(t, p, solve.Settings{Steps: 1, Seed: 9, Start: &good.Plan})
		if diff := cmp.Diff(good.Plan, r.Plan); diff != "" && len(good.Plan.Unplaced) == 0 {
			t.Errorf("problem %d: start is not kept: %s", i, diff)
		}
		if len(p.Jobs) < 2 || len(good.Plan.Unplaced) > 0 {
			continue
		}
		gap := good.Plan // one job is new
		gap.Jobs = slices.Clone(gap.Jobs)
		gap.Jobs[0] = solve.JobPlan{}
		if r := run(t, p, solve.Settings{Steps: 50, Start: &gap}); len(r.Plan.Unplaced) > 0 {
			t.Errorf("problem %d: the gap in the start is not filled", i)
		}
	}
}

func TestCancelled(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for i, p := range mixed(5) {
		r, err := solve.Solve(ctx, p, solve.Settings{Steps: 1 << 40})
		if err != nil {
			t.Fatal(err)
		}
		if v := solve.Check(p, &r.Plan); len(v) > 0 {
			t.Errorf("problem %d: %v", i, v)
		}
		if len(r.Plan.Unplaced) == 0 && r.Status != solve.Cancelled && r.Status != solve.Optimal {
			t.Errorf("problem %d: status %v", i, r.Status)
		}
	}
}
