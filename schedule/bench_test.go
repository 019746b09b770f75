package schedule_test

import (
	"context"
	"fmt"
	"runtime"
	"slices"
	"syscall"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// timed runs f under b and reports the median and the 95th of a hundred, of time
// gone by and of this program's processor time: on a busy machine only the
// latter can be compared.
func timed(b *testing.B, f func()) {
	b.ReportAllocs()
	var took, worked []time.Duration
	for b.Loop() {
		begin, before := time.Now(), spent()
		f()
		took, worked = append(took, time.Since(begin)), append(worked, spent()-before)
	}
	report := func(ds []time.Duration, unit string) {
		slices.Sort(ds)
		for name, share := range map[string]float64{"p50": 0.5, "p95": 0.95} {
			b.ReportMetric(float64(ds[int(share*float64(len(ds)-1))])/float64(time.Millisecond), name+unit)
		}
	}
	report(took, "-ms")
	report(worked, "-cpu-ms")
}

// spent is the processor time of this program so far.
func spent() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// busyDay is the example tearoom grown to n orders from six in the morning on:
// more ovens, mixers and hands by the dozen.
func busyDay(b *testing.B, n int) *schedule.Day {
	d := dayOf(b, "example")
	k := &d.Kitchen
	for i := range n / 6 {
		o, m := k.Ovens[0], k.Mixers[0]
		o.Name, m.Name = fmt.Sprintf("Oven %d", i+2), fmt.Sprintf("Mixer %d", i+2)
		k.Ovens, k.Mixers = append(k.Ovens, o), append(k.Mixers, m)
		k.Bakers = append(k.Bakers, schedule.Baker{Name: fmt.Sprintf("Hand %d", i+1), Hours: []schedule.Hours{{From: 3 * 60, To: 16 * 60}}})
	}
	for i := range k.Places {
		k.Places[i].Spaces *= 1 + n/6
	}
	k.Tins[0].Count *= 1 + n/6
	orders := d.Orders
	d.Orders = nil
	first := time.Date(2026, 11, 28, 9, 0, 0, 0, time.UTC)
	for i := range n {
		o := orders[i%len(orders)]
		o.Out, o.Ready = schedule.Wall(first.Add(time.Duration(i)*6*time.Hour/time.Duration(n)).Format("2006-01-02T15:04")), ""
		d.Orders = append(d.Orders, o)
	}
	if err := d.Validate().Err(); err != nil {
		b.Fatal(err)
	}
	return d
}

func BenchmarkPlanDay(b *testing.B) {
	run := func(name string, d *schedule.Day) {
		b.Run(name, func(b *testing.B) {
			var p schedule.Plan
			timed(b, func() { p = planned(b, d) })
			b.ReportMetric(float64(len(p.Batches)), "batches")
			b.ReportMetric(float64(p.Outcome.LateTotal), "late-min")
			b.ReportMetric(float64(len(p.Outcome.Broken)), "broken")
		})
	}
	run("example", dayOf(b, "example"))
	for _, n := range grown {
		run(fmt.Sprintf("orders=%d", n), busyDay(b, n))
	}
}

// grown are the numbers of orders at which growth is shown.
var grown = []int{4, 12, 30, 60, 100}

// A dough that needs another quarter of an hour, in days of every size.
func BenchmarkReplanOf(b *testing.B) {
	for _, n := range grown {
		b.Run(fmt.Sprintf("orders=%d", n), func(b *testing.B) {
			d := busyDay(b, n)
			p := planned(b, d)
			rise := taskOf(b, &p, func(t schedule.Task) bool { return t.Kind == schedule.Rise && t.Part == "" })
			slip := schedule.Slip{ID: "1", Kind: schedule.NotYet, Task: rise.ID, At: rise.End, Minutes: 15}
			var cs []schedule.Choice
			timed(b, func() { cs = replan(b, d, &p, rise.End, slip) })
			b.ReportMetric(float64(len(cs)), "choices")
			b.ReportMetric(float64(cs[0].LateTotal), "late-min")
		})
	}
}

// Memory is the live heap at its peak: what the collector may not free while a
// day is being planned, seen by a collection at every look of the search.
func BenchmarkMemory(b *testing.B) {
	for _, n := range grown {
		b.Run(fmt.Sprintf("orders=%d", n), func(b *testing.B) {
			d := busyDay(b, n)
			var most uint64
			for b.Loop() {
				w := &watched{Context: context.Background()}
				if _, err := schedule.PlanDay(w, d, d.Settings); err != nil {
					b.Fatal(err)
				}
				most = max(most, w.most)
			}
			b.ReportMetric(float64(most)/(1<<20), "live-MiB")
		})
	}
}

// watched looks at the heap now and then when it is asked whether to go on.
type watched struct {
	context.Context
	looks int
	most  uint64
}

func (w *watched) Err() error {
	if w.looks++; w.looks%50 == 0 {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		w.most = max(w.most, m.HeapAlloc)
	}
	return nil
}

func BenchmarkTraces(b *testing.B) {
	d := dayOf(b, "example")
	p := planned(b, d)
	timed(b, func() {
		if _, err := schedule.Traces(d, &p); err != nil {
			b.Fatal(err)
		}
	})
}

// One batch of 4 kg through 24 hours of a kitchen whose temperature changes.
func BenchmarkBatchThroughADay(b *testing.B) {
	recipe := rise.Recipe{Yeast: 0.5, Kind: rise.Instant, Salt: 2, Water: 65}
	air := &simulate.Air{H: heat.StillCovered}
	for m := range 24 * 60 {
		air.Temps = append(air.Temps, 18+float64(m%720)/144)
	}
	timed(b, func() {
		s, err := simulate.Start(&simulate.Dough{Recipe: recipe}, 0, heat.Tub(unit.Grams(4000), 0.22), 25)
		if err != nil {
			b.Fatal(err)
		}
		s.Wait(air, 24*60)
	})
}
