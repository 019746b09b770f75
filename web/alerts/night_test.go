package alerts_test

import (
	"context"
	"fmt"
	"os"
	"testing"
	"testing/synctest"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
	"ovenward/store/record"
	"ovenward/web/alerts"
)

// nights are those of a change of clocks in Oslo. All member states change at
// 01:00 UTC on the last Sunday of March and of October (directive 2000/84/EC, which
// Norway follows): 10:00 on that Sunday is 09:00 UTC in autumn, 08:00 in spring.
var nights = []struct {
	name, evening, sunday string
	promise               time.Time     // 10:00 on Sunday
	asleep                time.Duration // from 23:00 to 06:00
	calls                 [2]string     // half an hour before the change and half an hour after it
	ages                  string        // of these calls at 06:00:15
}{
	{"back", "2026-10-24", "2026-10-25", time.Date(2026, 10, 25, 9, 0, 0, 0, time.UTC), 8 * time.Hour,
		[2]string{"2026-10-25T02:30+02:00", "2026-10-25T02:30+01:00"}, "A.1(4h30m15s) A.2(3h30m15s)"},
	{"forward", "2027-03-27", "2027-03-28", time.Date(2027, 3, 28, 8, 0, 0, 0, time.UTC), 6 * time.Hour,
		[2]string{"2027-03-28T01:30", "2027-03-28T03:30"}, "A.1(3h30m15s) A.2(2h30m15s)"},
}

func oslo(t *testing.T) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation("Europe/Oslo")
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

func at(t *testing.T, wall string) time.Time {
	t.Helper()
	when, err := schedule.Wall(wall).In(oslo(t))
	if err != nil {
		t.Fatal(err)
	}
	return when
}

// begin sets the wall clock, from which all is counted.
func (b *bench) begin(wall time.Time) {
	b.jump(wall.Sub(b.now()))
	b.start = wall
}

// claims notes every ring that is given out.
type claims struct {
	alerts.Book
	rings []record.Alert
	at    []time.Time
}

func (c *claims) ClaimDue(ctx context.Context, now time.Time) ([]record.Alert, error) {
	all, err := c.Book.ClaimDue(ctx, now)
	for _, a := range all {
		c.rings, c.at = append(c.rings, a), append(c.at, now)
	}
	return all, err
}

// Dough in the cold over a change of clocks: every call of the plan is first
// heard at its second, no ring comes twice, and the bread is out by the promise
// as the clock on the wall then shows it.
func TestNightOfClockChange(t *testing.T) {
	file, err := os.ReadFile("../../testdata/day/retard-clocks-back.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range nights {
		d, err := dayfile.DecodeDay("retard-clocks-back.json", file)
		if err != nil {
			t.Fatal(err)
		}
		d.Zone, d.Now = "Europe/Oslo", schedule.Wall(n.evening+"T17:00")
		d.Orders[0].Out = schedule.Wall(n.sunday + "T10:00")
		p, err := schedule.PlanDay(t.Context(), d, d.Settings)
		if err != nil {
			t.Fatal(err)
		}
		t.Run(n.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				b := newBench(t)
				b.begin(at(t, n.evening+"T17:00"))
				calls := schedule.Alerts(&p)
				if _, err := b.store.SavePlan(t.Context(), b.day, *d, p, calls, b.now()); err != nil {
					t.Fatal(err)
				}
				heard := &claims{Book: b.store}
				b.run(heard)
				time.Sleep(20 * time.Hour)
				b.stop()

				first, seen := map[string]time.Time{}, map[string]bool{}
				out := time.Time{}
				for i, a := range heard.rings {
					call := a.Task + " " + string(a.Kind)
					ring := fmt.Sprintf("%s, ring %d", call, a.Rings)
					if seen[ring] {
						t.Errorf("%s came twice", ring)
					}
					seen[ring] = true
					if a.Rings == 1 {
						first[call] = heard.at[i]
					}
					if a.Rings == 1 && a.Kind == schedule.CallUnload {
						out = heard.at[i].Add(2 * time.Minute)
					}
				}
				for _, a := range calls {
					got, rung := first[a.Task+" "+string(a.Kind)]
					if early := a.Due.Sub(got); !rung && a.Kind != schedule.CallHeadsUp || rung && (early < 0 || early > 20*time.Second) {
						t.Errorf("%s of %s, due %v, was first heard %v", a.Kind, a.Task, a.Due, got)
					}
				}
				if out.IsZero() || out.After(n.promise) || n.promise.Sub(out) > time.Hour {
					t.Errorf("the bread is called out by %v, promised for %v", out, n.promise)
				}
			})
		})
	}
}

// A computer asleep from 23:00 to 06:00 of such a night: what came due meanwhile
// is told as one, with the time that has really passed since.
func TestAsleepOverClockChange(t *testing.T) {
	for _, n := range nights {
		t.Run(n.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				b := newBench(t)
				b.begin(at(t, n.evening+"T22:00"))
				b.plan(at(t, n.calls[0]).Sub(b.start), at(t, n.calls[1]).Sub(b.start), at(t, n.sunday+"T07:00").Sub(b.start))
				b.run(b.store)
				time.Sleep(time.Hour + 3*time.Second)
				b.jump(n.asleep)
				time.Sleep(3 * time.Hour)
				b.stop()
				woken := time.Hour + n.asleep + 15*time.Second // the next beat
				b.expect(
					fmt.Sprintf("%v clock %v", woken, n.asleep),
					fmt.Sprintf("%v C catch-up %s", woken, n.ages),
					fmt.Sprintf("%v C A.3(0s)", 2*time.Hour+n.asleep))
			})
		})
	}
}
