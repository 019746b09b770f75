package view

import (
	"fmt"
	"math"
	"time"

	"ovenward/schedule"
)

// chipRoom is how much wider a column of hands is for the chips of what moves.
const chipRoom = 34.0

// outlines draws, dashed, where a dough would have been in the old plan, if that
// is elsewhere.
func (d *drafter) outlines(s *strand) {
	for i := range d.OldTraces {
		t := &d.OldTraces[i]
		if t.Batch != s.trace.Batch || t.Portion != s.trace.Portion || t.Part != s.trace.Part || len(t.Points) < 2 {
			continue
		}
		old := strand{trace: t, centre: s.centre, from: s.centre, unit: s.unit}
		d.edges(&old, t.Points)
		if len(old.l) > 1 && d.elsewhere(t, s.trace) {
			d.front = append(d.front, path{Class: "old", D: ribbon(old.l, old.r)})
		}
	}
}

// elsewhere says whether two traces of a dough differ by more than a minute.
func (d *drafter) elsewhere(a, b *schedule.Trace) bool {
	apart := func(x, y time.Time) bool { return x.Sub(y).Abs() > time.Minute }
	n, m := len(a.Points)-1, len(b.Points)-1
	return apart(a.Points[0].At, b.Points[0].At) || apart(a.Points[n].At, b.Points[m].At)
}

// was finds a task of the old plan.
func (d *drafter) was(id string) *schedule.Task {
	if d.Old == nil {
		return nil
	}
	return d.Old.Task(id)
}

// moved is how much later a task begins than in the old plan; 0 without one.
func (d *drafter) moved(t *schedule.Task) time.Duration {
	if old := d.was(t.ID); old != nil {
		return t.Start.Sub(old.Start)
	}
	return 0
}

// chip is a shift without its unit: "+15", "−1 h 05".
func chip(by time.Duration) string {
	m := math.Round(by.Minutes())
	switch {
	case m == 0:
		return ""
	case math.Abs(m) >= 60:
		return signed(by)
	case m < 0:
		return fmt.Sprintf("−%.0f", -m)
	}
	return fmt.Sprintf("+%.0f", m)
}

// oldHands draws, dashed, when a person would have worked in the old plan,
// wherever that is not when they do now.
func (d *drafter) oldHands(x float64, baker string) {
	if d.Old == nil {
		return
	}
	for i := range d.Old.Tasks {
		t := &d.Old.Tasks[i]
		if now := d.tasks[t.ID]; now != nil && now.Start.Equal(t.Start) {
			continue
		}
		for _, h := range t.Hands {
			if h.Baker == baker {
				d.dashed(x-2, barWidth+4, stretch{h.From, h.To})
			}
		}
	}
}

// oldBakes draws, dashed, what would have been in an oven.
func (d *drafter) oldBakes(x, w float64, o schedule.Oven) {
	if d.Old == nil {
		return
	}
	inside := inOven{drafter: d, oven: o, w: w}
	for i := range d.Old.Tasks {
		t := &d.Old.Tasks[i]
		if t.Oven != o.Name || t.Kind != schedule.Bake {
			continue
		}
		for _, b := range inside.put(t) {
			if now := d.tasks[t.ID]; now == nil || !now.Start.Equal(t.Start) {
				d.dashed(x+b.off, b.w, stretch{t.Start, t.End})
			}
		}
	}
}

func (d *drafter) dashed(x, w float64, at stretch) {
	var p pen
	p.box(x, d.axis.y(at.from), w, max(d.height(at), 2))
	d.front = append(d.front, path{Class: "old", D: p.String()})
}
