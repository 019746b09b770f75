package solve_test

import (
	"context"
	"flag"
	"syscall"
	"testing"
	"time"

	"ovenward/schedule/solve"
)

var table = flag.Bool("bakeday.table", false, "tabulate every reference day after 20, 100, 200 ms and 1 s of processor time")

// Every reference day within about 200 ms on a free core: complete, not late where the optimum
// is not, never below a proved optimum, and not far above it.
func TestBakedays(t *testing.T) {
	t.Parallel()
	sum, proved := 0.0, 0
	for _, d := range bakedays(t) {
		p := d.problem()
		r := run(t, p, solve.Settings{Steps: 20_000, BoundSteps: -1})
		if len(r.Plan.Unplaced) > 0 || r.Stats.FirstPlan > 2*d.NB {
			t.Errorf("%s: unplaced %v, first plan after %d steps", d.name, r.Plan.Unplaced, r.Stats.FirstPlan)
		}
		if r.Plan.Cost.Late != 0 || r.Status != solve.LeastLate && r.Status != solve.Optimal {
			t.Errorf("%s: late %d, status %v; every one of these days can be on time", d.name, r.Plan.Cost.Late, r.Status)
		}
		if d.optimum == 0 {
			continue
		}
		gap := float64(r.Plan.Cost.Total)/float64(d.optimum) - 1
		if gap < 0 || gap > 0.15 {
			t.Errorf("%s: cost %d, proved optimum %d", d.name, r.Plan.Cost.Total, d.optimum)
		}
		sum, proved = sum+gap, proved+1
	}
	if mean := sum / float64(proved); mean > 0.02 {
		t.Errorf("mean gap %.1f %%, want at most 2 %%", 100*mean)
	}
}

// spending is a context that ends after some processor time of this program:
// a machine busy with other work does not distort the table.
type spending struct {
	context.Context
	until time.Duration
}

func (s spending) Err() error {
	if spent() >= s.until {
		return context.DeadlineExceeded
	}
	return nil
}

func spent() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// TestBakedayTable prints what a given time buys on one core of this machine.
func TestBakedayTable(t *testing.T) {
	if !*table {
		t.Skip("run with -bakeday.table for the table")
	}
	budgets := []time.Duration{20 * time.Millisecond, 100 * time.Millisecond, 200 * time.Millisecond, time.Second}
	days := bakedays(t)
	sum, worst, optimal := make([]float64, len(budgets)), make([]float64, len(budgets)), make([]int, len(budgets))
	proved := 0
	for _, d := range days {
		p := d.problem()
		line := make([]int64, len(budgets))
		for k, b := range budgets {
			r, err := solve.Solve(spending{context.Background(), spent() + b}, p, solve.Settings{Steps: 1 << 40, BoundSteps: -1})
			if err != nil {
				t.Fatal(err)
			}
			line[k] = r.Plan.Cost.Total
			if d.optimum > 0 {
				gap := 100 * (float64(line[k])/float64(d.optimum) - 1)
				sum[k], worst[k] = sum[k]+gap, max(worst[k], gap)
				if line[k] == d.optimum {
					optimal[k]++
				}
			}
		}
		if d.optimum > 0 {
			proved++
		}
		t.Logf("%-7s %5d  optimum %5d", d.name, line, d.optimum)
	}
	for k, b := range budgets {
		t.Logf("%8v: mean gap %.2f %%, worst %.1f %%, at the optimum %d of %d", b, sum[k]/float64(proved), worst[k], optimal[k], proved)
	}
}

func BenchmarkBakeday(b *testing.B) {
	for _, d := range bakedays(b) {
		p := d.problem()
		b.Run(d.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r, err := solve.Solve(context.Background(), p, solve.Settings{Steps: 8000, BoundSteps: -1})
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(r.Plan.Cost.Total), "cost")
			}
		})
	}
}

// First complete plan: one insertion a job.
func BenchmarkFirstPlan(b *testing.B) {
	for _, d := range bakedays(b) {
		if d.NB < 24 {
			continue
		}
		p := d.problem()
		b.Run(d.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := solve.Solve(context.Background(), p, solve.Settings{Steps: 1, BoundSteps: -1}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// minutes is the day on a grid of minutes instead of five.
func (d *bakeday) minutes() *solve.Problem {
	const k = 5
	q := *d
	times := func(v []int) []int {
		out := make([]int, len(v))
		for i := range v {
			out[i] = k * v[i]
		}
		return out
	}
	q.H, q.Dur, q.Lmn, q.Lmx, q.Cmn, q.Cmx, q.Due = k*d.H, times(d.Dur), times(d.Lmn), times(d.Lmx), times(d.Cmn), times(d.Cmx), times(d.Due)
	q.Setup = nil
	for _, row := range d.Setup {
		q.Setup = append(q.Setup, times(row))
	}
	between := func(rows [][]int32) [][]int32 {
		var out [][]int32
		for _, r := range rows {
			fine := make([]int32, q.H+1)
			for e := range fine {
				next := r[min(e/k+1, d.H)]
				fine[e] = k*r[e/k] + int32(e%k)*(next-r[e/k])
			}
			out = append(out, fine)
		}
		return out
	}
	q.Rdy, q.Far = between(d.Rdy), between(d.Far)
	q.We, q.Wl = d.We/k, d.Wl/k
	return q.problem()
}

func BenchmarkMinuteGrid(b *testing.B) {
	for _, d := range bakedays(b) {
		if d.NB < 12 {
			continue
		}
		p := d.minutes()
		for what, s := range map[string]solve.Settings{"search": {BoundSteps: -1}, "search and bound": {}} {
			b.Run(d.name+" "+what, func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					r, err := solve.Solve(context.Background(), p, s)
					if err != nil {
						b.Fatal(err)
					}
					if v := solve.Check(p, &r.Plan); len(v) > 0 {
						b.Fatal(v)
					}
				}
			})
		}
	}
}
