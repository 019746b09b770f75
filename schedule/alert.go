package schedule

import (
	"cmp"
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// AlertClass is how urgent a call is, computed from consequence and time left,
// never chosen.
type AlertClass string

// The classes.
const (
	NowOrLost AlertClass = "A" // bread in the oven, dough about to go too far
	Due       AlertClass = "B" // a task to do
	HeadsUp   AlertClass = "C" // something comes up
)

// Alert is one call to the baker that a plan has.
type Alert struct {
	Task  string     `json:"task"`  // task ID; with Kind it is unique in a plan
	Kind  AlertKind  `json:"kind"`  // what for
	Class AlertClass `json:"class"` // how urgent when it falls due
	Due   time.Time  `json:"due"`
	// TooFar is the last moment at which acting still helps; zero = no limit.
	TooFar time.Time `json:"too_far,omitzero"`
	Baker  string    `json:"baker,omitempty"`
	Place  string    `json:"place,omitempty"` // the oven; "" = the bench
	// Takes is how long the hands are needed.
	Takes unit.Minutes `json:"takes_min,omitempty"`
}

// AlertKind is what an alert asks for.
type AlertKind string

// The kinds of alert.
const (
	CallStart   AlertKind = "start"    // begin the task
	CallUnload  AlertKind = "unload"   // take the bread out
	CallHeadsUp AlertKind = "heads-up" // the task comes up
	CallPreheat AlertKind = "preheat"  // switch the oven on or over
	CallFridge  AlertKind = "fridge"   // put the dough into the cold
	CallOut     AlertKind = "take-out" // take it out again
	CallPress   AlertKind = "press"    // knock the dough back, to rise once more
)

// HeadsUpLead is how long before its task a heads-up comes.
const HeadsUpLead = 10 * time.Minute

const (
	longPause = 45 * time.Minute // after which a heads-up is worth it
	// nowWithin is the slack below which missing a call loses the dough.
	nowWithin = 5 * time.Minute
)

// Alerts lists the calls a plan makes, by time: one for every task of hands, one
// to unload every bake, one to light the oven, those to what is done to a rise on
// its way, and a heads-up after every long pause.
func Alerts(p *Plan) []Alert {
	var out []Alert
	busy := map[string]time.Time{} // by baker: end of the last work
	for _, t := range p.Tasks {
		out = append(out, t.OnTheWay()...)
		switch {
		case t.Kind == Preheat:
			out = append(out, Alert{Task: t.ID, Kind: CallPreheat, Class: HeadsUp, Due: t.Start, Place: t.Oven})
			continue
		case len(t.Hands) == 0:
			continue
		}
		start := t.call(CallStart, t.Hands[0])
		if last, known := busy[start.Baker]; !known || t.Start.Sub(last) >= longPause {
			out = append(out, Alert{Task: t.ID, Kind: CallHeadsUp, Class: HeadsUp, Due: t.Start.Add(-HeadsUpLead), Baker: start.Baker, Place: t.Oven})
		}
		out = append(out, start)
		for _, h := range t.Hands {
			busy[h.Baker] = h.To
		}
		if t.Kind == Bake && len(t.Hands) > 1 {
			out = append(out, t.call(CallUnload, t.Hands[1]))
		}
	}
	slices.SortStableFunc(out, func(a, b Alert) int {
		return cmp.Or(a.Due.Compare(b.Due), cmp.Compare(a.Task, b.Task), cmp.Compare(a.Kind, b.Kind))
	})
	return out
}

// OnTheWay are the calls to what is done to a rise before it is over.
func (t *Task) OnTheWay() []Alert {
	r := t.Rescue
	if r == nil {
		return nil
	}
	call := func(kind AlertKind, at time.Time) Alert { return Alert{Task: t.ID, Kind: kind, Class: Due, Due: at} }
	switch r.Kind {
	case ChillAWhile:
		return []Alert{call(CallFridge, r.From), call(CallOut, r.To)}
	case FinishWarm:
		return []Alert{call(CallOut, r.From)}
	case ColdLater:
		return []Alert{call(CallFridge, r.To)}
	}
	return []Alert{call(CallPress, r.From)}
}

// call is the alert of a task for a pair of hands: how urgent follows from what
// is lost and how soon.
func (t *Task) call(kind AlertKind, h Hands) Alert {
	a := Alert{Task: t.ID, Kind: kind, Class: Due, Due: h.From, Baker: h.Baker, Place: t.Oven, Takes: unit.Minutes(h.To.Sub(h.From).Minutes())}
	if kind == CallUnload { // bread in the oven does not wait
		a.Class, a.TooFar = NowOrLost, h.From.Add(nowWithin)
		return a
	}
	if t.TooFar != nil {
		a.TooFar = *t.TooFar
		if t.TooFar.Sub(h.From) <= nowWithin {
			a.Class = NowOrLost
		}
	}
	return a
}
