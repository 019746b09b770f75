package solve_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/solve"
)

// Two jobs, one pair of hands, one oven: why each operation is where it is.
func TestBinding(t *testing.T) {
	t.Parallel()
	hand := []solve.Need{{Any: []int{0}, Amount: 1}}
	op := func(dur int) solve.Op { return solve.Op{Dur: dur, Fixed: solve.Free, Was: solve.Free} }
	work, bake := op(2), op(4)
	work.Needs = hand
	bake.Machine = &solve.Use{Any: []int{0}, Places: 1}
	bake.Due, bake.Weight, bake.EarlyWeight = 20, 1, 1
	link := []solve.Link{{From: 0, To: 1, Modes: []solve.Mode{{Min: 3, Max: 5}}}}
	p := &solve.Problem{
		Slots: 30, Late: 10, Early: 1, Resources: []solve.Resource{{Cap: []int32{1}}}, Machines: []solve.Machine{{Cap: 1}},
		Jobs: []solve.Job{{Ops: []solve.Op{work, bake}, Links: link}, {Ops: []solve.Op{work, bake}, Links: link}},
	}
	at := func(first, second int) solve.JobPlan {
		return solve.JobPlan{
			Ops:   []solve.OpPlan{{Start: first, Choice: solve.Choice{Needs: []int{0}, Machine: solve.Free}}, {Start: second, Choice: solve.Choice{Machine: 0}}},
			Links: []solve.LinkPlan{{}},
		}
	}
	plan := &solve.Plan{Jobs: []solve.JobPlan{at(9, 16), at(7, 12)}, Cost: solve.Cost{Early: 4, Span: 13, Total: 4}}
	if v := solve.Check(p, plan); len(v) > 0 {
		t.Fatal(v)
	}
	no := solve.Reason{Op: -1, Link: -1, Resource: -1, Machine: -1, At: -1, ByJob: -1, ByOp: -1, ByLink: -1}
	because := func(change func(r *solve.Reason)) solve.Reason {
		r := no
		change(&r)
		return r
	}
	busy := func(op, slot, by int) solve.Reason {
		return because(func(r *solve.Reason) {
			r.Kind, r.Op, r.Resource, r.At, r.ByJob, r.ByOp = solve.Busy, op, 0, slot, by, 0
		})
	}
	for _, tt := range []struct {
		name           string
		job, op        int
		later, earlier solve.Reason
	}{
		{"hands free later, the other's before", 0, 0, no, busy(0, 8, 1)},
		{"promise kept to the slot", 0, 1,
			because(func(r *solve.Reason) { r.Kind, r.Op = solve.Promise, 1 }),
			because(func(r *solve.Reason) {
				r.Kind, r.Op, r.Machine, r.At, r.ByJob, r.ByOp = solve.MachineBusy, 1, 0, 15, 1, 1
			})},
		{"too far behind: the bake would have to follow", 1, 0, busy(0, 9, 0), no},
		{"oven taken afterwards", 1, 1,
			because(func(r *solve.Reason) {
				r.Kind, r.Op, r.Machine, r.At, r.ByJob, r.ByOp = solve.MachineBusy, 1, 0, 13, 0, 1
			}),
			because(func(r *solve.Reason) { r.Kind, r.Op = solve.Promise, 1 })},
	} {
		later, earlier := solve.Binding(p, plan, tt.job, tt.op)
		if diff := cmp.Diff([]solve.Reason{tt.later, tt.earlier}, []solve.Reason{later, earlier}); diff != "" {
			t.Errorf("%s: %s", tt.name, diff)
		}
	}
}
