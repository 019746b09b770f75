package view

import (
	"fmt"
	"time"

	"ovenward/schedule"
)

// Outcome and Time shorten the signatures of components.
type (
	Outcome = schedule.Outcome
	Time    = time.Time
)

func zoomed(path string, z int) string {
	if z == 1 {
		return path
	}
	return fmt.Sprintf("%s?zoom=%d", path, z)
}

func zoomWord(z int) string {
	if z == 1 {
		return "Whole day"
	}
	return fmt.Sprintf("%d×", z)
}

// today reports whether now is in the day's drawing.
func (m *Picture) today() bool {
	n := len(m.Plan.Tasks)
	return n > 0 && !m.Now.Before(m.Plan.Tasks[0].Start) && !m.Now.After(m.Plan.Outcome.WorkEnd)
}

// begun reports whether the day's work has begun.
func (m *Picture) begun() bool {
	return len(m.Done)+len(m.Begun)+len(m.OnIt) > 0 || len(m.Plan.Tasks) > 0 && !m.Now.Before(m.Plan.Outcome.WorkStart)
}

// sign stands before the outcome, beside its words.
func sign(o Outcome) string {
	if o.Kept {
		return "✓"
	}
	return "!"
}

func tableCaption(m Picture) string {
	return fmt.Sprintf("Every stage of %s, in order of time. Times are %s.", m.Plan.Day, m.Plan.Zone)
}
