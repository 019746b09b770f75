package alerts

import "time"

// once is a cron schedule that comes a single time: at its moment, or at once if
// that has passed when cron hears of it.
type once struct {
	at    time.Time
	asked bool
}

// Next gives the moment when first asked, then never.
func (o *once) Next(t time.Time) time.Time {
	if o.asked {
		return time.Time{}
	}
	o.asked = true
	if o.at.Before(t) {
		return t
	}
	return o.at
}
