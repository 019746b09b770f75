package schedule

import (
	"time"

	"ovenward/schedule/unit"
)

// SlipKind says what happened.
type SlipKind string

// What happens to a day. Of the kinds with a Task, those below "seen" are of a
// rise or of a dough just mixed.
const (
	Started SlipKind = "start"   // a task was begun
	Done    SlipKind = "done"    // a task is finished; of a rise: the next work is begun
	Skipped SlipKind = "skip"    // a task is left out
	NotYet  SlipKind = "not-yet" // it needs Minutes more, 0 for some

	DoughLost SlipKind = "dough-lost" // the dough of the task is thrown away

	Ready   SlipKind = "ready"       // seen: the dough is ready
	Over    SlipKind = "over"        // seen: the dough has gone too far
	WasWarm SlipKind = "temperature" // seen: Celsius in the middle of the dough
	Volume  SlipKind = "volume"      // seen: Expansion against the dough just mixed

	RoomIs   SlipKind = "place"     // the place Of has Celsius, and so on from here
	OvenOut  SlipKind = "oven-out"  // the oven Of cannot be used From..To
	OvenSlow SlipKind = "oven-slow" // the oven Of heats at Share of its pace
	Away     SlipKind = "away"      // the person Of is not there From..To
	Stays    SlipKind = "stays"     // the person Of is there From..To, beyond the hours
	AsUsual  SlipKind = "usual"     // the person Of keeps the hours again, from At on: neither away nor there beyond them

	OrderAdded   SlipKind = "order-add"   // New comes in
	OrderRaised  SlipKind = "order-raise" // the order at Order is for Pieces in all
	OrderLowered SlipKind = "order-lower" // the order at Order is for Pieces only
	OrderLater   SlipKind = "order-later" // the order at Order is promised for To
	OrderDropped SlipKind = "order-drop"  // the order at Order is not wanted any more
)

// sighting says whether a slip tells how a dough is.
func (k SlipKind) sighting() bool {
	switch k {
	case NotYet, Ready, Over, WasWarm, Volume:
		return true
	}
	return false
}

// Slip is something that happened, or was seen, on the day: one entry of its
// log. A log is the whole day's: what led to the plan at hand stays in it.
type Slip struct {
	ID   string    `json:"id"`
	Kind SlipKind  `json:"kind"`
	At   time.Time `json:"at"`             // when it happened, not when it was entered
	Task string    `json:"task,omitempty"` // ID of a task
	Of   string    `json:"of,omitempty"`   // name of a person, oven or place

	Minutes   unit.Minutes `json:"minutes,omitempty"`
	Celsius   unit.Celsius `json:"celsius,omitempty"`
	Expansion float64      `json:"expansion,omitempty"`
	Share     float64      `json:"share,omitempty"`
	From      time.Time    `json:"from,omitzero"` // zero: At
	To        time.Time    `json:"to,omitzero"`   // zero: the rest of the day; of OrderLater: the promise
	Order     int          `json:"order,omitempty"`
	Pieces    int          `json:"pieces,omitempty"`
	New       *Order       `json:"new,omitempty"`
}
