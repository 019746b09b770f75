package solve_test

import (
	"context"
	"fmt"

	"ovenward/schedule/solve"
)

// One mix parts into two loaves for an oven with a single place: the lighter
// promise gives way.
func Example() {
	free := solve.Op{Fixed: solve.Free, Was: solve.Free}
	mix, bake := free, free
	mix.Dur, mix.Needs = 2, []solve.Need{{Any: []int{0}, Amount: 1}}
	bake.Dur, bake.Machine, bake.Due, bake.EarlyWeight = 4, &solve.Use{Any: []int{0}, Places: 1}, 20, 1
	small, large := bake, bake
	small.Weight, large.Weight, large.EarlyWeight = 1, 3, 3
	rise := []solve.Mode{{Name: "warm", Min: 6, Max: 12}, {Name: "cold", Min: 8, Max: 14, Cost: 1}}
	p := &solve.Problem{
		Slots: 48, Late: 100, Early: 2,
		Resources: []solve.Resource{{Name: "hands", Cap: []int32{1}}},
		Machines:  []solve.Machine{{Name: "oven", Cap: 1}},
		Jobs: []solve.Job{{Ops: []solve.Op{mix, small, large}, Links: []solve.Link{
			{From: 0, To: 1, Modes: rise}, {From: 0, To: 2, Modes: rise},
		}}},
	}
	r, err := solve.Solve(context.Background(), p, solve.Settings{})
	if err != nil {
		fmt.Println(err)
		return
	}
	ops := r.Plan.Jobs[0].Ops
	fmt.Println("small bakes from", ops[1].Start, "and large from", ops[2].Start, "at a cost of", r.Plan.Cost.Total)
	fmt.Println(r.Status)
	// Output:
	// small bakes from 12 and large from 16 at a cost of 8
	// optimal
}
