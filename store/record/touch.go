package record

import (
	"strings"
	"time"
)

// Touch is what was said with one touch: a tap and those named after it.
type Touch struct {
	Tap
	With []Tap
}

// With says whether another tap was said with the same touch and is named after
// this one.
func (t Tap) With(o Tap) bool {
	return o.Day == t.Day && o.Recorded.Equal(t.Recorded) && strings.HasPrefix(o.ID, t.ID+"-")
}

// Touches puts the taps of a day that stand together, one touch each, in order of
// arrival of the tap the others are named after. Undos, and what they took back,
// are left out.
func Touches(taps []Tap) []Touch {
	var standing []Tap
	for _, t := range taps {
		if t.Kind != Undo && !t.Undone {
			standing = append(standing, t)
		}
	}
	var out []Touch
	for i, t := range standing {
		x, first := Touch{Tap: t}, true
		for k, o := range standing {
			switch {
			case k == i:
			case o.With(t):
				first = false
			case t.With(o):
				x.With = append(x.With, o)
			}
		}
		if first {
			out = append(out, x)
		}
	}
	return out
}

// Left is for how long a tap can still be taken back; zero or less: no more.
func (t Tap) Left(now time.Time) time.Duration { return t.Recorded.Add(UndoFor).Sub(now) }
