package schedule

import (
	"slices"
	"time"
)

// AlertsFrom lists the calls a repaired plan makes from a moment: [Alerts] without
// heads-ups to what should have begun. The plan before may have had other ones
// there, and they would ring for work long done.
func AlertsFrom(p *Plan, now time.Time) []Alert {
	begun := map[string]bool{}
	for _, t := range p.Tasks {
		begun[t.ID] = t.Start.Before(now)
	}
	return slices.DeleteFunc(Alerts(p), func(a Alert) bool { return a.Kind == CallHeadsUp && begun[a.Task] })
}
