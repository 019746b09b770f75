package heat

import "ovenward/schedule/unit"

// Shift warms or cools the whole body by k kelvins, its layers keeping their
// differences, and never beyond what [Field.Step] takes.
func (f *Field) Shift(k unit.Kelvins) {
	for i := range f.n {
		f.t[i] = min(max(f.t[i]+float64(k), -60), 500)
	}
}
