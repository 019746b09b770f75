package main

import (
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
	"ovenward/testdata"
)

func exampleDay(t *testing.T) *schedule.Day {
	t.Helper()
	d, err := dayfile.DecodeDay("example", testdata.Example)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Whatever the clock says, the example is promised for the next morning that a
// poolish of this evening can still serve, and it can be kept.
func TestMoveToMorning(t *testing.T) {
	t.Parallel()
	tests := []struct{ name, zone, now, first string }{
		{"before noon", "Europe/Dublin", "2026-11-25T10:00", "2026-11-26T09:00"},
		{"small hours", "Europe/Dublin", "2026-11-25T02:30", "2026-11-26T09:00"},
		{"last hour", "Europe/Dublin", "2026-11-25T17:59", "2026-11-26T09:00"},
		{"evening", "Europe/Dublin", "2026-11-25T18:00", "2026-11-27T09:00"},
		{"new year", "Pacific/Auckland", "2026-12-31T12:00", "2027-01-01T09:00"},
		{"leap day", "America/New_York", "2028-02-28T09:00", "2028-02-29T09:00"},
		{"clocks back", "Europe/Dublin", "2026-10-24T15:00", "2026-10-25T09:00"},
		{"clocks forward", "Europe/Dublin", "2027-03-27T15:00", "2027-03-28T09:00"},
		{"earlier than the file", "Asia/Kolkata", "2020-01-01T12:00", "2020-01-02T09:00"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := exampleDay(t)
			d.Zone, d.Now = tt.zone, schedule.Wall(tt.now)
			loc, err := d.Location()
			if err != nil {
				t.Fatal(err)
			}
			now, err := d.Now.In(loc)
			if err != nil {
				t.Fatal(err)
			}
			if err := moveToMorning(d, now); err != nil {
				t.Fatal(err)
			}
			if got := string(d.Orders[0].Promise()); got != tt.first {
				t.Errorf("first promise %s, want %s", got, tt.first)
			}
			plan, err := schedule.PlanDay(t.Context(), d, d.Settings)
			if err != nil {
				t.Fatal(err)
			}
			if !plan.Outcome.Kept {
				t.Errorf("not kept: %+v", plan.Outcome)
			}
		})
	}
}

func TestZone(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ tz, want string }{
		{"Europe/Oslo", "Europe/Oslo"},
		{":Asia/Tokyo", "Asia/Tokyo"},
		{"Europe/Nowhere", ""},
	} {
		p := program{getenv: func(string) string { return tt.tz }}
		if got := p.zone(); got != tt.want {
			t.Errorf("TZ=%s: %q, want %q", tt.tz, got, tt.want)
		}
	}
	machine := program{getenv: func(string) string { return "" }}
	if name := machine.zone(); name != "" {
		if _, err := time.LoadLocation(name); err != nil {
			t.Error(err)
		}
	}
}
