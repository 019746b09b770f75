package schedule

import (
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// WarmFor is how long a portion of a batch, from its mix to its load, is warmer
// than a limit in the mean of its mass; between the points of its traces in a
// straight line. With since, only from then on.
func WarmFor(all []Trace, batch, portion string, limit unit.Celsius, since time.Time) (sum unit.Minutes) {
	path := pathOf(all, batch, portion)
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		if a.At.Before(since) {
			continue
		}
		long := b.At.Sub(a.At).Minutes()
		switch over, next := float64(a.Mean-limit), float64(b.Mean-limit); {
		case over > 0 && next > 0:
			sum += unit.Minutes(long)
		case over > 0:
			sum += unit.Minutes(long * over / (over - next))
		case next > 0:
			sum += unit.Minutes(long * next / (next - over))
		}
	}
	return sum
}

// pathOf is a portion through the day: the whole dough until it is parted, then
// the portion.
func pathOf(all []Trace, batch, portion string) []TracePoint {
	find := func(portion string) []TracePoint {
		i := slices.IndexFunc(all, func(t Trace) bool { return t.Batch == batch && t.Portion == portion && t.Part == "" })
		if i < 0 {
			return nil
		}
		return all[i].Points
	}
	trunk, own := find(""), find(portion)
	if portion == "" || len(own) == 0 {
		return trunk
	}
	parted := slices.IndexFunc(trunk, func(p TracePoint) bool { return !p.At.Before(own[0].At) })
	if parted >= 0 {
		trunk = trunk[:parted]
	}
	return append(slices.Clone(trunk), own...)
}
