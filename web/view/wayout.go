package view

import "ovenward/schedule"

// wayOutButton is what a button says that takes a way out, "" where the program
// cannot take it.
func wayOutButton(w schedule.WayOut) string {
	switch w.Code {
	case "stay":
		return agreed(w.Asked)
	case "promise":
		return "Promise it later"
	case "smaller":
		return "Order fewer"
	case "chill":
		return "Let it stand in the cold"
	}
	return ""
}

// wayOutPage is where a way out of the kitchen's is taken by hand.
func wayOutPage(w schedule.WayOut) string {
	switch w.Code {
	case "hands", "earlier":
		return "/kitchen#bakers"
	case "oven":
		return "/kitchen#ovens"
	case "mixer":
		return "/kitchen#mixers"
	case "space":
		return "/kitchen#places"
	case "tins", "trays":
		return "/kitchen#tins"
	}
	return ""
}
