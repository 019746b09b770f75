package view

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/schedule"
)

// taskOf finds a task of the plan, or of what was thrown away of it; nil for none.
func (m *Picture) taskOf(id string) *schedule.Task {
	if t := m.Plan.Task(id); t != nil {
		return t
	}
	for _, l := range m.Plan.Lost {
		for i := range l.Tasks {
			if l.Tasks[i].ID == id {
				return &l.Tasks[i]
			}
		}
	}
	return nil
}

// threw says whether a task was of dough that the plan has given up.
func (m *Picture) threw(id string) bool {
	return slices.ContainsFunc(m.Plan.Lost, func(l schedule.Loss) bool {
		return slices.ContainsFunc(l.Tasks, func(t schedule.Task) bool { return t.ID == id })
	})
}

// withLost are the tasks of the plan, in order of time, with those that had begun
// of dough when it was thrown away, which ended them.
func (m *Picture) withLost() []*schedule.Task {
	var out []*schedule.Task
	for i := range m.Plan.Tasks {
		out = append(out, &m.Plan.Tasks[i])
	}
	for _, l := range m.Plan.Lost {
		for _, t := range l.Tasks {
			if !t.Start.Before(l.At) {
				continue
			}
			if t.End.After(l.At) {
				t.End = l.At
			}
			t.Late, t.Window, t.TooFar = 0, nil, nil
			out = append(out, &t)
		}
	}
	slices.SortStableFunc(out, func(a, b *schedule.Task) int { return a.Start.Compare(b.Start) })
	return out
}

// again marks the tasks of what is made in the place of dough thrown away.
func (m *Picture) again(t *schedule.Task) string {
	for _, l := range m.Plan.Lost {
		for _, id := range l.Again {
			if id == t.Portion || t.Portion == "" && t.Batch != "" && strings.TrimRight(id, "0123456789") == t.Batch {
				return ", made again"
			}
		}
	}
	return ""
}

// Losses says of everything that was thrown away what it was, and what becomes of
// its orders.
func (m *Picture) Losses() (out []string) {
	for i := range m.Plan.Lost {
		l := &m.Plan.Lost[i]
		s := fmt.Sprintf("Thrown away at %s: %s. ", Clock(l.At, m.Now), m.lost(l))
		if l.LeftOut {
			out = append(out, s+"It is left out.")
		} else {
			out = append(out, s+"Made again: "+m.anew(l))
		}
	}
	return out
}

// newlyLost says what becomes of what was thrown away since a plan was made.
func (m *Picture) newlyLost(old *schedule.Plan) (out []string) {
	for i := range m.Plan.Lost {
		l := &m.Plan.Lost[i]
		switch {
		case slices.ContainsFunc(old.Lost, func(o schedule.Loss) bool { return o.Slip == l.Slip }):
		case l.LeftOut:
			out = append(out, fmt.Sprintf("Not made: %s. Tell whoever waits for it.", m.lost(l)))
		default:
			out = append(out, m.anew(l))
		}
	}
	return out
}

// lost lists what was thrown away by its orders: "18 Plain bun for the office".
func (m *Picture) lost(l *schedule.Loss) string {
	var out []string
	for i := range m.Day.Orders {
		if n := l.Pieces(i); n > 0 {
			out = append(out, fmt.Sprintf("%d %s", n, m.ordered(schedule.Lateness{Order: i, Bread: m.Day.Orders[i].Bread})))
		}
	}
	return list(out)
}

// anew says when what is made in its place begins and ends.
func (m *Picture) anew(l *schedule.Loss) string {
	var out []string
	for _, b := range m.Plan.Batches {
		var made []string
		for _, q := range b.Portions {
			if slices.Contains(l.Again, q.ID) {
				made = append(made, fmt.Sprintf("%d %s", q.Pieces, q.Name))
			}
		}
		i := slices.IndexFunc(m.Plan.Tasks, func(t schedule.Task) bool { return t.Batch == b.ID })
		if len(made) > 0 && i >= 0 {
			out = append(out, fmt.Sprintf("%s %s is begun at %s for %s", b.ID, b.Name, Clock(m.Plan.Tasks[i].Start, m.Now), list(made)))
		}
	}
	if len(out) == 0 {
		return "all that was wanted of it is there."
	}
	return strings.Join(out, "; ") + "."
}
