package schedule

import "time"

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
}

// AlertKind is what an alert asks for.
type AlertKind string

// The kinds of alert.
const (
	CallStart   AlertKind = "start"    // begin the task
	CallUnload  AlertKind = "unload"   // take the bread out
	CallHeadsUp AlertKind = "heads-up" // the task comes up
	CallPreheat AlertKind = "preheat"  // switch the oven on or over
)
