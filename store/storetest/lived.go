package storetest

import (
	"fmt"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/learn"
	"ovenward/store/bundle"
	"ovenward/store/record"
)

// day is the day as it is kept, with all that happened if it is over.
func (p *planned) day(id int64, over bool) bundle.Day {
	made := p.Plan.Made
	d := bundle.Day{Day: record.Day{
		ID: id, Date: made.AddDate(0, 0, 1).Format(time.DateOnly), Name: p.Day.Name, Zone: p.Day.Zone,
		Settings: p.Day.Settings, Orders: p.Day.Orders, Version: 1, Updated: made,
	}}
	d.Plans = []record.Plan{{Day: id, Version: 1, Saved: made, From: p.Day, Plan: p.Plan}}
	if over && id%3 == 0 {
		p.repaired(&d)
	}
	if over {
		p.tapped(&d)
	}
	for i, a := range p.Alerts {
		called(&d, id*1000+int64(i), a, over)
	}
	return d
}

// repaired gives the day as many repairs of its plan as days have.
func (p *planned) repaired(d *bundle.Day) {
	for range repairs {
		d.Version++
		at := p.Plan.Made.Add(time.Duration(d.Version) * time.Hour)
		d.Plans = append(d.Plans, record.Plan{Day: d.ID, Version: d.Version, Saved: at, From: p.Day, Plan: p.Plan})
		d.Repairs = append(d.Repairs, bundle.Repair{Version: d.Version, Base: 1, Key: fmt.Sprintf("accept-%d-%d", d.ID, d.Version)})
	}
}

// tapped says of every task that it was begun and done as planned, and that the
// room was warm.
func (p *planned) tapped(d *bundle.Day) {
	say := func(task string, kind record.TapKind, at time.Time) string {
		id := fmt.Sprintf("tap-%d-%d", d.ID, len(d.Taps))
		d.Taps = append(d.Taps, record.Tap{ID: id, Day: d.ID, Version: d.Version, Task: task, Kind: kind, At: at, Recorded: at})
		return id
	}
	for _, t := range p.Plan.Tasks {
		if len(t.Hands) > 0 {
			say(t.ID, record.Started, t.Start)
			say(t.ID, record.Finished, t.End)
		}
	}
	at := p.Plan.Made.Add(time.Hour)
	id := say("", record.TapKind(schedule.RoomIs), at)
	d.Slips = append(d.Slips, schedule.Slip{ID: id, Kind: schedule.RoomIs, At: at, Of: p.Day.Kitchen.Places[0].Name, Celsius: 23, From: at})
}

// called adds a call: still to come, or rung once and done.
func called(d *bundle.Day, id int64, a schedule.Alert, over bool) {
	c := record.Alert{Alert: a, ID: id, Day: d.ID, Version: d.Version, State: record.Scheduled, Changed: d.Updated, Next: a.Due}
	d.Log = append(d.Log, record.Transition{Alert: id, At: d.Updated, To: record.Scheduled})
	if over {
		done := a.Due.Add(time.Minute)
		d.Log = append(d.Log, record.Transition{Alert: id, At: a.Due, From: record.Scheduled, To: record.Rung},
			record.Transition{Alert: id, At: done, From: record.Rung, To: record.Done})
		c.State, c.Changed, c.Rung, c.Rings, c.Next, c.Heard.Last = record.Done, done, a.Due, 1, time.Time{}, a.Due
	}
	d.Alerts = append(d.Alerts, c)
}

// lesson is what the day's first dough taught.
func (p *planned) lesson(day int64) bundle.Lesson {
	b := p.Plan.Batches[0]
	return bundle.Lesson{Observation: record.Observation{Day: day, Lesson: schedule.Lesson{
		Slip: fmt.Sprintf("tap-%d-0", day), Task: p.Plan.Tasks[0].ID, At: p.Plan.Made, Dough: b.Dough, Name: b.Name,
		Observation: learn.Observation{Day: int(day), Bread: b.Dough, Predicted: 60, Observed: 60 + float64(day%7), SD: 0.1},
	}}}
}
