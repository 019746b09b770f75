package record

import (
	"time"

	"ovenward/schedule"
)

// Alert is a call of a plan and what became of it. Instants are in the day's
// zone; zero means not (yet).
type Alert struct {
	schedule.Alert
	ID      int64
	Day     int64
	Version int                // plan that first had it
	Name    string             // of the dough or bread
	Stage   schedule.StageKind // of the task
	State   AlertState
	Reason  Reason    // of Suppressed; Moved also of Scheduled
	Was     time.Time // when it was due before it moved
	Changed time.Time // when it came into State

	Rung     time.Time      // first
	Rings    int            // so far
	Heard    schedule.Heard // what its next ring follows from
	Next     time.Time      // ring; zero = silent
	Decision TapKind        // what was said of it after too far; "" = nothing
}

// AlertState is how far a call has got.
type AlertState string

// The states. A call goes Scheduled → Rung → Acked → Done; Done may come from
// any other. Past and Missed stand until something is said of them.
const (
	Scheduled  AlertState = "scheduled"
	Rung       AlertState = "due"        // it rings and nobody has answered
	Acked      AlertState = "acked"      // "on it"
	Shelved    AlertState = "shelved"    // put off
	Done       AlertState = "done"       //
	Suppressed AlertState = "suppressed" // it shall not ring, for a Reason
	Missed     AlertState = "missed"     // too far had passed when it could first be rung
	Past       AlertState = "past"       // too far passed and nobody had answered
)

// Reason says why a call is in its state.
type Reason string

// The reasons.
const (
	Moved   Reason = "moved"   // the next plan has it at another time; of Scheduled: so has what was said
	Dropped Reason = "dropped" // the next plan does not have it
	Waiting Reason = "not-yet" // of Shelved: the baker said so
	Called  Reason = "called"  // a heads-up whose task itself is called
	Decided Reason = "decided" // after too far, see Decision
	Again   Reason = "again"   // in a Transition to the same state: it rang once more
)

// Transition is one step in the life of a call, or one more ring of it.
type Transition struct {
	Alert    int64
	At       time.Time  // UTC
	From, To AlertState // From is "" for a new call
	Reason   Reason
	Tap      string // ID of the tap that did it, "" for the clock or a plan
}
