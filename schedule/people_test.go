package schedule_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
)

// nora works from 04:00 to 08:00 and from 12:00 to 14:00, but not on Sundays.
func nora() schedule.Baker {
	days := schedule.EveryDay &^ schedule.On(time.Sunday)
	return schedule.Baker{Name: "Nora", Hours: []schedule.Hours{{From: 4 * 60, To: 8 * 60, Days: days}, {From: 12 * 60, To: 14 * 60, Days: days}}}
}

// Who stays is there from the end of the hours, who comes until they begin; for
// anything else it is said why not. What rest that leaves of a night is said below eleven
// hours (Directive 2003/88/EC, article 3, from memory), of a break at noon it is not.
func TestBeyondTheHours(t *testing.T) {
	t.Parallel()
	at := func(day, h, m int) time.Time { return time.Date(2026, 11, day, h, m, 0, 0, time.UTC) } // the 28th is a Saturday
	stays, comes := (*schedule.Baker).StaysUntil, (*schedule.Baker).ComesAt
	for _, c := range []struct {
		name  string
		asks  func(*schedule.Baker, time.Time) (schedule.Asked, error)
		at    time.Time
		want  schedule.Asked
		fault string
	}{
		{"stays", stays, at(28, 15, 0), schedule.Asked{From: at(28, 14, 0), To: at(28, 15, 0)}, ""},
		{"over the noon", stays, at(28, 9, 30), schedule.Asked{From: at(28, 8, 0), To: at(28, 9, 30)}, ""},
		{"past midnight", stays, at(28, 1, 0), schedule.Asked{From: at(27, 14, 0), To: at(28, 1, 0), Rest: 180}, ""},
		{"comes", comes, at(28, 3, 30), schedule.Asked{From: at(28, 3, 30), To: at(28, 4, 0), Comes: true}, ""},
		{"until the hours end", stays, at(28, 14, 0), schedule.Asked{}, "at work at 14:00 as it is"},
		{"until within them", stays, at(28, 5, 0), schedule.Asked{}, "at work at 05:00 as it is"},
		{"when they begin", comes, at(28, 4, 0), schedule.Asked{}, "at work at 04:00 as it is"},
		{"a free day", comes, at(29, 7, 0), schedule.Asked{}, "no hours of Nora begin in the 12 h after 07:00"},
		{"the night after", stays, at(29, 4, 0), schedule.Asked{}, "no hours of Nora end in the 12 h before 04:00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			b := nora()
			if c.fault == "" {
				c.want.Baker = "Nora"
			}
			got, err := c.asks(&b, c.at)
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
			if (err != nil) != (c.fault != "") || err != nil && (!strings.Contains(err.Error(), c.fault) || !strings.Contains(err.Error(), "give a time")) {
				t.Errorf("%v, want %q", err, c.fault)
			}
		})
	}
}

// What is said of people is heard in order: further time beyond the hours is joined
// to what was said before, and who keeps the hours again has from then on neither
// that nor an absence; what is past stays.
func TestPeople(t *testing.T) {
	t.Parallel()
	at := func(h, m int) time.Time { return time.Date(2026, 11, 28, h, m, 0, 0, time.UTC) }
	log := []schedule.Slip{
		{Kind: schedule.Away, Of: "Nora", At: at(4, 0), From: at(4, 0), To: at(5, 0)},
		{Kind: schedule.Stays, Of: "Nora", At: at(4, 5), From: at(14, 0), To: at(15, 0)},
		{Kind: schedule.Done, Of: "", At: at(4, 6), Task: "A.1"},
		{Kind: schedule.Stays, Of: "Nora", At: at(4, 7), From: at(15, 0), To: at(15, 30)},
		{Kind: schedule.Stays, Of: "Nora", At: at(4, 8), From: at(3, 30), To: at(4, 0)},
		{Kind: schedule.Away, Of: "Nobody", At: at(4, 9), From: at(4, 0), To: at(5, 0)},
	}
	beyond := func(log ...schedule.Slip) []schedule.Asked {
		bs := []schedule.Baker{nora()}
		got := schedule.People(bs, log, time.UTC)
		if diff := cmp.Diff([]schedule.Baker{nora()}, bs); diff != "" {
			t.Errorf("those before have changed: %s", diff)
		}
		return got[0].Beyond(time.UTC)
	}
	want := []schedule.Asked{
		{Baker: "Nora", From: at(3, 30), To: at(4, 0), Comes: true},
		{Baker: "Nora", From: at(14, 0), To: at(15, 30)},
	}
	if diff := cmp.Diff(want, beyond(log...)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	want[1].To = at(14, 20)
	again := schedule.Slip{Kind: schedule.AsUsual, Of: "Nora", At: at(14, 20)}
	if diff := cmp.Diff(want, beyond(append(log, again)...)); diff != "" {
		t.Errorf("as usual at 14:20 (-want +got)\n%s", diff)
	}
	again.At = at(4, 30)
	bs := schedule.People([]schedule.Baker{nora()}, append(log, again), time.UTC)
	if diff := cmp.Diff([]schedule.Span{{From: "2026-11-28T04:00", To: "2026-11-28T04:30"}}, bs[0].Away); diff != "" {
		t.Errorf("away (-want +got)\n%s", diff)
	}
	if diff := cmp.Diff(want[:1], bs[0].Beyond(time.UTC)); diff != "" {
		t.Errorf("as usual at 04:30 (-want +got)\n%s", diff)
	}
}
