package record

import (
	"time"

	"ovenward/schedule"
)

// Day is a day as it is kept: what is particular to it. Breads and kitchen are
// kept once, for all days.
type Day struct {
	ID   int64
	Date string // "2026-11-28", local date of the first promise; without orders, as given
	Name string
	Zone string // IANA name
	// Example marks an invented day, shown as such. Saving a day never changes it.
	Example bool
	// Now fixes the day's now: a rehearsal, of which nothing rings. "" is the clock.
	Now      schedule.Wall
	Settings schedule.Settings
	Room     []schedule.Reading // the bench's temperature on this day; nil = the kitchen's
	Orders   []schedule.Order
	Version  int       // of its newest plan; 0 = none yet. Saving a day never changes it.
	Updated  time.Time // UTC
}
