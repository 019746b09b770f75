package bundle

import (
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
	"ovenward/store/record"
)

// Format names the version of the file.
const Format = "ovenward-bundle/1"

// Bundle is everything that is remembered.
type Bundle struct {
	Made     time.Time           // when it was put together, UTC
	Kitchen  *Kitchen            // nil = none entered yet
	Bases    []Base              // by ID
	Breads   []Bread             // by ID
	Days     []Day               // by ID
	Settings []Setting           // by key
	Learned  []Lesson            // by time
	Standing []schedule.Standing // by ID
	Foods    dough.Library       // the baker's own, by ID
	Comings  []Coming            // by date
	Readings []Reading           // by time
}

// Kitchen is the kitchen as it is kept.
type Kitchen struct {
	schedule.Kitchen
	Example bool `json:"example,omitempty"` // invented, shown as such
}

// Base is a base dough as it is kept.
type Base struct {
	schedule.Base
	Example bool `json:"example,omitempty"`
	Retired bool `json:"retired,omitempty"` // deleted, kept for past days
}

// Bread is a bread as it is kept.
type Bread struct {
	schedule.Bread
	Example bool `json:"example,omitempty"`
	Retired bool `json:"retired,omitempty"`
}

// Day is a day with all that happened in it. The IDs of days and alerts hold
// within the bundle; whoever takes it in may give others.
type Day struct {
	record.Day
	Plans  []record.Plan       // by version
	Taps   []record.Tap        // in the order they came in
	Alerts []record.Alert      // by ID
	Log    []record.Transition // in the order they happened

	Slips   []schedule.Slip // what taps said in more than their own words; the ID is the tap's
	Repairs []Repair        // by version
}

// Repair tells that a plan repairs an earlier one.
type Repair struct {
	Version int    `json:"version"` // of the plan
	Base    int    `json:"base"`    // version last made anew
	Key     string `json:"key"`     // under which it was accepted
}

// Coming is a date whose day was made from standing orders, as it was made. Its
// day is one of the bundle, 0 if the baker deleted it.
type Coming struct {
	Date   string           `json:"date"`
	Day    int64            `json:"day,omitempty"`
	Name   string           `json:"name"`
	Zone   string           `json:"zone"`
	Orders []schedule.Order `json:"orders"`
}

// Lesson is what a sighting taught. Its day is one of the bundle, 0 if that is
// gone.
type Lesson struct {
	record.Observation
	Forgotten bool
}

// Reading is a temperature that was read in a place.
type Reading struct {
	ID      string       `json:"id"`
	Place   string       `json:"place,omitempty"` // "" = the bench
	At      time.Time    `json:"at"`
	Minute  int          `json:"minute"` // of the local day
	Celsius unit.Celsius `json:"celsius"`
}

// Setting is one choice.
type Setting struct {
	Key   string `json:"key"`
	Value string `json:"value"`
}
