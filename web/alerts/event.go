package alerts

import (
	"cmp"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/live"
)

// listed is how many calls an event lists; the pages load the rest.
const listed = 6

// event tells of calls as one. It is a catch-up if one is older than the ringer's
// beat lets happen while it is awake; asleep says that it was not.
func event(calls []record.Alert, now time.Time, asleep bool) live.Alert {
	e := live.Alert{Now: now.UnixMilli(), Class: string(schedule.HeadsUp)}
	for _, a := range calls {
		class := string(a.ClassAt(now))
		e.Class = min(e.Class, class) // "A" is the most urgent
		e.CatchUp = e.CatchUp || now.Sub(a.Due) > beat && (asleep || a.Rings == 1)
		e.Everywhere = e.Everywhere || class == string(schedule.NowOrLost) || a.Step(now) >= schedule.Pressing
		c := live.Call{
			ID: a.ID, Day: a.Day, Task: a.Task, Kind: string(a.Kind), Name: a.Name, Stage: string(a.Stage),
			Class: class, State: string(a.State), Ring: a.Rings, Baker: a.Baker, Due: a.Due.UnixMilli(),
		}
		if !a.TooFar.IsZero() {
			c.TooFar = a.TooFar.UnixMilli()
		}
		e.Calls = append(e.Calls, c)
	}
	slices.SortStableFunc(e.Calls, func(a, b live.Call) int { return cmp.Compare(a.Class, b.Class) })
	e.More = max(len(e.Calls)-listed, 0)
	e.Calls = e.Calls[:len(e.Calls)-e.More]
	return e
}
