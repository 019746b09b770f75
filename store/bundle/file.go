package bundle

import (
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/learn"
	"ovenward/schedule/unit"
	"ovenward/store/record"
)

// The shapes of the file. Records are written out field by field, so that the
// file stays what it is when they change.
type (
	file struct {
		Format   string              `json:"format"`
		Made     time.Time           `json:"made"`
		Kitchen  *Kitchen            `json:"kitchen"`
		Bases    []Base              `json:"bases"`
		Breads   []Bread             `json:"breads"`
		Days     []day               `json:"days"`
		Settings []Setting           `json:"settings"`
		Learned  []lesson            `json:"learned,omitempty"`
		Standing []schedule.Standing `json:"standing,omitempty"`
		Foods    dough.Library       `json:"foods,omitempty"`
		Comings  []Coming            `json:"comings,omitempty"`
		Readings []Reading           `json:"readings,omitempty"`
	}
	day struct {
		ID       int64              `json:"id"`
		Date     string             `json:"date"`
		Name     string             `json:"name"`
		Zone     string             `json:"zone"`
		Example  bool               `json:"example,omitempty"`
		Now      schedule.Wall      `json:"now,omitempty"`
		Settings schedule.Settings  `json:"settings,omitzero"`
		Room     []schedule.Reading `json:"room"` // null = the kitchen's
		Orders   []schedule.Order   `json:"orders"`
		Version  int                `json:"version"`
		Updated  time.Time          `json:"updated"`
		Plans    []plan             `json:"plans,omitempty"`
		Taps     []tap              `json:"taps,omitempty"`
		Alerts   []alert            `json:"alerts,omitempty"`
		Log      []transition       `json:"log,omitempty"`
		Slips    []schedule.Slip    `json:"slips,omitempty"`
		Repairs  []Repair           `json:"repairs,omitempty"`
	}
	plan struct {
		Version int           `json:"version"`
		Saved   time.Time     `json:"saved"`
		From    schedule.Day  `json:"from"`
		Plan    schedule.Plan `json:"plan"`
	}
	tap struct { // whether it was undone is told by the undo
		ID       string         `json:"id"`
		Version  int            `json:"version"`
		Task     string         `json:"task"`
		Kind     record.TapKind `json:"kind"`
		Of       string         `json:"of,omitempty"`
		At       time.Time      `json:"at"`
		Recorded time.Time      `json:"recorded"`
		Minutes  int            `json:"minutes,omitempty"`
		Value    float64        `json:"value,omitempty"`
	}
	alert struct {
		ID      int64               `json:"id"`
		Version int                 `json:"version"`
		Task    string              `json:"task"`
		Kind    schedule.AlertKind  `json:"kind"`
		Class   schedule.AlertClass `json:"class"`
		Due     time.Time           `json:"due"`
		TooFar  time.Time           `json:"too_far,omitzero"`
		Baker   string              `json:"baker,omitempty"`
		Name    string              `json:"name,omitempty"`
		Stage   schedule.StageKind  `json:"stage"`
		State   record.AlertState   `json:"state"`
		Reason  record.Reason       `json:"reason,omitempty"`
		Was     time.Time           `json:"was,omitzero"`
		Rung    time.Time           `json:"rung,omitzero"`
		Changed time.Time           `json:"changed"`

		Place    string         `json:"place,omitempty"`
		Takes    unit.Minutes   `json:"takes_min,omitempty"`
		Rings    int            `json:"rings,omitempty"`
		Last     time.Time      `json:"last,omitzero"`
		Next     time.Time      `json:"next,omitzero"`
		Acked    time.Time      `json:"acked,omitzero"`
		Shelved  time.Time      `json:"shelved,omitzero"`
		Snoozes  int            `json:"snoozes,omitempty"`
		Decision record.TapKind `json:"decision,omitempty"`
	}
	transition struct {
		Alert  int64             `json:"alert"`
		At     time.Time         `json:"at"`
		From   record.AlertState `json:"from,omitempty"`
		To     record.AlertState `json:"to"`
		Reason record.Reason     `json:"reason,omitempty"`
		Tap    string            `json:"tap,omitempty"`
	}
	lesson struct {
		Tap       string            `json:"tap"`
		Day       int64             `json:"day,omitempty"`
		Task      string            `json:"task"`
		At        time.Time         `json:"at"`
		Dough     string            `json:"dough"`
		Name      string            `json:"name,omitempty"`
		Seen      learn.Observation `json:"seen"`
		Forgotten bool              `json:"forgotten,omitempty"`
	}
)

func fileOf(b *Bundle) file {
	return file{Format, b.Made.UTC(), b.Kitchen, b.Bases, b.Breads, each(b.Days, dayOf), b.Settings, each(b.Learned, lessonOf), b.Standing, b.Foods, b.Comings, each(b.Readings, Reading.utc)}
}

// bundle is all but the days.
func (f *file) bundle() *Bundle {
	return &Bundle{Made: f.Made.UTC(), Kitchen: f.Kitchen, Bases: f.Bases, Breads: f.Breads, Settings: f.Settings, Learned: each(f.Learned, lesson.record),
		Standing: f.Standing, Foods: f.Foods, Comings: f.Comings, Readings: each(f.Readings, Reading.utc)}
}

func dayOf(d Day) day {
	return day{
		d.ID, d.Date, d.Name, d.Zone, d.Example, d.Now, d.Settings, d.Room, d.Orders, d.Version, d.Updated.UTC(),
		each(d.Plans, func(p record.Plan) plan { return plan{p.Version, p.Saved.UTC(), p.From, p.Plan} }),
		each(d.Taps, func(t record.Tap) tap {
			return tap{t.ID, t.Version, t.Task, t.Kind, t.Of, t.At.UTC(), t.Recorded.UTC(), t.Minutes, t.Value}
		}),
		each(d.Alerts, alertOf),
		each(d.Log, func(t record.Transition) transition {
			return transition{t.Alert, t.At.UTC(), t.From, t.To, t.Reason, t.Tap}
		}),
		each(d.Slips, inUTC), d.Repairs,
	}
}

func alertOf(a record.Alert) alert {
	return alert{
		a.ID, a.Version, a.Task, a.Kind, a.Class, a.Due.UTC(), a.TooFar.UTC(), a.Baker, a.Name, a.Stage,
		a.State, a.Reason, a.Was.UTC(), a.Rung.UTC(), a.Changed.UTC(),
		a.Place, a.Takes, a.Rings, a.Heard.Last.UTC(), a.Next.UTC(), a.Heard.Acked.UTC(), a.Heard.Shelved.UTC(), a.Heard.Snoozes, a.Decision,
	}
}

func lessonOf(l Lesson) lesson {
	return lesson{l.Slip, l.Observation.Day, l.Task, l.At.UTC(), l.Dough, l.Name, l.Lesson.Observation, l.Forgotten}
}

func (l lesson) record() Lesson {
	return Lesson{record.Observation{Day: l.Day, Lesson: schedule.Lesson{
		Slip: l.Tap, Task: l.Task, At: l.At.UTC(), Dough: l.Dough, Name: l.Name, Observation: l.Seen}}, l.Forgotten}
}

func (r Reading) utc() Reading {
	r.At = r.At.UTC()
	return r
}

func inUTC(s schedule.Slip) schedule.Slip {
	schedule.Relocate(&s, time.UTC)
	return s
}

// record gives the day back with instants in its zone.
func (d day) record(z zones) Day {
	loc, _ := z.in(d.Zone)
	undone := map[string]bool{}
	for _, t := range d.Taps {
		undone[t.Of] = true
	}
	return Day{
		record.Day{ID: d.ID, Date: d.Date, Name: d.Name, Zone: d.Zone, Example: d.Example, Now: d.Now, Settings: d.Settings,
			Room: d.Room, Orders: d.Orders, Version: d.Version, Updated: d.Updated.UTC()},
		each(d.Plans, func(p plan) record.Plan { return p.record(d.ID, z) }),
		each(d.Taps, func(t tap) record.Tap {
			return record.Tap{ID: t.ID, Day: d.ID, Version: t.Version, Task: t.Task, Kind: t.Kind, Of: t.Of,
				At: t.At.UTC(), Recorded: t.Recorded.UTC(), Minutes: t.Minutes, Value: t.Value, Undone: undone[t.ID]}
		}),
		each(d.Alerts, func(a alert) record.Alert { return a.record(d.ID, loc) }),
		each(d.Log, func(t transition) record.Transition {
			return record.Transition{Alert: t.Alert, At: t.At.UTC(), From: t.From, To: t.To, Reason: t.Reason, Tap: t.Tap}
		}),
		each(d.Slips, inUTC), d.Repairs,
	}
}

func (p plan) record(day int64, z zones) record.Plan {
	loc, _ := z.in(p.Plan.Zone)
	r := record.Plan{Day: day, Version: p.Version, Saved: p.Saved, From: p.From, Plan: p.Plan}
	schedule.Relocate(&r.Saved, loc)
	schedule.Relocate(&r.Plan, loc)
	return r
}

func (a alert) record(day int64, loc *time.Location) record.Alert {
	r := record.Alert{
		Alert: schedule.Alert{Task: a.Task, Kind: a.Kind, Class: a.Class, Due: a.Due, TooFar: a.TooFar, Baker: a.Baker, Place: a.Place, Takes: a.Takes},
		ID:    a.ID, Day: day, Version: a.Version, Name: a.Name, Stage: a.Stage,
		State: a.State, Reason: a.Reason, Was: a.Was, Rung: a.Rung, Changed: a.Changed,
		Rings: a.Rings, Next: a.Next, Decision: a.Decision,
		Heard: schedule.Heard{Last: a.Last, Acked: a.Acked, Shelved: a.Shelved, Snoozes: a.Snoozes},
	}
	schedule.Relocate(&r, loc)
	return r
}

// each maps a list; none stays none.
func each[A, B any](as []A, f func(A) B) []B {
	if as == nil {
		return nil
	}
	bs := make([]B, len(as))
	for i, a := range as {
		bs[i] = f(a)
	}
	return bs
}
