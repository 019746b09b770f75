package simulate_test

import (
	"fmt"

	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// A dough of 1.5 kg, mixed at eight in the evening, stands an hour in the room
// and is knocked back; then the fridge has it.
func Example() {
	dough := &simulate.Dough{Recipe: rise.Recipe{Yeast: 0.8, Salt: 2, Water: 65}}
	room, fridge := simulate.Steady(22, heat.StillCovered), simulate.Steady(4, heat.FridgeStatic)

	s, err := simulate.Start(dough, 20*60, heat.Ball(1500), 26)
	if err != nil {
		fmt.Println(err)
		return
	}
	s.Wait(room, 60)
	s.Handle(rise.KnockBack)

	doubled := simulate.Target{Target: rise.Target{Expansion: rise.DoubledByEye}}
	stay, cold := s.Window(room, doubled, 48*60), s.Window(fridge, doubled, 48*60)
	fmt.Println("in the room ready after", unit.Minutes(stay.Ready), "too far after", unit.Minutes(stay.TooFar))
	fmt.Println("in the fridge ready after", unit.Minutes(cold.Ready))

	s.Wait(fridge, 10*60)
	fmt.Printf("at seven the dough is at %v, %.2f times its volume\n", s.Mean(), s.Expansion())
	// Output:
	// in the room ready after 2 h 18 too far after 4 h 32
	// in the fridge ready after 6 h 59
	// at seven the dough is at 5.6 °C, 2.09 times its volume
}
