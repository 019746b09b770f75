package bundle_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/learn"
	"ovenward/schedule/unit"
	"ovenward/store/bundle"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

func encode(t testing.TB, b *bundle.Bundle) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := bundle.Encode(&out, b); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func decode(t testing.TB, data []byte) *bundle.Bundle {
	t.Helper()
	b, err := bundle.Decode("all.json", data)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// sample is an invented bakery small enough to read: a bread from a base, one
// retired, a day planned twice, with a tap taken back.
func sample() *bundle.Bundle {
	loc, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		panic(err)
	}
	at := func(h, m int) time.Time { return time.Date(2026, 7, 4, h, m, 0, 0, loc) }
	utc := func(h, m int) time.Time { return at(h, m).UTC() }
	formula := dough.Formula{Ingredients: []dough.Ingredient{{Food: "bread-flour", Percent: 100}, {Food: "water", Percent: 62.5}, {Food: "instant-yeast", Percent: 1}}}
	base := schedule.Base{ID: "sweet", Name: "Sweet dough", Formula: formula, Method: []schedule.Stage{
		{Kind: schedule.Mix, Minutes: 12}, {Kind: schedule.Rise, Until: schedule.Target{Word: schedule.Doubled}}}}
	bun := schedule.Bread{ID: "bun", Name: "Bun", Base: "sweet", Formula: dough.Formula{Ingredients: []dough.Ingredient{}}, Piece: 85, PerTray: 12, Loss: 11.5,
		Method: []schedule.Stage{{Kind: schedule.Shape, Minutes: 10}, {Kind: schedule.Proof, Until: schedule.Target{Word: schedule.ThreeQuarters}},
			{Kind: schedule.Bake, Steps: []schedule.BakeStep{{Celsius: 210, Minutes: 14}}}}}
	kitchen := schedule.Kitchen{
		Places: []schedule.Place{{Name: "bench", Kind: schedule.Room, Curve: []schedule.Reading{{At: 0, Celsius: 18.5}, {At: 720, Celsius: 22}}}},
		Ovens:  []schedule.Oven{{Name: "deck", Decks: 2, TraysPerDeck: 2, Max: 280, Heat: 6, Cool: 1.5, Holds: []schedule.Held{{Of: "long", Deck: 2, Count: 1}, {Count: 3}}}},
		Trays:  []schedule.Tray{{Name: "long"}},
		Bakers: []schedule.Baker{{Name: "Orla", Hours: []schedule.Hours{{From: 240, To: 780}}}},
		Tub:    8000, Flour: 19, Tap: 11.5,
	}
	old := bun
	old.ID, old.Name = "old-bun", "Old bun"
	order := schedule.Order{Bread: "bun", Pieces: 24, Out: "2026-07-04T08:00", For: "stall"}
	plan := func(version int) record.Plan {
		return record.Plan{Day: 4, Version: version, Saved: at(3, version),
			From: schedule.Day{Format: schedule.DayFormat, Name: "Market", Zone: loc.String(), Now: "2026-07-04T03:00", Kitchen: kitchen,
				Bases: []schedule.Base{base}, Breads: []schedule.Bread{bun}, Orders: []schedule.Order{order}},
			Plan: schedule.Plan{Format: schedule.PlanFormat, Day: "Market", Zone: loc.String(), Made: at(3, 0),
				Tasks: []schedule.Task{{ID: "A1.1", Kind: schedule.Shape, Name: "Bun", Start: at(6, 0), End: at(6, 10),
					Hands: []schedule.Hands{{Baker: "Orla", From: at(6, 0), To: at(6, 10)}}}}}}
	}
	call := schedule.Alert{Task: "A1.1", Kind: schedule.CallStart, Class: schedule.Due, Due: at(6, 0), TooFar: at(6, 40), Baker: "Orla"}
	return &bundle.Bundle{
		Made:    utc(12, 0),
		Kitchen: &bundle.Kitchen{Kitchen: kitchen},
		Bases:   []bundle.Base{{Base: base, Example: true}},
		Breads:  []bundle.Bread{{Bread: bun, Example: true}, {Bread: old, Retired: true}},
		Days: []bundle.Day{{
			Day: record.Day{ID: 4, Date: "2026-07-04", Name: "Market", Zone: loc.String(), Settings: schedule.Settings{Seed: 1 << 63},
				Room: []schedule.Reading{{At: 300, Celsius: 17}}, Orders: []schedule.Order{order}, Version: 2, Updated: utc(3, 2)},
			Plans: []record.Plan{plan(1), plan(2)},
			Taps: []record.Tap{
				{ID: "t-1", Day: 4, Version: 2, Task: "A1.1", Kind: record.Finished, At: utc(6, 9), Recorded: utc(6, 9), Undone: true},
				{ID: "t-2", Day: 4, Version: 2, Task: "A1.1", Kind: record.Undo, Of: "t-1", At: utc(6, 10), Recorded: utc(6, 10)},
				{ID: "t-3", Day: 4, Version: 2, Task: "A1.1", Kind: "dough-temp", At: utc(6, 11), Recorded: utc(6, 12), Value: 25.5},
			},
			Alerts: []record.Alert{
				{Alert: call, ID: 11, Day: 4, Version: 1, Name: "Bun", Stage: schedule.Shape, State: record.Suppressed, Reason: record.Moved, Changed: at(3, 2)},
				{Alert: call, ID: 12, Day: 4, Version: 2, Name: "Bun", Stage: schedule.Shape, State: record.Rung, Was: at(5, 50), Rung: at(6, 0), Changed: at(6, 10)},
			},
			Log: []record.Transition{
				{Alert: 11, At: utc(3, 1), To: record.Scheduled},
				{Alert: 11, At: utc(3, 2), From: record.Scheduled, To: record.Suppressed, Reason: record.Moved},
				{Alert: 12, At: utc(6, 9), From: record.Rung, To: record.Done, Tap: "t-1"},
			},
			Slips:   []schedule.Slip{{ID: "t-3", Kind: schedule.WasWarm, At: utc(6, 11), Task: "A1.1", Celsius: 25.5}},
			Repairs: []bundle.Repair{{Version: 2, Base: 1, Key: "choice-1"}},
		}},
		Standing: []schedule.Standing{everySaturday("bun")},
		Foods:    dough.Library{{ID: "seed-mix", Name: "Seed mix", Role: dough.Inclusion, Fat: 40, Measures: []dough.Measure{{Name: "cup", Grams: 140}}, Check: []dough.Allergen{dough.AllergenSesame}}},
		Comings: []bundle.Coming{{Date: "2026-07-04", Day: 4, Name: "Saturday 4 July", Zone: loc.String(), Orders: []schedule.Order{order}},
			{Date: "2026-07-11", Name: "Saturday 11 July", Zone: loc.String(), Orders: []schedule.Order{order}}},
		Readings: []bundle.Reading{{ID: "t-9", Place: "fridge", At: utc(6, 11), Minute: 371, Celsius: 4.5}, {ID: "t-10", At: utc(6, 12), Minute: 372, Celsius: -0.5}},
		Settings: []bundle.Setting{{Key: "words", Value: "prove knock back tin"}},
		Learned: []bundle.Lesson{{Forgotten: true, Observation: record.Observation{Day: 4, Lesson: schedule.Lesson{Slip: "t-3", Task: "A1.1", At: utc(6, 11), Dough: "sweet", Name: "Sweet dough",
			Observation: learn.Observation{Day: 20638, Bread: "sweet", Predicted: 60, Observed: 72, SD: 0.1}}}}},
	}
}

func everySaturday(bread string) schedule.Standing {
	early := schedule.Clock(6 * 60)
	return schedule.Standing{ID: "sat", Bread: bread, Pieces: 24, Days: schedule.On(time.Saturday), At: 450, From: "2026-07-04", For: "stall",
		Except: []schedule.Exception{{Date: "2026-07-11"}, {Date: "2026-07-18", Pieces: 60, At: &early}}}
}

// random is any bundle a store could hold: arbitrary content, references that
// lead somewhere.
func random(r *rand.Rand) *bundle.Bundle {
	b := new(bundle.Bundle)
	storetest.Fill(r, b)
	for i := range b.Bases {
		b.Bases[i].ID = fmt.Sprint("base-", i)
	}
	for i := range b.Breads {
		b.Breads[i].ID = fmt.Sprint("bread-", i)
		if b.Breads[i].Bread.Base = ""; len(b.Bases) > 0 && r.IntN(2) == 0 {
			b.Breads[i].Bread.Base = b.Bases[0].ID
		}
	}
	for i := range b.Days {
		mend(b, &b.Days[i], int64(i+1))
	}
	for i := range b.Learned {
		l := &b.Learned[i]
		l.Slip, l.Observation.Day, l.Lesson.Observation = fmt.Sprint("tap ", i), int64(r.IntN(len(b.Days)+1)), learn.Observation{Day: i, Bread: "bun", Predicted: 60, Observed: 70, Allowed: float64(r.IntN(3)) / 2}
	}
	for i := range b.Foods {
		b.Foods[i].ID = fmt.Sprint("food-", i)
	}
	if len(b.Breads) == 0 {
		b.Standing = nil
	}
	for i := range b.Standing {
		o := everySaturday("bread-0")
		o.ID, o.For, o.Days = fmt.Sprint("standing-", i), b.Standing[i].For, 1+schedule.Weekdays(r.IntN(int(schedule.EveryDay)))
		b.Standing[i] = o
	}
	for i := range b.Comings {
		c := &b.Comings[i]
		c.Date, c.Day = time.UnixMilli(0).AddDate(0, 0, i).Format(time.DateOnly), 0
		if i < len(b.Days) {
			c.Day = b.Days[i].ID
		}
	}
	for i := range b.Readings {
		r := &b.Readings[i]
		r.ID, r.At, r.Minute, r.Celsius = fmt.Sprint("reading ", i), time.UnixMilli(int64(i)).UTC(), i, unit.Celsius(i)
	}
	for i := range b.Settings {
		b.Settings[i] = bundle.Setting{Key: fmt.Sprint("key ", i), Value: "\u2028<&>\x00"}
	}
	return b
}

func mend(b *bundle.Bundle, d *bundle.Day, id int64) {
	d.ID, d.Date, d.Zone, d.Version = id, "2026-07-04", "Europe/Dublin", len(d.Plans)
	if len(b.Breads) == 0 {
		d.Orders = nil
	}
	for i := range d.Orders {
		d.Orders[i].Bread, d.Orders[i].Out, d.Orders[i].Ready = b.Breads[0].ID, "", "2026-10-25T01:30+01:00"
	}
	for i := range d.Plans {
		d.Plans[i].Day, d.Plans[i].Version, d.Plans[i].Plan.Zone = id, i+1, "America/New_York"
	}
	if len(d.Plans) == 0 {
		d.Taps, d.Alerts, d.Log = nil, nil, nil
	}
	if d.Repairs = nil; len(d.Plans) > 1 {
		d.Repairs = []bundle.Repair{{Version: 2, Base: 1, Key: fmt.Sprint("choice ", id)}}
	}
	if len(d.Slips) > len(d.Taps) {
		d.Slips = d.Slips[:len(d.Taps)]
	}
	for i := range d.Slips {
		d.Slips[i].ID, d.Slips[i].Kind = fmt.Sprint(id, "-", i), schedule.NotYet
	}
	if len(d.Slips) == 0 {
		d.Slips = nil
	}
	for i := range d.Taps {
		t := &d.Taps[i]
		*t = record.Tap{ID: fmt.Sprint(id, "-", i), Day: id, Version: 1, Task: t.Task, Kind: "any", At: t.At, Recorded: t.Recorded, Minutes: t.Minutes, Value: t.Value}
	}
	for i := range d.Alerts {
		a := &d.Alerts[i]
		a.ID, a.Day, a.Version, a.Task, a.Class, a.State = 100*id+int64(i), id, 1, fmt.Sprint(i), schedule.HeadsUp, record.Missed
	}
	if len(d.Alerts) == 0 {
		d.Log = nil
	}
	for i := range d.Log {
		d.Log[i].Alert, d.Log[i].From, d.Log[i].To = d.Alerts[0].ID, "", record.Done
	}
}
