package schedule_test

import (
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
)

// Changes of clocks are facts of the tz database: Dublin 2026-03-29 and
// 2026-10-25, Halifax 2026-11-01 (all by an hour), Lord Howe 2026-04-05 (by half
// an hour), Apia without 2011-12-30 (the day the date line moved).
func TestWallIn(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		zone string
		wall schedule.Wall
		want string // instant in UTC, or the error
	}{
		{"Europe/Dublin", "2026-11-28T08:00", "2026-11-28T08:00Z"},
		{"Europe/Dublin", "2026-07-28T08:00", "2026-07-28T07:00Z"},
		{"Europe/Dublin", "2026-03-29T00:59", "2026-03-29T00:59Z"},
		{"Europe/Dublin", "2026-03-29T02:00", "2026-03-29T01:00Z"},
		{"Europe/Dublin", "2026-03-29T01:30", "2026-03-29T01:30 does not exist in Europe/Dublin: clocks go forward over it; say 2026-03-29T00:30 or 2026-03-29T02:30"},
		{"Europe/Dublin", "2026-10-25T00:59", "2026-10-24T23:59Z"},
		{"Europe/Dublin", "2026-10-25T01:30", "2026-10-25T01:30 happens twice in Europe/Dublin, as clocks go back; say 2026-10-25T01:30+01:00 or 2026-10-25T01:30Z"},
		{"Europe/Dublin", "2026-10-25T01:30+01:00", "2026-10-25T00:30Z"},
		{"Europe/Dublin", "2026-10-25T01:30Z", "2026-10-25T01:30Z"},
		{"Europe/Dublin", "2026-10-25T02:00", "2026-10-25T02:00Z"},
		{"America/Halifax", "2026-11-01T01:30-04:00", "2026-11-01T05:30Z"},
		{"America/Halifax", "2026-11-01T01:30", "2026-11-01T01:30 happens twice in America/Halifax, as clocks go back; say 2026-11-01T01:30-03:00 or 2026-11-01T01:30-04:00"},
		{"Australia/Lord_Howe", "2026-04-05T01:45", "2026-04-05T01:45 happens twice in Australia/Lord_Howe, as clocks go back; say 2026-04-05T01:45+11:00 or 2026-04-05T01:45+10:30"},
		{"Australia/Lord_Howe", "2026-04-05T01:15", "2026-04-04T14:15Z"},
		{"Pacific/Apia", "2011-12-30T12:00", "2011-12-30T12:00 does not exist in Pacific/Apia: clocks go forward over it; say 2011-12-29T12:00 or 2011-12-31T12:00"},
		{"Europe/Dublin", "2026-11-28T08:00+05:00", `not a date and time: "2026-11-28T08:00+05:00" has an offset that Europe/Dublin does not have then; leave the offset away`},
		{"Europe/Dublin", "2026-02-30T08:00", `not a date and time: "2026-02-30T08:00"; write it as 2026-11-28T08:00`},
		{"Europe/Dublin", "", `not a date and time: ""; write it as 2026-11-28T08:00`},
	} {
		loc, err := time.LoadLocation(row.zone)
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		if at, err := row.wall.In(loc); err != nil {
			got = err.Error()
		} else {
			got = at.UTC().Format("2006-01-02T15:04Z07:00")
		}
		if diff := cmp.Diff(row.want, got); diff != "" {
			t.Errorf("%s in %s: %s", row.wall, row.zone, diff)
		}
	}
}

// Every minute of the nights of change comes back from its own local time.
func TestWallOfEveryMinute(t *testing.T) {
	t.Parallel()
	for zone, night := range map[string]string{
		"Europe/Dublin": "2026-10-24T20:00Z", "America/Halifax": "2026-03-08T00:00Z", "Australia/Lord_Howe": "2026-10-03T10:00Z",
	} {
		loc, err := time.LoadLocation(zone)
		if err != nil {
			t.Fatal(err)
		}
		at, err := time.Parse("2006-01-02T15:04Z", night)
		if err != nil {
			t.Fatal(err)
		}
		for range 12 * 60 {
			at = at.Add(time.Minute)
			if back, err := schedule.WallOf(at.In(loc)).In(loc); err != nil || !back.Equal(at) {
				t.Fatalf("%s: %v is %q, which is %v, %v", zone, at, schedule.WallOf(at.In(loc)), back, err)
			}
		}
	}
}

// FuzzWall: whatever is read as an instant is written again as the same one;
// every other text is refused with one of the two errors.
func FuzzWall(f *testing.F) {
	for _, s := range []string{"2026-11-28T08:00", "2026-10-25T01:30", "2026-10-25T01:30+01:00", "2026-03-29T01:30", "0000-01-01T00:00", "9999-12-31T23:59Z", "x"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		loc := dublin(t)
		at, err := schedule.Wall(s).In(loc)
		var twice *schedule.WallError
		switch {
		case err == nil:
			if back, err := schedule.WallOf(at).In(loc); err != nil || !back.Equal(at) {
				t.Errorf("%q is %v, back from %q it is %v, %v", s, at, schedule.WallOf(at), back, err)
			}
		case errors.As(err, &twice):
			if len(twice.Choices) != 2 || twice.Choices[0].Equal(twice.Choices[1]) {
				t.Errorf("%q: two different choices wanted, got %v", s, twice.Choices)
			}
		case !errors.Is(err, schedule.ErrWall):
			t.Errorf("%q: %v is neither error", s, err)
		}
	})
}

func TestClock(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]schedule.Clock{"00:00": 0, "06:30": 390, "23:59": 1439, "24:00": 1440} {
		if got, err := schedule.ParseClock(text); err != nil || got != want || got.String() != text {
			t.Errorf("%q is %d, %v, written %q", text, got, err, got)
		}
	}
	for _, text := range []string{"", "6:30", "24:01", "12:60", "+1:30", "0630", "06.30", "06:3O", "-1:00"} {
		if got, err := schedule.ParseClock(text); err == nil {
			t.Errorf("%q was read as %v", text, got)
		}
	}
}

func FuzzClock(f *testing.F) {
	f.Add("06:30")
	f.Add("24:00")
	f.Fuzz(func(t *testing.T, s string) {
		if c, err := schedule.ParseClock(s); err == nil && c.String() != s {
			t.Errorf("%q is written %q", s, c)
		}
	})
}

func TestWallAddDays(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		from schedule.Wall
		days int
		want schedule.Wall
	}{
		{"2026-12-31T09:30", 1, "2027-01-01T09:30"},
		{"2028-02-28T00:00", 1, "2028-02-29T00:00"},
		{"2026-10-25T01:30+01:00", -7, "2026-10-18T01:30"},
		{"", 3, ""},
		{"tomorrow at about nine", 3, "tomorrow at about nine"},
	} {
		if got := tt.from.AddDays(tt.days); got != tt.want {
			t.Errorf("%s after %d days: %s, want %s", tt.from, tt.days, got, tt.want)
		}
	}
}
