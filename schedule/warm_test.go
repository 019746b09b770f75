package schedule_test

import (
	"math"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// By hand: 26 °C for an hour, then in a straight line to 16 °C over an hour crosses
// 21 °C half way; parted there, one portion warms to 26 again in an hour and lies
// below 21 °C for half of it, the other stays at 16 °C.
func TestWarmFor(t *testing.T) {
	t.Parallel()
	at := time.Date(2026, 11, 28, 4, 0, 0, 0, time.UTC)
	point := func(hours float64, c unit.Celsius) schedule.TracePoint {
		return schedule.TracePoint{At: at.Add(time.Duration(hours * float64(time.Hour))), Mean: c}
	}
	all := []schedule.Trace{
		{Batch: "A", Part: "poolish", Points: []schedule.TracePoint{point(-9, 25), point(0, 25)}},
		{Batch: "A", Points: []schedule.TracePoint{point(0, 26), point(1, 26), point(2, 16), point(3, 26)}},
		{Batch: "A", Portion: "A1", Points: []schedule.TracePoint{point(2, 16), point(3, 26), point(3.5, 26)}},
		{Batch: "A", Portion: "A2", Points: []schedule.TracePoint{point(2, 16), point(4, 16)}},
		{Batch: "B", Points: []schedule.TracePoint{point(0, 30), point(9, 30)}},
	}
	for _, x := range []struct {
		portion string
		limit   unit.Celsius
		since   time.Time
		want    float64
	}{
		{"A1", 21, time.Time{}, 60 + 30 + 30 + 30},
		{"A2", 21, time.Time{}, 60 + 30},
		{"A1", 5, time.Time{}, 210},
		{"A1", 21, at.Add(2 * time.Hour), 60},
		{"", 21, time.Time{}, 120},
		{"A1", 30, time.Time{}, 0},
	} {
		if got := schedule.WarmFor(all, "A", x.portion, x.limit, x.since); math.Abs(float64(got)-x.want) > 1e-9 {
			t.Errorf("%q above %v: %v, want %v min", x.portion, x.limit, float64(got), x.want)
		}
	}
	if got := schedule.WarmFor(all, "C", "C1", 21, time.Time{}); got != 0 {
		t.Errorf("a dough that is not there: %v", got)
	}
}
