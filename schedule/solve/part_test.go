package solve_test

import (
	"context"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/solve"
)

// onParts turns the machines of a problem into such as hold whole items on parts:
// of every use one to five items, of which a part holds one to three.
func (d dice) onParts(p *solve.Problem) *solve.Problem {
	const room = 6 // a common multiple
	q := *p
	q.Machines, q.Jobs = slices.Clone(p.Machines), slices.Clone(p.Jobs)
	for i := range q.Machines {
		q.Machines[i].Cap = 1 << 20
		for range d.within(1, 3) {
			q.Machines[i].Parts = append(q.Machines[i].Parts, room)
		}
	}
	for j := range q.Jobs {
		q.Jobs[j].Ops = slices.Clone(q.Jobs[j].Ops)
		for i := range q.Jobs[j].Ops {
			o := &q.Jobs[j].Ops[i]
			if o.Machine == nil {
				continue
			}
			o.Fixed = solve.Free
			u := *o.Machine
			u.Items, u.Share = d.within(1, 5), nil
			for _, m := range u.Any {
				var share []int64
				for range q.Machines[m].Parts {
					s := int64(room / d.within(1, 3))
					if d.oneIn(8) {
						s = 0
					}
					share = append(share, s)
				}
				u.Share = append(u.Share, share)
			}
			o.Machine = &u
		}
	}
	return &q
}

// Whole items on parts of a machine: what the search finds is the cheapest of
// everything that can be tried, and holds.
func TestPartsAgainstExhaustion(t *testing.T) {
	t.Parallel()
	compared, split := 0, 0
	for seed := uint64(1); compared < 150; seed++ {
		d := newDice(seed)
		p := d.onParts(d.problem(3, 2, 9, true))
		if p.Validate() != nil {
			continue
		}
		want, plan, ok := exhaust(p, 1_000_000)
		if !ok {
			continue
		}
		compared++
		r, err := solve.Solve(context.Background(), p, solve.Settings{Steps: 4000})
		if err != nil {
			t.Fatal(err)
		}
		if v := solve.Check(p, &r.Plan); len(v) > 0 {
			t.Errorf("seed %d: %v", seed, v)
		}
		if want < 0 {
			if len(r.Plan.Unplaced) == 0 {
				t.Errorf("seed %d: a plan where there is none", seed)
			}
			continue
		}
		if v := solve.Check(p, &plan); len(v) > 0 {
			t.Errorf("seed %d: the oracle's own plan: %v", seed, v)
		}
		if got := r.Plan.Cost.Total; len(r.Plan.Unplaced) > 0 || got != want {
			t.Errorf("seed %d: cost %d, %v unplaced; want %d", seed, got, r.Plan.Unplaced, want)
		}
		if r.Bound.Total > want {
			t.Errorf("seed %d: bound %d above the least cost %d", seed, r.Bound.Total, want)
		}
		for _, jp := range r.Plan.Jobs {
			for _, o := range jp.Ops {
				if parts := slices.DeleteFunc(slices.Clone(o.Spread), func(n int) bool { return n == 0 }); len(parts) > 1 {
					split++
				}
			}
		}
	}
	if split == 0 {
		t.Error("no use lies on several parts")
	}
}

// A use that is frozen keeps the parts it lies on; what comes goes elsewhere.
func TestFrozenParts(t *testing.T) {
	t.Parallel()
	use := func(items int, share int64) *solve.Use {
		return &solve.Use{Any: []int{0}, Places: 1, Items: items, Share: [][]int64{{share, share}}}
	}
	p := &solve.Problem{
		Slots: 10, Late: 1, Machines: []solve.Machine{{Cap: 9, Parts: []int64{12, 12}}},
		Jobs: []solve.Job{
			{Ops: []solve.Op{{Dur: 8, Was: solve.Free, Machine: use(3, 4), FixedChoice: &solve.Choice{Spread: []int{1, 2}}}}},
			{Ops: []solve.Op{{Dur: 2, Fixed: solve.Free, Was: solve.Free, Machine: use(1, 6), Due: 2, Weight: 1}}},
			{Ops: []solve.Op{{Dur: 2, Fixed: solve.Free, Was: solve.Free, Machine: use(1, 12), Due: 2, Weight: 1}}},
		},
	}
	r, err := solve.Solve(context.Background(), p, solve.Settings{Steps: 100})
	if err != nil {
		t.Fatal(err)
	}
	want := []solve.JobPlan{
		{Ops: []solve.OpPlan{{Start: 0, Choice: solve.Choice{Spread: []int{1, 2}}}}},
		{Ops: []solve.OpPlan{{Start: 0, Choice: solve.Choice{Spread: []int{1, 0}}}}},
		{Ops: []solve.OpPlan{{Start: 8, Choice: solve.Choice{Spread: []int{1, 0}}}}},
	}
	if diff := cmp.Diff(want, r.Plan.Jobs); diff != "" {
		t.Error(diff)
	}
	if v := solve.Check(p, &r.Plan); len(v) > 0 {
		t.Error(v)
	}
	wrong := r.Plan
	wrong.Jobs = slices.Clone(want)
	wrong.Jobs[1] = solve.JobPlan{Ops: []solve.OpPlan{{Start: 0, Choice: solve.Choice{Spread: []int{0, 1}}}}}
	if v := solve.Check(p, &wrong); len(v) == 0 {
		t.Errorf("a part with 8 of 12 takes 6 more")
	}
}
