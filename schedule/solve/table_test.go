package solve_test

import (
	"context"
	"flag"
	"testing"
	"time"

	"ovenward/schedule/solve"
)

var tableFlag = flag.Bool("bakeday.table", false, "tabulate every reference day at several budgets")

func TestBakedayQuick(t *testing.T) {
	for _, d := range bakedays(t) {
		p := d.problem()
		t0 := time.Now()
		r, err := solve.Solve(context.Background(), p, solve.Settings{Steps: 8000})
		if err != nil {
			t.Fatal(d.name, err)
		}
		el := time.Since(t0)
		if v := solve.Check(p, &r.Plan); len(v) > 0 {
			t.Errorf("%s: %v", d.name, v)
		}
		t.Logf("%-8s %6d opt %6d gap %5.1f%% late %d/%d  %v %v %+v", d.name, r.Plan.Cost.Total, d.optimum, 100*float64(r.Plan.Cost.Total-d.optimum)/float64(max(d.optimum, 1)), r.Plan.Cost.Late, r.Bound.Late, el, r.Status, r.Stats)
	}
}
