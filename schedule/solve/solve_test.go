package solve_test

import (
	"context"
	"testing"

	"ovenward/schedule/solve"
)

// run solves p and holds the plan against Check.
func run(tb testing.TB, p *solve.Problem, s solve.Settings) solve.Result {
	tb.Helper()
	r, err := solve.Solve(context.Background(), p, s)
	if err != nil {
		tb.Fatal(err)
	}
	if v := solve.Check(p, &r.Plan); len(v) > 0 {
		tb.Fatalf("plan is wrong: %v", v)
	}
	return r
}

// Everything tried by hand on tiny problems: the solver finds a plan where there
// is one, never claims less than the least, and finds the least.
func TestAgainstExhaustion(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name             string
		jobs, ops, slots int
		chain            bool
	}{
		{"chains", 2, 3, 9, true},
		{"trees", 2, 3, 9, false},
		{"one bushy tree", 1, 5, 10, false},
		{"three short", 3, 2, 8, true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			tried, solvable, dearer := 0, 0, 0
			for seed := range uint64(250) {
				p := newDice(seed).problem(tt.jobs, tt.ops, tt.slots, tt.chain)
				if p.Validate() != nil {
					continue
				}
				want, plan, ok := exhaust(p, 1_000_000)
				if !ok {
					continue
				}
				tried++
				r := run(t, p, solve.Settings{Steps: 1500})
				if want < 0 {
					if len(r.Plan.Unplaced) == 0 {
						t.Errorf("seed %d: a plan where there is none", seed)
					}
					continue
				}
				solvable++
				if v := solve.Check(p, &plan); len(v) > 0 {
					t.Errorf("seed %d: Check refuses the exhaustive plan: %v", seed, v)
				}
				switch got := r.Plan.Cost.Total; {
				case len(r.Plan.Unplaced) > 0:
					t.Errorf("seed %d: no plan, want %d", seed, want)
				case got < want:
					t.Errorf("seed %d: cost %d below the least %d", seed, got, want)
				case got > want:
					dearer++
					t.Logf("seed %d: cost %d, least %d", seed, got, want)
				}
				if b := r.Bound; b.Total > want || b.Late > plan.Cost.Late {
					t.Errorf("seed %d: bound %+v above the least plan %+v", seed, b, plan.Cost)
				}
			}
			t.Logf("tried %d, solvable %d, dearer than the least %d", tried, solvable, dearer)
			if solvable < 100 || dearer*50 > solvable {
				t.Errorf("%d of %d plans are dearer than the least, want at most 2 %%", dearer, solvable)
			}
		})
	}
}
