package view

import (
	"fmt"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
)

// Call words an alert: what, when, how long it is still fine, and what the plan
// before said.
func (w Words) Call(a record.Alert, now time.Time) string {
	s := callHead(a, now) + ": " + w.callWhat(a) + ", " + callWhen(a, now)
	if !a.TooFar.IsZero() && now.Before(a.TooFar) {
		s += "; fine until " + Clock(a.TooFar, now)
	} else if !a.TooFar.IsZero() {
		s += "; was fine until " + Clock(a.TooFar, now)
	}
	if was := begins(a, a.Was); !a.Was.IsZero() && !a.Was.Equal(a.Due) {
		s += " (was " + Clock(was, now) + ")"
	}
	of := "dough"
	if a.Kind == schedule.CallUnload {
		of = "bread"
	}
	switch {
	case a.State == record.Missed:
		s += ". It could not be rung in time; look at the " + of + " and decide"
	case a.State == record.Past:
		s += ". Nobody has answered; look at the " + of + " and decide"
	case a.State == record.Acked && a.Decision != "":
		s += ". Going on with it"
	case a.State == record.Acked:
		s += ". Somebody is on it"
	case a.State == record.Shelved && a.Reason == record.Waiting:
		s += ". Not yet; look again at " + Clock(a.Heard.Shelved, now)
	case a.State == record.Shelved:
		s += ". Put off until " + Clock(a.Heard.Shelved, now)
	}
	return s + "."
}

// callHead says how urgent a call is. What is lost is not urgent any more, and
// an oven to be lit by now does not come up any more.
func callHead(a record.Alert, now time.Time) string {
	switch {
	case a.Step(now) == schedule.Lost && a.Kind == schedule.CallUnload:
		return "Over its time"
	case a.Step(now) == schedule.Lost:
		return "Too far"
	case a.ClassAt(now) == schedule.NowOrLost:
		return "Now or lost"
	case a.Class == schedule.Due, a.Kind == schedule.CallPreheat && !now.Before(a.Due):
		return "Due"
	}
	return "Coming up"
}

// callWhen says when what is called for is due, or was. Only what nobody does is
// late: neither a word ahead nor what somebody is on.
func callWhen(a record.Alert, now time.Time) string {
	at := begins(a, a.Due)
	s := Clock(at, now) + ", "
	gone := now.Sub(at).Round(time.Minute)
	answered := a.State == record.Acked || a.Step(now) == schedule.Lost
	if gone > 0 && (answered || a.Class == schedule.HeadsUp) {
		return s + ago(int(gone.Minutes()))
	}
	return s + fromNow(at, now)
}

// begins is when the work of a call begins that is due at some time: a heads-up
// comes before it.
func begins(a record.Alert, due time.Time) time.Time {
	if a.Kind == schedule.CallHeadsUp {
		return due.Add(schedule.HeadsUpLead)
	}
	return due
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

// ThrownAway says what becomes of a dough that is thrown away, and of its order.
const ThrownAway = "Thrown away: what was still to be done to that dough is not called any more. Say what is to become of its orders."

// AndMore says of one tap that it answered more than it names.
func AndMore(what string, n int) string {
	if n == 0 {
		return what
	}
	return fmt.Sprintf("%s and %d more", what, n)
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
	case schedule.CallPress:
		return w.Knock() + " " + name
	}
	if a.Stage == schedule.Bake {
		return "load " + name
	}
	return lower(w.Verb(a.Stage)) + " " + name
}

// doneKind is what Done says to a call: a bread that is loaded is not yet out.
func doneKind(a record.Alert) record.TapKind {
	if k := record.Heeding(a.Kind); k != "" {
		return k
	}
	if a.Stage == schedule.Bake && a.Kind != schedule.CallUnload {
		return record.Started
	}
	return record.Finished
}
