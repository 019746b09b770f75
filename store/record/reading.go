package record

import (
	"time"

	"ovenward/schedule/unit"
)

// Reading is a temperature read off in a place of the kitchen.
type Reading struct {
	ID      string // made by the client, unique: sent twice, kept once
	Place   string // "" = the bench
	At      time.Time
	Minute  int // of the local day
	Celsius unit.Celsius
}
