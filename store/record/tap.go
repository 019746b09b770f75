package record

import (
	"time"

	"ovenward/schedule"
)

// UndoFor is how long a tap can be taken back.
const UndoFor = 10 * time.Minute

// Tap is what the baker said with one touch at the bench. Where one touch says
// several things, the IDs of the others are that of one, "-" and more, and all
// have one Recorded: an undo of the one takes back all.
type Tap struct {
	ID       string // made by the client, unique: the same tap sent twice counts once
	Day      int64
	Version  int    // of the plan it was made on
	Task     string // task ID
	Kind     TapKind
	Of       string    // Undo: ID of the tap taken back
	At       time.Time // when it happened
	Recorded time.Time // when the program heard of it
	Minutes  int       // NotYet: ask again after; Snooze: silent for
	Value    float64   // what was measured, in the unit of its kind; Snooze: its price in minutes
	Also     []string  // Discard: the tasks that are lost with it, kept as Lost; not given back
	Undone   bool      // set by a later Undo; not given when tapping
}

// TapKind says what was tapped. Kinds without a constant here (lower-case
// letters and hyphens) are kept and touch no call.
type TapKind string

// The kinds that answer calls of their task.
const (
	Ack      TapKind = "ack"     // on it: what rings falls silent
	Started  TapKind = "start"   // begun, loaded: settles all but the call to unload
	Finished TapKind = "done"    // settles every call
	NotYet   TapKind = "not-yet" // the dough needs longer: what rings is put off for Minutes, 0 for some
	Ready    TapKind = "ready"   // the dough is ready: somebody is on it
	Over     TapKind = "over"    // the dough has gone too far: somebody is on it
	Skipped  TapKind = "skip"    // left out: settles every call
	Snooze   TapKind = "snooze"  // not now: what rings is put off for Minutes
	Undo     TapKind = "undo"    // takes back Of, within UndoFor
	Accepted TapKind = "accept"  // a choice was taken: the plan of Version was replaced by it

	// Of a rise: the dough is carried, or knocked back on the way. It settles the
	// call for that alone.
	PutCold  TapKind = "in-cold"
	TakenOut TapKind = "out-of-cold"
	Pressed  TapKind = "pressed"

	// What is said of a call after too far.
	GoOn    TapKind = "anyway"  // bake it anyway
	Reshape TapKind = "reshape" // knock back, shape again
	Discard TapKind = "discard"
	Lost    TapKind = "lost" // what fell away with it: settles every call
	WasFine TapKind = "fine" // it was not too far at all
)

// heeding are the taps that say that what a call wants of a rise, before it is
// over, was done.
var heeding = map[schedule.AlertKind]TapKind{
	schedule.CallFridge: PutCold, schedule.CallOut: TakenOut, schedule.CallPress: Pressed,
}

// Heeding is the tap by which a call to what is done to a rise on its way is
// heeded, "" for any other call.
func Heeding(k schedule.AlertKind) TapKind { return heeding[k] }

// OnTheWay tells the taps that say what was done to a rise before it is over.
func (k TapKind) OnTheWay() bool {
	for _, tap := range heeding {
		if k == tap {
			return true
		}
	}
	return false
}
