package simulate

import "ovenward/schedule/rise"

// Point is a dough at one moment of its story, for charts.
type Point struct {
	Minute    float64 `json:"minute"` // of the day's grid
	Mean      float64 `json:"mean"`   // °C
	Core      float64 `json:"core"`   // °C
	Air       float64 `json:"air"`    // °C
	Expansion float64 `json:"expansion"`
	Dose      float64 `json:"dose"` // towards the target
	Gas       float64 `json:"gas"`  // mL made so far per g of flour
}

// Trace is the story of s along a route for so many minutes, a point every so
// many; s itself stays where it is.
func (s State) Trace(route []Leg, minutes, every float64, t rise.Target) []Point {
	if !(every >= 0.1) || !(minutes >= 0) || len(route) == 0 {
		return nil
	}
	minutes = min(minutes, mostWait)
	out := make([]Point, 0, int(minutes/every)+2)
	gone, leg, left := 0.0, 0, route[0].Minutes
	for {
		out = append(out, s.point(route[leg].Air, t))
		if gone >= minutes {
			return out
		}
		to := min(every, minutes-gone)
		for gone += to; leg < len(route)-1 && to >= left; left = route[leg].Minutes {
			s.Wait(route[leg].Air, left)
			to -= max(left, 0)
			leg++
		}
		s.Wait(route[leg].Air, to)
		left -= to
	}
}

func (s *State) point(air *Air, t rise.Target) Point {
	felt, ok := air.at(s.Minute)
	if !ok {
		felt = float64(s.Mean())
	}
	y, k := &s.rise[expected], s.yeast[expected]
	return Point{
		Minute: s.Minute, Mean: float64(s.Mean()), Core: float64(s.Core()), Air: felt,
		Expansion: s.Expansion(), Dose: s.Dose(t.Expansion), Gas: y.GasPerFlour(k),
	}
}
