//go:build unix

package web_test

import (
	"bytes"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/learn"
	"ovenward/store/bundle"
	"ovenward/store/record"
)

// How much a kitchen has after three years.
const (
	benchBreads = 200
	benchDays   = 400 // of five orders each
	benchEvery  = 1096 * 24 * time.Hour / benchDays
)

// grown is a site with three years of work behind it: the example day over and
// over, with a tap for every task and four sightings a day.
func grown(tb testing.TB) *site {
	tb.Helper()
	s := example(tb)
	all := s.all()
	for i := len(all.Breads); i < benchBreads; i++ {
		b := all.Breads[i%5]
		b.ID, b.Name = fmt.Sprintf("%s-%d", b.ID, i), fmt.Sprintf("%s %d", b.Name, i)
		all.Breads = append(all.Breads, b)
	}
	model := all.Days[0]
	var one bytes.Buffer
	if err := bundle.Encode(&one, &bundle.Bundle{Made: all.Made, Bases: all.Bases, Breads: all.Breads[:5], Days: []bundle.Day{model}}); err != nil {
		tb.Fatal(err)
	}
	last, err := time.Parse(time.DateOnly, model.Date)
	if err != nil {
		tb.Fatal(err)
	}
	for i := range benchDays - 1 {
		by := -time.Duration(i+1) * benchEvery
		d := earlier(tb, one.String(), last, by)
		d.ID, d.Example, d.Now, d.Name = int64(i+2), false, "", last.Add(by).Format("Monday 2 January 2006")
		work(&d)
		all.Days = append(all.Days, d)
		all.Learned = append(all.Learned, sightings(&d)...)
	}
	in, err := all.Arrive()
	if err != nil {
		tb.Fatal(err)
	}
	if _, err := s.store.Import(tb.Context(), in, true, s.now); err != nil {
		tb.Fatal(err)
	}
	return s
}

// earlier gives the encoded day with every date in it moved.
func earlier(tb testing.TB, one string, last time.Time, by time.Duration) bundle.Day {
	tb.Helper()
	var swap []string
	for n := -2; n <= 1; n++ {
		was := last.AddDate(0, 0, n)
		swap = append(swap, was.Format(time.DateOnly), was.Add(by).Format(time.DateOnly))
	}
	b, err := bundle.Decode("", []byte(strings.NewReplacer(swap...).Replace(one)))
	if err != nil {
		tb.Fatal(err)
	}
	return b.Days[0]
}

// work taps every task as done when it was planned, and answers every call.
func work(d *bundle.Day) {
	for i, t := range d.Plans[0].Plan.Tasks {
		d.Taps = append(d.Taps, record.Tap{ID: fmt.Sprintf("%d-%d", d.ID, i), Version: d.Version, Task: t.ID, Kind: record.Finished, At: t.End, Recorded: t.End})
	}
	for i := range d.Alerts {
		a := &d.Alerts[i]
		a.ID, a.State, a.Next = d.ID*1000+int64(i), record.Done, time.Time{}
	}
	d.Log = nil
}

func sightings(d *bundle.Day) []bundle.Lesson {
	var out []bundle.Lesson
	for i, t := range d.Taps[:4] {
		o := learn.Observation{Day: int(t.At.Unix() / 86400), Bread: fmt.Sprintf("dough-%d/0", i), Predicted: 90, Observed: 80 + float64(d.ID%20)}
		l := schedule.Lesson{Slip: t.ID, Task: t.Task, At: t.At, Dough: fmt.Sprintf("dough-%d", i), Name: fmt.Sprintf("Dough %d", i), Observation: o}
		out = append(out, bundle.Lesson{Observation: record.Observation{Lesson: l, Day: d.ID}})
	}
	return out
}

// cpu is the processor time the process has used: unlike the clock, it does not
// count what else the machine does.
func cpu() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkPages is the time of every page after three years, with 200 breads and
// 2,000 orders; the goal is a p95 of 20 ms.
func BenchmarkPages(b *testing.B) {
	s := grown(b)
	for _, path := range append(paths(), "/", "/days/40", "/days/40/now", "/days/40/sheet", "/days/40/plan", "/days/40/slip", "/days/40/went", "/days/1/calls", "/days/1/labels",
		"/days/1/ways", "/days/1/calendar.ics", "/days/1/day.csv", "/breads/import", "/breads/pan-loaf/recipe.json", "/inout") {
		b.Run(path, func(b *testing.B) {
			var took []time.Duration
			size := s.get(path).Body.Len()
			b.ReportAllocs()
			busy := cpu()
			for b.Loop() {
				from := time.Now()
				if w := s.get(path); w.Code >= http.StatusBadRequest {
					b.Fatal(w.Code)
				}
				took = append(took, time.Since(from))
			}
			b.ReportMetric((cpu()-busy).Seconds()*1000/float64(len(took)), "cpu-ms")
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)*95/100].Microseconds())/1000, "p95-ms")
			b.ReportMetric(float64(size)/1000, "kB")
		})
	}
}
