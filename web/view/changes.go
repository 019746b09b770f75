package view

import (
	"fmt"
	"time"

	"ovenward/schedule"
)

// maxMoves is how many moved tasks are named before the rest is counted.
const maxMoves = 8

// Changes says what a new plan moves against the one before: "Mix A 03:10 →
// 02:45 (−25 min)". Work of hands only; what follows from it needs no telling.
func (w Words) Changes(old, new *schedule.Plan) []string {
	was := map[string]*schedule.Task{}
	for i := range old.Tasks {
		was[old.Tasks[i].ID] = &old.Tasks[i]
	}
	var out []string
	var moved, added, gone int
	for i := range new.Tasks {
		t := &new.Tasks[i]
		b := was[t.ID]
		delete(was, t.ID)
		switch {
		case len(t.Hands) == 0:
		case b == nil || b.Kind != t.Kind || breadOf(old, b) != breadOf(new, t):
			added++
		case !b.Start.Equal(t.Start):
			if moved++; moved <= maxMoves {
				out = append(out, w.moved(t, b.Start))
			}
		}
	}
	for _, b := range was {
		if len(b.Hands) > 0 {
			gone++
		}
	}
	if more := moved - maxMoves; more > 0 {
		out = append(out, fmt.Sprintf("%s more moved.", count(more, "task")))
	}
	if added > 0 {
		out = append(out, count(added, "task")+" added.")
	}
	if gone > 0 {
		out = append(out, count(gone, "task")+" dropped.")
	}
	if len(out) == 0 {
		out = append(out, "No time has changed.")
	}
	return out
}

// breadOf is the bread or dough a task is for; its name may have been changed.
func breadOf(p *schedule.Plan, t *schedule.Task) string {
	for _, b := range p.Batches {
		for _, x := range b.Portions {
			if x.ID == t.Portion {
				return x.Bread
			}
		}
		if b.ID == t.Batch {
			return b.Dough
		}
	}
	return ""
}

func (w Words) moved(t *schedule.Task, from time.Time) string {
	return fmt.Sprintf("%s, %s: %s → %s (%s)", w.Short(t, 0), t.Name, clock(from), Clock(t.Start, from), signed(t.Start.Sub(from)))
}
