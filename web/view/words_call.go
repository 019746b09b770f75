package view

import (
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// Class says how urgent a call is.
func Class(c schedule.AlertClass) string {
	switch c {
	case schedule.NowOrLost:
		return "Now or lost"
	case schedule.Due:
		return "Due"
	}
	return "Coming up"
}

// Call words an alert: what, when, how long it is still fine, and what the plan
// before said.
func (w Words) Call(a record.Alert, now time.Time) string {
	s := Class(a.Class) + ": " + w.callWhat(a) + ", " + Clock(a.Due, now) + ", " + fromNow(a.Due, now)
	if !a.TooFar.IsZero() {
		s += "; fine until " + Clock(a.TooFar, now)
	}
	if !a.Was.IsZero() && !a.Was.Equal(a.Due) {
		s += " (was " + Clock(a.Was, now) + ")"
	}
	if a.State == record.Missed {
		s += ". It could not be rung in time; look at the dough and decide"
	}
	return s + "."
}

func (w Words) callWhat(a record.Alert) string {
	name := orElse(a.Name, a.Task)
	switch a.Kind {
	case schedule.CallUnload:
		return "take out " + name
	case schedule.CallPreheat:
		return "heat " + name
	case schedule.CallFridge:
		return "put " + name + " into the cold"
	case schedule.CallOut:
		return "take " + name + " out of the cold"
	}
	if a.Stage == schedule.Bake {
		return "load " + name
	}
	return lower(w.Verb(a.Stage)) + " " + name
}

// doneKind is what Done says to a call: a bread that is loaded is not yet out.
func doneKind(a record.Alert) record.TapKind {
	if a.Stage == schedule.Bake && a.Kind != schedule.CallUnload {
		return record.Started
	}
	return record.Finished
}

// latest keeps of the calls of one task the last: what is due no longer comes up.
func latest(calls []record.Alert) []record.Alert {
	last := map[string]int{}
	for i, a := range calls {
		last[a.Task] = i
	}
	var out []record.Alert
	for i, a := range calls {
		if last[a.Task] == i {
			out = append(out, a)
		}
	}
	return out
}

// worst is the most urgent class of the calls nobody has answered.
func worst(calls []record.Alert) string {
	w := ""
	for _, a := range calls {
		if a.State == record.Rung && (w == "" || string(a.Class) < w) {
			w = string(a.Class)
		}
	}
	return w
}

func ringing(calls []record.Alert) (n int) {
	for _, a := range calls {
		if a.State == record.Rung {
			n++
		}
	}
	return n
}
