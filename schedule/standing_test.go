package schedule_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
)

func zoned(t testing.TB, name string) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

func day(t testing.TB, text string) time.Time {
	t.Helper()
	d, err := time.Parse(time.DateOnly, text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Settle does what RFC 5545, section 3.3.5, says of a DATE-TIME with a TZID: a
// time that does not occur "is interpreted using the UTC offset before the gap",
// one that occurs twice "refers to the first occurrence". The rows of New York
// are its own examples; the rest are the tz database's changes.
func TestSettle(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		zone  string
		wall  schedule.Wall
		want  schedule.Wall
		utc   string
		moved bool
	}{
		{"America/New_York", "2007-11-04T01:30", "2007-11-04T01:30-04:00", "2007-11-04T05:30:00Z", true}, // RFC: 1:30 EDT
		{"America/New_York", "2007-03-11T02:30", "2007-03-11T03:30", "2007-03-11T07:30:00Z", true},       // RFC: 3:30 EDT
		{"Europe/Dublin", "2027-03-28T01:30", "2027-03-28T02:30", "2027-03-28T01:30:00Z", true},
		{"Europe/Dublin", "2026-10-25T01:30", "2026-10-25T01:30+01:00", "2026-10-25T00:30:00Z", true},
		{"Europe/Dublin", "2026-11-28T07:30", "2026-11-28T07:30", "2026-11-28T07:30:00Z", false},
		{"Australia/Lord_Howe", "2026-10-04T02:15", "2026-10-04T02:45", "2026-10-03T15:45:00Z", true}, // half an hour
		{"Africa/Cairo", "2026-04-24T00:10", "2026-04-24T01:10", "2026-04-23T22:10:00Z", true},        // at midnight
	} {
		loc := zoned(t, tt.zone)
		at, moved := tt.wall.Settle(loc)
		instant, err := at.In(loc)
		if at != tt.want || (moved != nil) != tt.moved || err != nil || instant.UTC().Format(time.RFC3339) != tt.utc {
			t.Errorf("%s in %s: %s = %v (%v), moved %v; want %s = %s", tt.wall, tt.zone, at, instant.UTC(), err, moved, tt.want, tt.utc)
		}
	}
	if at, moved := schedule.Wall("half past").Settle(time.UTC); at != "half past" || moved != nil {
		t.Errorf("no time at all: %s, %v", at, moved)
	}
}

// every Saturday, with one left out and one larger, and one on a Friday beside.
func everySaturday() schedule.Standing {
	early := schedule.Clock(6 * 60)
	return schedule.Standing{ID: "s", Bread: "roll", Pieces: 24, Days: schedule.On(time.Saturday), At: 7*60 + 30, From: "2026-11-28", Until: "2026-12-31", For: "Café X",
		Except: []schedule.Exception{{Date: "2026-12-26"}, {Date: "2026-12-19", Pieces: 60, At: &early}, {Date: "2026-12-24", Pieces: 36}}}
}

func TestOrdersOn(t *testing.T) {
	t.Parallel()
	cool := schedule.Standing{ID: "c", Bread: "loaf", Pieces: 6, Days: schedule.EveryDay, At: 7 * 60, Cool: true, From: "2020-01-01", Weight: 3}
	for date, want := range map[string][]schedule.Order{
		"2026-11-21": {{Bread: "loaf", Pieces: 6, Ready: "2026-11-21T07:00", Weight: 3}}, // before the first
		"2026-11-28": {{Bread: "loaf", Pieces: 6, Ready: "2026-11-28T07:00", Weight: 3}, {Bread: "roll", Pieces: 24, Out: "2026-11-28T07:30", For: "Café X"}},
		"2026-12-19": {{Bread: "roll", Pieces: 60, Out: "2026-12-19T06:00", For: "Café X"}, {Bread: "loaf", Pieces: 6, Ready: "2026-12-19T07:00", Weight: 3}},
		"2026-12-24": {{Bread: "loaf", Pieces: 6, Ready: "2026-12-24T07:00", Weight: 3}, {Bread: "roll", Pieces: 36, Out: "2026-12-24T07:30", For: "Café X"}},
		"2026-12-26": {{Bread: "loaf", Pieces: 6, Ready: "2026-12-26T07:00", Weight: 3}},
		"2027-01-02": {{Bread: "loaf", Pieces: 6, Ready: "2027-01-02T07:00", Weight: 3}}, // after the last
	} {
		got, _ := schedule.OrdersOn([]schedule.Standing{everySaturday(), cool}, day(t, date), zoned(t, "Europe/Dublin"))
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", date, diff)
		}
	}
	night := schedule.Standing{Bread: "loaf", Pieces: 6, Days: schedule.EveryDay, At: 90, From: "2020-01-01"}
	got, moved := schedule.OrdersOn([]schedule.Standing{night}, day(t, "2027-03-28"), zoned(t, "Europe/Dublin"))
	if len(moved) != 1 || got[0].Out != "2027-03-28T02:30" {
		t.Errorf("the night clocks go forward: %+v", got)
	}
}

// A weekday is a matter of the calendar: in a year every date with the day's name
// is due and no other, whatever clocks do (checked against time.Weekday).
func TestDueEveryWeek(t *testing.T) {
	t.Parallel()
	for d := time.Sunday; d <= time.Saturday; d++ {
		s := schedule.Standing{Bread: "b", Pieces: 1, Days: schedule.On(d), From: "2026-01-01"}
		for date := day(t, "2026-01-01"); date.Year() < 2028; date = date.AddDate(0, 0, 1) {
			if _, due := s.On(date); due != (date.Weekday() == d) {
				t.Fatalf("every %s: %s is due: %v", d, date, due)
			}
		}
	}
}

func TestStandingValidate(t *testing.T) {
	t.Parallel()
	good := everySaturday()
	if fs := good.Validate(); fs != nil {
		t.Errorf("a sound one: %v", fs)
	}
	late := schedule.Clock(24 * 60)
	for where, spoil := range map[string]func(*schedule.Standing){
		"pieces":           func(s *schedule.Standing) { s.Pieces = 0 },
		"days":             func(s *schedule.Standing) { s.Days = 0 },
		"at":               func(s *schedule.Standing) { s.At = late },
		"from":             func(s *schedule.Standing) { s.From = "2026-02-30" },
		"until":            func(s *schedule.Standing) { s.Until = "2026-11-27" },
		"weight":           func(s *schedule.Standing) { s.Weight = -1 },
		"except[1].date":   func(s *schedule.Standing) { s.Except[1].Date = "2026-12-26" },
		"except[0].pieces": func(s *schedule.Standing) { s.Except[0].Pieces = 10001 },
		"except[2].at":     func(s *schedule.Standing) { s.Except[2].At = &late },
	} {
		s := everySaturday()
		spoil(&s)
		if fs := s.Validate(); len(fs) != 1 || fs[0].Where != where || fs[0].What == "" || fs[0].Remedy == "" {
			t.Errorf("%s: %v", where, fs)
		}
	}
}

func FuzzWeekdays(f *testing.F) {
	for _, s := range []string{"", "mon wed sat", "SUN,mon", "sunday", "mon  tue"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		var w schedule.Weekdays
		if w.UnmarshalText([]byte(s)) != nil {
			return
		}
		var again schedule.Weekdays
		if err := again.UnmarshalText([]byte(w.String())); err != nil || again != w {
			t.Errorf("%q is %s, read again %s, %v", s, w, again, err)
		}
		if n := len(strings.Fields(w.String())); w.Has(time.Monday) != strings.Contains(w.String(), "mon") || n > 7 {
			t.Errorf("%q is %s", s, w)
		}
	})
}

func TestStandingJSON(t *testing.T) {
	t.Parallel()
	want := everySaturday()
	body, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	var got schedule.Standing
	if err := json.Unmarshal(body, &got); err != nil || !cmp.Equal(want, got) || !strings.Contains(string(body), `"days":"sat","at":"07:30"`) {
		t.Errorf("%s, %v, %s", body, err, cmp.Diff(want, got))
	}
}
