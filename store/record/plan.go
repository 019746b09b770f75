package record

import (
	"time"

	"ovenward/schedule"
)

// Plan is a plan as it was accepted, with the day it was made from: breads and
// kitchen may change afterwards, what was planned does not.
type Plan struct {
	Day     int64
	Version int // 1, 2, ... within the day
	Saved   time.Time
	From    schedule.Day
	Plan    schedule.Plan // instants in the day's zone
}
