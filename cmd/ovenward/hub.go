package main

import "ovenward/web/live"

// hub has the ringer look again whenever the pages publish something: calls may
// have changed.
type hub struct {
	*live.Hub
	wake func()
}

// Publish tells every open page, and wakes the ringer.
func (h hub) Publish(e live.Event) {
	h.Hub.Publish(e)
	h.wake()
}
