package view

import (
	"fmt"
	"math"
	"time"

	"ovenward/schedule"
)

// Way names a kind of plan.
func (w Words) Way(k schedule.AlternativeKind) string {
	switch k {
	case schedule.Usual:
		return "Some minutes in hand"
	case schedule.Freshest:
		return "As fresh as can be"
	case schedule.OneDay:
		return "Nothing held cold"
	case schedule.Overnight:
		return "Held in the cold"
	case schedule.Roomier:
		return "More time in hand"
	}
	return upper(string(k))
}

// Chance says in words and figures how often a plan held when it was rehearsed.
func (w Words) Chance(c schedule.Chance) string {
	if c.Draws == 0 {
		return "How likely this is was not looked at."
	}
	return fmt.Sprintf("All promises kept to five minutes: %s (%s of 100 such days); to a quarter of an hour: %s. Every dough acted on inside its window: %s.",
		likely(c.Kept), hundred(c.Kept), hundred(c.Close), hundred(c.Inside))
}

// likely is a chance in the words people use for it; the bounds are common
// practice, no source.
func likely(p float64) string {
	switch {
	case p >= 0.9:
		return "almost always"
	case p >= 0.75:
		return "usually"
	case p >= 0.5:
		return "more often than not"
	case p >= 0.25:
		return "sometimes"
	}
	return "seldom"
}

func hundred(p float64) string { return itoa(int(math.Round(100 * p))) }

// Chills says how often dough is held in the cold.
func (w Words) Chills(n int) string {
	switch n {
	case 0:
		return "No dough is held in the cold."
	case 1:
		return "One rise is held in the cold."
	}
	return fmt.Sprintf("%d rises are held in the cold.", n)
}

func draws(ways []Way) int {
	if len(ways) == 0 {
		return 0
	}
	return ways[0].Chance.Draws
}

// SameTimes reports whether two plans do the same things at the same times, a
// few minutes aside: now moves on while a day is looked at.
func SameTimes(a, b *schedule.Plan) bool {
	if a == nil || b == nil || len(a.Tasks) != len(b.Tasks) {
		return false
	}
	at := map[string]time.Time{}
	for _, t := range a.Tasks {
		at[t.ID] = t.Start
	}
	for _, t := range b.Tasks {
		s, ok := at[t.ID]
		if !ok || len(t.Hands) > 0 && s.Sub(t.Start).Abs() > 5*time.Minute {
			return false
		}
	}
	return true
}

func thumbBox(d Drawing) string {
	return "0 0 " + num(max(1, d.Width)) + " " + num(max(1, d.Height))
}
