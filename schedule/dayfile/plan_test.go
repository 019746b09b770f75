package dayfile_test

import (
	"bytes"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
)

// plan is one task over the night of 24 to 25 October 2026 in Dublin, with
// instants before and after clocks go back at 01:00 UTC (IANA tz database,
// Europe/Dublin).
func plan(tb testing.TB) *schedule.Plan {
	tb.Helper()
	dublin, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		tb.Fatal(err)
	}
	first := time.Date(2026, 10, 25, 0, 30, 0, 0, time.UTC).In(dublin)
	second := first.Add(time.Hour)
	return &schedule.Plan{
		Format: schedule.PlanFormat, Day: "Night", Zone: "Europe/Dublin", Made: first.Add(-9 * time.Hour),
		Tasks: []schedule.Task{{
			ID: "A.1", Batch: "A", Kind: schedule.Rise, Name: "Loaf", Start: first, End: second, TooFar: &second,
			Window: &schedule.Window{Ready: first, Best: second, Late: second, TooFar: second, Early: first, Tardy: second},
		}},
		Outcome: schedule.Outcome{Kept: true, Broken: []schedule.Violation{}},
	}
}

func TestPlanKeepsItsHours(t *testing.T) {
	t.Parallel()
	want := plan(t)
	data, err := dayfile.EncodePlan(want)
	if err != nil {
		t.Fatal(err)
	}
	got, err := dayfile.DecodePlan("plan.json", data)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("plan changed by writing and reading (-before +after):\n%s", diff)
	}
	start, end := got.Tasks[0].Start, got.Tasks[0].End
	if start.Format("15:04 MST") != "01:30 IST" || end.Format("15:04 MST") != "01:30 GMT" {
		t.Errorf("hours became %s and %s", start.Format("15:04 MST"), end.Format("15:04 MST"))
	}
}

func TestPlanRefused(t *testing.T) {
	t.Parallel()
	data, err := dayfile.EncodePlan(plan(t))
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct{ name, from, to, want string }{
		{"no zone", `"Europe/Dublin"`, `‸"Europe/Dubln"`,
			`zone: "Europe/Dubln" is not a time zone; write the zone by its IANA name, such as "Europe/Dublin"`},
		{"no instant", `"2026-10-24T16:30:00+01:00"`, `‸"16:30"`,
			`made: "16:30" is not an instant; write it as 2026-11-28T08:00:00Z`},
		{"unknown field", `"kept": true`, `‸"keept": true`,
			`outcome.keept: there is no field "keept" here; did you mean "kept"?`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if !bytes.Contains(data, []byte(tt.from)) {
				t.Fatalf("%s is not in\n%s", tt.from, data)
			}
			clean, marks := unmark(bytes.Replace(data, []byte(tt.from), []byte(tt.to), 1))
			_, err := dayfile.DecodePlan("p", clean)
			if want := "p:" + marks[0] + ": " + tt.want; err == nil || err.Error() != want {
				t.Errorf("got  %v\nwant %s", err, want)
			}
		})
	}
}

func FuzzDecodePlan(f *testing.F) {
	data, err := dayfile.EncodePlan(plan(f))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := dayfile.DecodePlan("f", data)
		if err != nil {
			placed(t, data, err)
			return
		}
		written, err := dayfile.EncodePlan(p)
		if err != nil {
			return // an instant no file can hold, such as one in the year 10000
		}
		again, err := dayfile.DecodePlan("f", written)
		if err != nil {
			t.Fatalf("cannot read what was written: %v\n%s", err, written)
		}
		if twice, _ := dayfile.EncodePlan(again); !bytes.Equal(written, twice) {
			t.Errorf("%s\nbecame\n%s", written, twice)
		}
	})
}
