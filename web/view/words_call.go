package view

import (
	"fmt"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
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
	s := Class(a.ClassAt(now)) + ": " + w.callWhat(a) + ", " + Clock(a.Due, now) + ", " + fromNow(a.Due, now)
	if !a.TooFar.IsZero() {
		s += "; fine until " + Clock(a.TooFar, now)
	}
	if !a.Was.IsZero() && !a.Was.Equal(a.Due) {
		s += " (was " + Clock(a.Was, now) + ")"
	}
	switch {
	case a.State == record.Missed:
		s += ". It could not be rung in time; look at the dough and decide"
	case a.State == record.Past:
		s += ". Nobody has answered; look at the dough and decide"
	case a.State == record.Acked && a.Decision != "":
		s += ". Going on with it"
	case a.State == record.Acked:
		s += ". Somebody is on it"
	case a.State == record.Shelved:
		s += ". Put off until " + Clock(a.Heard.Shelved, now)
	}
	return s + "."
}

// putOff words a snooze with its price.
func putOff(o PutOff) string {
	if o.Price > 0 {
		return fmt.Sprintf("+%d min · %s later out", o.Minutes, o.Price)
	}
	return fmt.Sprintf("+%d min · nothing gets late", o.Minutes)
}

// intoCold words the way into the fridge and its price.
func intoCold(c *Cold, now time.Time) string {
	s := fmt.Sprintf("Fridge · chill from %s for %s", Clock(c.From, now), unit.Minutes(c.To.Sub(c.From).Minutes()))
	if c.Late > 0 {
		return s + fmt.Sprintf(" · %s late", c.Late)
	}
	return s + " · nothing gets late"
}

// decisions are what can be said of a dough past too far.
func (w Words) decisions(a record.Alert) []decision {
	all := []decision{{record.WasFine, "It was fine"}, {record.GoOn, "Go on anyway"}, {record.Reshape, w.Verb(schedule.Shape) + " again"}, {record.Discard, "Throw away"}}
	if a.Kind == schedule.CallUnload { // what has been baked is not shaped again
		return []decision{all[0], all[3]}
	}
	return all
}

type decision struct {
	Kind record.TapKind
	Word string
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
	switch a.Kind {
	case schedule.CallFridge:
		return record.PutCold
	case schedule.CallOut:
		return record.TakenOut
	}
	if a.Stage == schedule.Bake && a.Kind != schedule.CallUnload {
		return record.Started
	}
	return record.Finished
}
