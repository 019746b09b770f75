package schedule

import "math"

// FoldMinutes is how long hands are at one fold inside a rise.
const FoldMinutes = 2

// foldCount is how many folds there are inside a rise.
func (s Stage) foldCount() int { return len(s.Folds) + len(s.FoldTimes) }

// foldAfter is how many minutes after the fold before it, or after the rise
// began, fold i of a rise folded at times begins.
func (s Stage) foldAfter(i int) int {
	at := func(i int) int { return wholeMinutes(float64(s.FoldTimes[i])) }
	if i == 0 {
		return at(0)
	}
	return at(i) - at(i-1) - FoldMinutes
}

// Duration is how many minutes a stage with a length of its own takes for so
// many pieces, rounded up: work its minutes and seconds per piece, a bake the
// sum of its steps. Rises and waits last as the dough and the plan want and
// give 0.
func (s Stage) Duration(pieces int) int {
	var m float64
	switch {
	case s.Kind.Work():
		m = float64(s.Minutes) + s.PerPiece*float64(pieces)/60
	case s.Kind == Bake:
		for _, step := range s.Steps {
			m += float64(step.Minutes)
		}
	}
	return wholeMinutes(m)
}

// wholeMinutes rounds up, but not for the last bit of a sum: 2 min and 10 times
// 6 s are 3 min.
func wholeMinutes(m float64) int { return int(math.Ceil(m - 1e-9)) }
