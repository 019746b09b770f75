package record

import (
	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// Running is a day under way: its newest plan and what has happened since the
// day was last planned anew.
type Running struct {
	Plan
	Since int             // version in which the day was last planned anew
	Base  schedule.Day    // the day the log is of: as it was planned, before the log
	Log   []schedule.Slip // without what was taken back, in order of arrival
	Keys  []string        // of the choices accepted since then
}

// Followed is the plan after what was said, as far as the clock alone decides.
func (r *Running) Followed() *schedule.Plan {
	return schedule.Follow(&r.Plan.From, &r.Plan.Plan, r.Log)
}

// Say gives a tap as something that happened to the day; ok is false for one
// that only answers a call.
func (t Tap) Say() (s schedule.Slip, ok bool) {
	s = schedule.Slip{ID: t.ID, Kind: schedule.SlipKind(t.Kind), At: t.At, Task: t.Task}
	switch s.Kind {
	case schedule.Started, schedule.Done, schedule.Skipped, schedule.Ready, schedule.Over:
	case schedule.NotYet:
		s.Minutes = unit.Minutes(t.Minutes)
	case schedule.WasWarm:
		s.Celsius = unit.Celsius(t.Value)
	case schedule.Volume:
		s.Expansion = t.Value
	default:
		return s, false
	}
	return s, t.Task != ""
}

// Observation is what a sighting taught.
type Observation struct {
	schedule.Lesson
	Day int64 // on which it was seen; it may be gone
}
