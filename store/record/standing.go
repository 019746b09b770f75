package record

import (
	"slices"
	"time"

	"ovenward/schedule"
)

// Standing is a standing order as it is kept.
type Standing struct {
	schedule.Standing
	Name    string // of its bread
	Retired bool   // its bread was deleted, so nothing is made of it
	Saved   time.Time
}

// Coming is a day that was made from the standing orders of its date, as it was
// made.
type Coming struct {
	Date   string // "2026-11-28"; one day a date
	Day    int64  // 0: the baker deleted it
	Name   string
	Zone   string
	Orders []schedule.Order
	// Touched says that the baker has changed the day since, or that something has
	// happened on it: then it is the baker's.
	Touched bool
}

// Unlike reports whether a day is not as it was made.
func (c Coming) Unlike(d Day) bool {
	return d.Name != c.Name || d.Zone != c.Zone || d.Now != "" || d.Settings != (schedule.Settings{}) || d.Room != nil || !slices.Equal(d.Orders, c.Orders)
}
