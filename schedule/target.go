package schedule

import (
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
)

// Ratio is the expansion a target stands for, true volume against the dough
// just mixed; 0 for an unknown word. What the words mean is told, with sources,
// in package rise.
func (t Target) Ratio() float64 {
	if t.Expansion > 0 {
		return t.Expansion
	}
	switch t.Word {
	case Doubled, TinFull:
		return rise.DoubledByEye
	case HalfMore:
		return rise.LeanFolded
	case Recedes:
		return rise.Recedes
	case ThreeQuarters:
		return rise.FreeStood
	case WellRisen, Ripe:
		return rise.FreeNoSteam
	}
	return 0
}

// goal is what the simulation waits for in a rise of this stage.
func (s Stage) goal(narrow, inTin bool) simulate.Target {
	stage := rise.Bulk
	if s.Kind == Proof {
		stage = rise.FreeStanding
		if inTin {
			stage = rise.InTin
		}
	}
	return simulate.Target{Target: rise.Target{
		Expansion: s.Until.Ratio(),
		Stage:     stage,
		Narrow:    narrow,
	}}
}
