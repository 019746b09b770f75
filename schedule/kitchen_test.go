package schedule_test

import (
	"slices"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

func TestAtWork(t *testing.T) {
	t.Parallel()
	day := []schedule.Hours{{From: 4 * 60, To: 12 * 60}, {From: 12 * 60, To: 16 * 60}}
	night := []schedule.Hours{{From: 22 * 60, To: 6 * 60}}
	half := []schedule.Hours{{From: 90, To: 6 * 60}} // 01:30 to 06:00
	// 2026-11-28 is a Saturday (proleptic Gregorian calendar, ISO 8601).
	saturdays := []schedule.Hours{{From: 4 * 60, To: 12 * 60, Days: schedule.On(time.Saturday)}}
	fridayNights := []schedule.Hours{{From: 22 * 60, To: 6 * 60, Days: schedule.On(time.Friday)}}
	// Dublin goes back at 02:00 on 2026-10-25 and forward at 01:00 on 2026-03-29
	// (Standard Time Act 1968 as amended; tz database).
	for _, row := range []struct {
		name     string
		hours    []schedule.Hours
		away     []schedule.Span
		from, to schedule.Wall
		want     bool
	}{
		{"inside a shift", day, nil, "2026-11-28T04:00", "2026-11-28T05:00", true},
		{"two shifts that meet are one", day, nil, "2026-11-28T11:30", "2026-11-28T12:30", true},
		{"up to the end", day, nil, "2026-11-28T15:30", "2026-11-28T16:00", true},
		{"past the end", day, nil, "2026-11-28T15:30", "2026-11-28T16:01", false},
		{"before the start", day, nil, "2026-11-28T03:59", "2026-11-28T04:10", false},
		{"over midnight", night, nil, "2026-11-28T23:50", "2026-11-29T05:59", true},
		{"after a night", night, nil, "2026-11-29T05:59", "2026-11-29T06:01", false},
		{"over a night off", day, nil, "2026-11-28T15:00", "2026-11-29T05:00", false},
		{"nobody's hours", nil, nil, "2026-11-28T15:00", "2026-11-28T15:05", false},
		{"around the clock", []schedule.Hours{{From: 0, To: 24 * 60}}, nil, "2026-10-24T15:00", "2026-10-26T15:00", true},
		{"away touches it", day, []schedule.Span{{From: "2026-11-28T09:00", To: "2026-11-28T10:00"}},
			"2026-11-28T08:30", "2026-11-28T09:01", false},
		{"back in time", day, []schedule.Span{{From: "2026-11-28T09:00", To: "2026-11-28T10:00"}},
			"2026-11-28T10:00", "2026-11-28T10:30", true},
		{"away another day", day, []schedule.Span{{From: "2026-11-27T09:00", To: "2026-11-27T10:00"}},
			"2026-11-28T09:00", "2026-11-28T10:00", true},
		{"night of seven hours", night, nil, "2026-03-28T22:00", "2026-03-29T06:00", true},
		{"night of nine hours", night, nil, "2026-10-24T22:00", "2026-10-25T06:00", true},
		{"not longer than nine", night, nil, "2026-10-24T22:00", "2026-10-25T06:01", false},
		{"the hour that happens twice begins once", half, nil, "2026-10-25T01:30+01:00", "2026-10-25T01:30+00:00", true},
		{"but not before", half, nil, "2026-10-25T01:29+01:00", "2026-10-25T02:30", false},
		{"on its day", saturdays, nil, "2026-11-28T05:00", "2026-11-28T12:00", true},
		{"the day before", saturdays, nil, "2026-11-27T05:00", "2026-11-27T06:00", false},
		{"the day after", saturdays, nil, "2026-11-29T05:00", "2026-11-29T06:00", false},
		{"a Friday's night ends on Saturday", fridayNights, nil, "2026-11-27T22:00", "2026-11-28T06:00", true},
		{"a Saturday's night is another", fridayNights, nil, "2026-11-28T22:00", "2026-11-28T22:05", false},
		{"nor is Thursday's", fridayNights, nil, "2026-11-27T01:00", "2026-11-27T05:00", false},
		{"a skipped start is the change", half, nil, "2026-03-29T02:00", "2026-03-29T06:00", true},
	} {
		b := schedule.Baker{Name: "Ana", Hours: row.hours, Away: row.away}
		if got := b.AtWork(instant(t, row.from), instant(t, row.to)); got != row.want {
			t.Errorf("%s: at work %s to %s: %v, want %v", row.name, row.from, row.to, got, row.want)
		}
	}
}

// instant reads a local time of Dublin.
func instant(t testing.TB, w schedule.Wall) time.Time {
	t.Helper()
	at, err := w.In(dublin(t))
	if err != nil {
		t.Fatal(err)
	}
	return at
}

func dublin(t testing.TB) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

func TestOvenChange(t *testing.T) {
	t.Parallel()
	o := schedule.Oven{Heat: 6, Cool: 2.5}
	for _, row := range []struct {
		from, to unit.Celsius
		want     int
	}{{20, 230, 35}, {230, 190, 16}, {190, 190, 0}, {190, 191, 1}, {191, 190, 1}} {
		if got := o.Change(row.from, row.to); got != row.want {
			t.Errorf("%v to %v: %d min, want %d", row.from, row.to, got, row.want)
		}
	}
	for _, o := range []schedule.Oven{{}, {Heat: -1}, {Heat: 1e-300}} {
		if got := o.Change(20, 200); got < 7*24*60 {
			t.Errorf("%+v heats in %d min, want longer than any plan", o, got)
		}
	}
}

func TestDuration(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		stage  schedule.Stage
		pieces int
		want   int
	}{
		{schedule.Stage{Kind: schedule.Divide, Minutes: 2, PerPiece: 6}, 10, 3},
		{schedule.Stage{Kind: schedule.Divide, Minutes: 2, PerPiece: 6}, 11, 4},
		{schedule.Stage{Kind: schedule.Divide, PerPiece: 0.1}, 600, 1},
		{schedule.Stage{Kind: schedule.Mix, Minutes: 12}, 0, 12},
		{schedule.Stage{Kind: schedule.Bake, Steps: []schedule.BakeStep{{Minutes: 10.5}, {Minutes: 20}}}, 24, 31},
		{schedule.Stage{Kind: schedule.Rise, Minutes: 12}, 24, 0},
		{schedule.Stage{Kind: schedule.Cool, Least: 30, Most: 60}, 24, 0},
	} {
		if got := row.stage.Duration(row.pieces); got != row.want {
			t.Errorf("%+v of %d: %d min, want %d", row.stage, row.pieces, got, row.want)
		}
	}
}

// The temperature of a place is a straight line between readings, over midnight too.
func TestPlaceAt(t *testing.T) {
	t.Parallel()
	p := schedule.Place{Curve: []schedule.Reading{{At: 6 * 60, Celsius: 18}, {At: 12 * 60, Celsius: 24}, {At: 22 * 60, Celsius: 22}}}
	for _, row := range []struct {
		minute float64
		want   unit.Celsius
	}{{360, 18}, {540, 21}, {720, 24}, {1320, 22}, {1440, 21}, {0, 21}, {240, 19}} {
		if got := p.At(row.minute); got != row.want {
			t.Errorf("at minute %v: %v, want %v", row.minute, got, row.want)
		}
	}
}

// A day on which nobody works is planned as one whose hands are missing.
func TestHoursOfWeekdays(t *testing.T) {
	t.Parallel()
	d := dayOf(t, "single-pan-loaf") // 2026-09-12, a Saturday
	for days, late := range map[schedule.Weekdays]bool{0: false, schedule.On(time.Saturday): false, schedule.On(time.Sunday, time.Monday): true} {
		day := *d
		day.Kitchen.Bakers = slices.Clone(d.Kitchen.Bakers)
		for i := range day.Kitchen.Bakers {
			hours := slices.Clone(day.Kitchen.Bakers[i].Hours)
			for k := range hours {
				hours[k].Days = days
			}
			day.Kitchen.Bakers[i].Hours = hours
		}
		p, err := schedule.PlanDay(t.Context(), &day, schedule.Settings{Steps: 500})
		if err != nil {
			t.Fatalf("%v: %v", days, err)
		}
		if p.Outcome.Kept == late {
			t.Errorf("%q: kept %v: %+v", days, p.Outcome.Kept, p.Outcome)
		}
		if late && (p.Outcome.Binding == nil || p.Outcome.Binding.Code != schedule.ByHands && p.Outcome.Binding.Code != "hours") {
			t.Errorf("%q: what is in the way is %+v", days, p.Outcome.Binding)
		}
	}
}
