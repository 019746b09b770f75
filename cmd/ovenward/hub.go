package main

import (
	"strconv"

	"ovenward/web/live"
)

// hub lets the pages speak to the stream in the few words they need, and has the
// ringer look again when calls may have changed.
type hub struct {
	*live.Hub
	wake func()
}

// Publish tells every open page that something of a day, given by its number,
// has changed.
func (h hub) Publish(name, day string) {
	id, _ := strconv.ParseInt(day, 10, 64) // 0 where it concerns no one day
	switch name {
	case "plan":
		h.Hub.Publish(live.Plan{Day: id})
	case "tap":
		h.Hub.Publish(live.Tap{Day: id})
	default:
		h.Hub.Publish(live.Resync{Reason: name})
	}
	h.wake()
}
