package schedule

import (
	"slices"
	"time"
)

// Early is a task said to be begun or done long before it was to be, or before the
// dough it needs is made: as likely as not a finger on the wrong line.
type Early struct {
	Task  string    // its ID
	Start time.Time // when it was to begin
	First string    // ID of the mix it needs that is to come, "" = none
}

// longBefore is how long before its time a task is done by nobody who has not planned
// anew. Common practice, no source.
const longBefore = time.Hour

// FarAhead says whether a slip is of a task that is to begin much later; p is the plan
// as it runs. What was said to be begun before is not asked about again.
func FarAhead(p *Plan, log []Slip, s Slip) *Early {
	t := p.Task(s.Task)
	if t == nil || s.Kind != Started && s.Kind != Done || begunBy(log, t.ID) {
		return nil
	}
	e := Early{Task: t.ID, Start: t.Start}
	for i := range p.Tasks {
		if o := &p.Tasks[i]; o.Kind == Mix && o.ID != t.ID && o.LeadsTo(t) && o.Start.After(s.At) && o.Start.Before(t.Start) && !begunBy(log, o.ID) {
			e.First = o.ID
		}
	}
	if e.First == "" && t.Start.Sub(s.At) < longBefore {
		return nil
	}
	return &e
}

// begunBy says whether a task was said to be begun, or done.
func begunBy(log []Slip, task string) bool {
	return slices.ContainsFunc(log, func(s Slip) bool { return s.Task == task && (s.Kind == Started || s.Kind == Done) })
}
