package simulate

import "ovenward/schedule/unit"

// Probe corrects the dough's warmth by what a thermometer in its middle shows:
// the whole dough is moved by the difference, skin and core alike.
func (s *State) Probe(core unit.Celsius) {
	s.field.Shift(unit.Kelvins(core - s.Core()))
	s.measure(curves)
	s.grow()
}
