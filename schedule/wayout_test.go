package schedule_test

import (
	"slices"
	"testing"
	"time"

	"ovenward/schedule"
)

// Every way out is offered where it is the one that helps, and does what it says
// when the day is changed so.
func TestWaysOut(t *testing.T) {
	t.Parallel()
	hours := func(d *schedule.Day, from, to schedule.Clock) {
		for i := range d.Kitchen.Bakers {
			d.Kitchen.Bakers[i].Hours = []schedule.Hours{{From: from, To: to}}
		}
	}
	for _, row := range []struct {
		code   string
		change func(d *schedule.Day)
		take   func(d *schedule.Day, w schedule.WayOut)
	}{
		{"hands", func(d *schedule.Day) { d.Now = "2026-11-28T02:00"; hours(d, 9*60, 18*60) }, func(d *schedule.Day, w schedule.WayOut) {
			d.Kitchen.Bakers = append(slices.Clone(d.Kitchen.Bakers), schedule.Baker{Name: "Cleo", Hours: []schedule.Hours{{From: clock(*w.From), To: clock(*w.To)}}})
		}},
		{"stay", func(d *schedule.Day) { d.Now = "2026-11-28T02:00"; hours(d, 7*60+30, 14*60) }, func(d *schedule.Day, w schedule.WayOut) {
			for _, a := range w.Asked {
				for i := range d.Kitchen.Bakers {
					if b := &d.Kitchen.Bakers[i]; b.Name == a.Baker {
						b.Hours = append(slices.Clone(b.Hours), schedule.Hours{From: clock(a.From), To: clock(a.To)})
					}
				}
			}
		}},
		{"chill", func(d *schedule.Day) {
			d.Now, d.Orders[0].Out = "2026-11-27T16:30", "2026-11-28T09:00"
			hours(d, 7*60, 21*60)
			d.Breads[0].Formula.Ingredients[3].Percent = 0.4
		}, func(d *schedule.Day, _ schedule.WayOut) {
			d.Breads[0].Method[5].Chill = &schedule.Chill{Place: "Fridge", Least: 6 * 60, Most: 16 * 60}
		}},
		{"smaller", func(d *schedule.Day) {
			d.Kitchen.Tins[0].Count, d.Orders[0].Pieces, d.Orders[0].Out = 2, 6, "2026-11-27T17:00"
		}, func(d *schedule.Day, w schedule.WayOut) { d.Orders[w.Order-1].Pieces -= w.Pieces }},
		{"promise", func(d *schedule.Day) { d.Orders[0].Out = "2026-11-27T14:00" }, func(d *schedule.Day, w schedule.WayOut) {
			at := time.Date(2026, 11, 27, 14, 0, 0, 0, time.UTC).Add(time.Duration(w.By) * time.Minute)
			d.Orders[0].Out = schedule.WallOf(at)
		}},
	} {
		t.Run(row.code, func(t *testing.T) {
			t.Parallel()
			d := loafDay(22)
			row.change(d)
			p := planned(t, d)
			i := slices.IndexFunc(p.Outcome.WaysOut, func(w schedule.WayOut) bool { return w.Code == row.code })
			if i < 0 {
				t.Fatalf("late %v: %+v, want %q among them", p.Outcome.LateTotal, p.Outcome.WaysOut, row.code)
			}
			w := p.Outcome.WaysOut[i]
			row.take(d, w)
			if q := planned(t, d); q.Outcome.LateTotal > w.Late || len(q.Outcome.Broken) > 0 {
				t.Errorf("%+v: late %v and broken %v instead", w, q.Outcome.LateTotal, q.Outcome.Broken)
			}
		})
	}
}

// clock is a moment's minute of the day.
func clock(t time.Time) schedule.Clock { return schedule.Clock(t.Hour()*60 + t.Minute()) }
