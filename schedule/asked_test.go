package schedule_test

import (
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// lastLoaf is a day whose hands go at 20:25, twenty minutes before its loaf can be
// loaded: its proof needs longer than planned. It is unloaded until 21:20. At five they are back.
func lastLoaf(tb testing.TB, due schedule.Wall) (d *schedule.Day, p schedule.Plan, log []schedule.Slip, now time.Time) {
	tb.Helper()
	d = loafDay(22)
	d.Orders[0].Out = due
	for i := range d.Kitchen.Bakers {
		d.Kitchen.Bakers[i].Hours = []schedule.Hours{{From: 5 * 60, To: 20*60 + 25}}
	}
	p = kept(tb, d)
	proof, bake := find(tb, &p, schedule.Proof), find(tb, &p, schedule.Bake)
	late := time.Date(2026, 11, 27, 20, 45, 0, 0, time.UTC)
	return d, p, []schedule.Slip{{ID: "1", Kind: schedule.NotYet, Task: proof.ID, At: bake.Start, Minutes: unit.Minutes(late.Sub(bake.Start).Minutes())}}, bake.Start
}

// Where the last hands go twenty minutes before the last loaf can be loaded, one of
// them is asked to stay until it is out, to five minutes; it is said what stays late, and
// what rest is left. Five minutes less would not do, by a repair that knows nothing of
// the aid.
func TestAskedToStay(t *testing.T) {
	t.Parallel()
	at := func(h, m int) time.Time { return time.Date(2026, 11, 27, h, m, 0, 0, time.UTC) }
	for _, c := range []struct {
		name string
		due  schedule.Wall
		late []schedule.Lateness
	}{
		{"then on time", "2026-11-27T21:30", nil},
		{"late all the same", "2026-11-27T20:30", []schedule.Lateness{{Order: 0, Bread: "loaf", By: 50, Was: 50}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			d, p, log, now := lastLoaf(t, c.due)
			cs := replan(t, d, &p, now, log...)
			if !schedule.Stuck(cs) {
				t.Fatalf("it is not stuck: %s", sentence(d, cs[0]))
			}
			aids, err := schedule.Aids(t.Context(), d, &p, log, now, cs, schedule.AidStay)
			if err != nil {
				t.Fatal(err)
			}
			want := []schedule.Aid{{
				Code: schedule.AidStay, Late: c.late,
				Asked: []schedule.Asked{{Baker: "Ana", From: at(20, 25), To: at(21, 20), Rest: 7*60 + 40}},
				Slips: []schedule.Slip{{Kind: schedule.Stays, At: now, Of: "Ana", From: at(20, 25), To: at(21, 20)}},
			}}
			if diff := cmp.Diff(want, aids); diff != "" {
				t.Fatalf("asked (-want +got)\n%s", diff)
			}
			if helps, err := aids[0].Helps(t.Context(), d, &p, log, now, cs); !helps || err != nil {
				t.Errorf("taken, it does not help: %v", err)
			}
			for less, broken := range []bool{false, true} {
				s := aids[0].Slips[0]
				s.ID, s.To = "2", s.To.Add(-time.Duration(5*less)*time.Minute)
				with := append(slices.Clone(log), s)
				for _, x := range replan(t, d, &p, now, with...) {
					found, err := schedule.CheckFrom(d, &x.Plan, with, now)
					if err != nil {
						t.Fatal(err)
					}
					off := slices.ContainsFunc(found, func(v schedule.Violation) bool { return v.Code == schedule.OffHours })
					if off != broken || len(x.Broken) > 0 != broken {
						t.Errorf("until %s: %s, broken %v", s.To.Format("15:04"), sentence(d, x), found)
					}
				}
			}
		})
	}
}

// Who comes sooner comes by as much as it takes to be on time and to wait for
// the doughs, not half of it, and is not asked for a
// time that is past, nor at once.
func TestAskedToCome(t *testing.T) {
	t.Parallel()
	d := loafDay(22)
	d.Now, d.Orders[0].Out = "2026-11-27T20:00", "2026-11-28T09:00"
	for i := range d.Kitchen.Bakers {
		d.Kitchen.Bakers[i].Hours = []schedule.Hours{{From: 4 * 60, To: 14 * 60}}
	}
	p := kept(t, d)
	first := p.Tasks[0].Start
	now := first.Add(-3 * time.Hour)
	sooner := schedule.Order{Bread: "loaf", Pieces: 4, Out: schedule.WallOf(time.Date(2026, 11, 28, 6, 0, 0, 0, time.UTC))}
	log := []schedule.Slip{{ID: "1", Kind: schedule.OrderAdded, At: now, New: &sooner}}
	cs := replan(t, d, &p, now, log...)
	aids, err := schedule.Aids(t.Context(), d, &p, log, now, cs, schedule.AidStay)
	if err != nil || len(aids) == 0 {
		t.Fatalf("%s, %v: nobody is asked", sentence(d, cs[0]), err)
	}
	a := aids[0].Asked[0]
	if begin := time.Date(2026, 11, 28, 4, 0, 0, 0, time.UTC); !a.Comes || !a.To.Equal(begin) || a.From.Before(now.Add(30*time.Minute)) || a.Longer() > 120 {
		t.Errorf("asked: %+v", a)
	}
	costs := func(more ...schedule.Slip) (m unit.Minutes) {
		for i, x := range replan(t, d, &p, now, slices.Concat(log, more)...) {
			by := x.LateTotal
			for _, v := range x.Risks {
				by += v.By
			}
			if i == 0 || by < m {
				m = by
			}
		}
		return m
	}
	s := aids[0].Slips[0]
	s.ID = "2"
	half := s
	half.From = s.From.Add(s.To.Sub(s.From) / 2)
	if with, less, none := costs(s), costs(half), costs(); with+5 >= less || less >= none {
		t.Errorf("late or at risk by %v from %s, %v from %s, %v with nobody asked", with, s.From.Format("15:04"), less, half.From.Format("15:04"), none)
	}
}
