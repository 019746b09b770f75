package dough

// YeastKind is how baker's yeast is sold. It is written as a word.
type YeastKind string

// The kinds. NoYeast is the zero value: no yeast at all.
const (
	NoYeast    YeastKind = ""
	FreshYeast YeastKind = "fresh"
	ActiveDry  YeastKind = "active-dry"
	Instant    YeastKind = "instant"
)

// Fresh is how much fresh yeast does the work of one part of k.
//
// Instant 1 : fresh 3 is the trade's equivalence. For active dry the trade says
// 2.5 (0.40 of fresh) and published rises fit 2.3, which is used here.
func (k YeastKind) Fresh() float64 {
	switch k {
	case FreshYeast:
		return 1
	case ActiveDry:
		return 2.3
	case Instant:
		return 3
	}
	return 0
}
