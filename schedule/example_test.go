package schedule_test

import (
	"context"
	"fmt"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
	"ovenward/testdata"
)

// The example day, worked backward from its promises.
func ExamplePlanDay() {
	day, err := dayfile.DecodeDay("example.json", testdata.Example)
	if err != nil {
		fmt.Println(err)
		return
	}
	plan, err := schedule.PlanDay(context.Background(), day, day.Settings)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("every promise kept:", plan.Outcome.Kept)
	for _, b := range plan.Batches {
		fmt.Printf("%s %s, %d portions\n", b.ID, b.Name, len(b.Portions))
	}
	// Output:
	// every promise kept: true
	// A Milk dough, 3 portions
	// B Slipway hearth loaf, 1 portions
	// C Potato loaf, 1 portions
}

// A plan that somebody has changed by hand is judged by itself.
func ExampleCheck() {
	day, err := dayfile.DecodeDay("example.json", testdata.Example)
	if err != nil {
		fmt.Println(err)
		return
	}
	plan, err := schedule.PlanDay(context.Background(), day, day.Settings)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("as planned:", len(schedule.Check(day, &plan)))
	for i := range plan.Tasks {
		if t := &plan.Tasks[i]; t.Kind == schedule.Divide && len(t.Hands) > 0 {
			t.Hands[0].Baker = "Nobody"
			break
		}
	}
	for _, v := range schedule.Check(day, &plan) {
		fmt.Println(v.Code, v.Of)
	}
	// Output:
	// as planned: 0
	// task Nobody
}
