package schedule_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// timed runs f under b and reports the median and the 95th of a hundred.
func timed(b *testing.B, f func()) {
	b.ReportAllocs()
	var took []time.Duration
	for b.Loop() {
		begin := time.Now()
		f()
		took = append(took, time.Since(begin))
	}
	slices.Sort(took)
	ms := func(share float64) float64 {
		return float64(took[int(share*float64(len(took)-1))]) / float64(time.Millisecond)
	}
	b.ReportMetric(ms(0.5), "p50-ms")
	b.ReportMetric(ms(0.95), "p95-ms")
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
	days := map[string]*schedule.Day{"example": dayOf(b, "example")}
	names := []string{"example"}
	for _, n := range []int{4, 12, 30, 60} {
		name := fmt.Sprintf("orders=%d", n)
		names, days[name] = append(names, name), busyDay(b, n)
	}
	for _, name := range names {
		d := days[name]
		b.Run(name, func(b *testing.B) {
			var p schedule.Plan
			timed(b, func() { p = planned(b, d) })
			b.ReportMetric(float64(len(p.Batches)), "batches")
			b.ReportMetric(float64(p.Outcome.LateTotal), "late-min")
			b.ReportMetric(float64(len(p.Outcome.Broken)), "broken")
		})
	}
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
