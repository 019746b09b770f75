package alerts

import (
	"time"

	"ovenward/store/record"
	"ovenward/web/live"
)

// event tells of calls, given by time, as one. It is a catch-up if one is older
// than the ringer's beat lets happen while it is awake.
func event(calls []record.Alert, now time.Time) live.Alert {
	e := live.Alert{
		Now:     now.UnixMilli(),
		CatchUp: now.Sub(calls[0].Due) > beat,
		Class:   string(calls[0].Class),
	}
	for _, a := range calls {
		e.Class = min(e.Class, string(a.Class)) // "A" is the most urgent
		c := live.Call{
			ID: a.ID, Day: a.Day, Task: a.Task, Kind: string(a.Kind), Name: a.Name, Stage: string(a.Stage),
			Class: string(a.Class), Baker: a.Baker, Due: a.Due.UnixMilli(), Missed: a.State == record.Missed,
		}
		if !a.TooFar.IsZero() {
			c.TooFar = a.TooFar.UnixMilli()
		}
		e.Calls = append(e.Calls, c)
	}
	return e
}
