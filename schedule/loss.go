package schedule

import (
	"context"
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// Loss is dough that was thrown away, and what becomes of its orders: it is made
// again, as portions of other IDs, or left out.
type Loss struct {
	Slip    string    `json:"slip"` // ID of the slip that says so
	At      time.Time `json:"at"`
	Task    string    `json:"task"`               // ID of the task it was said of
	Batch   Batch     `json:"batch"`              // as it was mixed, with the portions that were lost of it
	Tasks   []Task    `json:"tasks"`              // as they were planned, of what was lost alone
	Again   []string  `json:"again,omitempty"`    // IDs of the portions made in its place
	LeftOut bool      `json:"left_out,omitempty"` // nothing is made in its place
}

// The kinds of choice where dough was thrown away.
const (
	MakeAgain ChoiceKind = "make-again" // it is made once more
	LeaveOut  ChoiceKind = "leave-out"  // it is not made
	PutBack   ChoiceKind = "put-back"   // it was not lost after all, and is in the plan again
)

// Pieces is how many pieces of an order were lost.
func (l *Loss) Pieces(order int) (n int) {
	for _, q := range l.Batch.Portions {
		if q.Order == order {
			n += q.Pieces
		}
	}
	return n
}

// has says whether a task was of what was lost alone.
func (l *Loss) has(task string) bool {
	return slices.ContainsFunc(l.Tasks, func(t Task) bool { return t.ID == task })
}

// Losses are the doughs a log says were thrown away, in its order: those the plan
// has accounted for already, and others as they are in it.
func (p *Plan) Losses(log []Slip) []Loss {
	var out []Loss
	for i, s := range log {
		if s.Kind != DoughLost {
			continue
		}
		if k := slices.IndexFunc(p.Lost, func(l Loss) bool { return l.Slip == s.ID }); k >= 0 {
			out = append(out, p.Lost[k])
		} else if l, ok := p.loss(s, log[:i], out); ok {
			out = append(out, l)
		}
	}
	return out
}

// loss is what is thrown away with a dough, of which some may be lost already:
// one portion once it is taken, the whole dough and what is not taken from it
// before. Who throws away a part begins the dough anew.
func (p *Plan) loss(s Slip, before []Slip, gone []Loss) (Loss, bool) {
	t := p.Task(s.Task)
	if t == nil {
		return Loss{}, false
	}
	i := slices.IndexFunc(p.Batches, func(b Batch) bool { return b.ID == t.Batch })
	if i < 0 {
		return Loss{}, false
	}
	whole := t.Portion == "" || p.undivided(t, before)
	l := Loss{Slip: s.ID, At: s.At, Task: s.Task, Batch: p.Batches[i]}
	var rest []Portion
	l.Batch.Portions = nil
	for _, q := range p.Batches[i].Portions {
		lost := q.ID == t.Portion || whole && !p.begun(q.ID, before)
		switch {
		case slices.ContainsFunc(gone, func(l Loss) bool { return l.portion(q.ID) }):
		case lost:
			l.Batch.Portions = append(l.Batch.Portions, q)
		default:
			rest = append(rest, q)
		}
	}
	for _, o := range p.Tasks {
		if l.portion(o.Portion) || len(rest) == 0 && o.Batch == t.Batch && o.Portion == "" {
			l.Tasks = append(l.Tasks, o)
		}
	}
	return l, len(l.Batch.Portions) > 0
}

// portion says whether a portion was lost.
func (l *Loss) portion(id string) bool {
	return slices.ContainsFunc(l.Batch.Portions, func(q Portion) bool { return q.ID == id })
}

// threw says whether a task is of what was thrown away alone.
func (a *amended) threw(t *Task) bool {
	return slices.ContainsFunc(a.lost, func(l Loss) bool { return l.has(t.ID) })
}

// knows says whether a plan has accounted for a loss.
func (p *Plan) knows(l *Loss) bool {
	return slices.ContainsFunc(p.Lost, func(o Loss) bool { return o.Slip == l.Slip })
}

// begun says whether it was said of a portion that it was taken from its dough.
func (p *Plan) begun(portion string, log []Slip) bool {
	return slices.ContainsFunc(log, func(s Slip) bool {
		t := p.Task(s.Task)
		return t != nil && t.Portion == portion && (s.Kind == Started || s.Kind == Done)
	})
}

// undivided says whether the dough is still whole when a portion is to be taken
// from it by a task.
func (p *Plan) undivided(t *Task, log []Slip) bool {
	return !slices.ContainsFunc(p.Tasks, func(o Task) bool {
		switch {
		case o.Batch != t.Batch:
			return false
		case o.Portion == "":
			return o.Kind == Divide
		}
		return o.Start.Before(t.Start) || p.begun(o.Portion, log)
	})
}

// putBack is the plan with what it takes for lost, and the log does not say any
// more, back in it; what was to be made in its place and is not begun by now is
// not made.
func (p *Plan) putBack(log []Slip, now time.Time) *Plan {
	said := func(l Loss) bool {
		return slices.ContainsFunc(log, func(s Slip) bool { return s.ID == l.Slip && s.Kind == DoughLost })
	}
	if !slices.ContainsFunc(p.Lost, func(l Loss) bool { return !said(l) }) {
		return p
	}
	out := *p
	out.Batches, out.Tasks, out.Lost = slices.Clone(p.Batches), slices.Clone(p.Tasks), nil
	started, _ := p.startedBatches(log, now)
	for _, l := range p.Lost {
		if said(l) {
			out.Lost = append(out.Lost, l)
			continue
		}
		out.remove(func(b *Batch, q *Portion) bool { return slices.Contains(l.Again, q.ID) && !started[b.ID] })
		i := slices.IndexFunc(out.Batches, func(b Batch) bool { return b.ID == l.Batch.ID })
		if i < 0 {
			out.Batches = append(out.Batches, l.Batch)
		} else {
			out.Batches[i].Portions = slices.Concat(out.Batches[i].Portions, l.Batch.Portions)
		}
		out.Tasks = append(out.Tasks, l.Tasks...)
	}
	sortTasks(out.Tasks)
	return &out
}

// remove takes portions out of a plan, and batches that are empty then.
func (p *Plan) remove(gone func(*Batch, *Portion) bool) {
	var kept []Batch
	for _, b := range p.Batches {
		left := slices.DeleteFunc(slices.Clone(b.Portions), func(q Portion) bool { return gone(&b, &q) })
		p.Tasks = slices.DeleteFunc(p.Tasks, func(t Task) bool {
			portion := slices.ContainsFunc(b.Portions, func(q Portion) bool { return q.ID == t.Portion && gone(&b, &q) })
			return t.Batch == b.ID && (portion || len(left) == 0)
		})
		if b.Portions = left; len(left) > 0 {
			kept = append(kept, b)
		}
	}
	p.Batches = kept
}

// lostOf is how much of a batch's dough was thrown away, and in how many pieces;
// piece is how much of it is in a piece of a bread.
func lostOf(all []Loss, batch string, piece func(*Bread) unit.Grams, d *Day) (mass unit.Grams, pieces int) {
	for _, l := range all {
		for _, q := range l.Batch.Portions {
			if b, ok := d.Bread(q.Bread); ok && l.Batch.ID == batch {
				mass += piece(b) * unit.Grams(q.Pieces)
				pieces += q.Pieces
			}
		}
	}
	return mass, pieces
}

// longest is how long what is made again took in the plan that had it.
func (a *amended) longest(p *Plan) (most time.Duration) {
	for _, l := range a.lost {
		var begin, end time.Time
		for _, t := range slices.Concat(p.Tasks, l.Tasks) {
			if t.Batch != l.Batch.ID || l.LeftOut {
				continue
			}
			if begin.IsZero() || t.Start.Before(begin) {
				begin = t.Start
			}
			end = Later(end, t.End)
		}
		most = max(most, end.Sub(begin))
	}
	return most
}

// has says whether a plan has all of a batch.
func (p *Plan) has(b *batchPlan) bool {
	return !slices.ContainsFunc(b.portions, func(q portionPlan) bool { return p.portion(q.ID).ID == "" })
}

// nextDay is by how much bread is too late to be made again on the day.
const nextDay unit.Minutes = 12 * 60

// sameDay says whether nothing comes so late that it is another day's bread.
func (c *Choice) sameDay() bool {
	return !slices.ContainsFunc(c.Late, func(l Lateness) bool { return l.By > nextDay })
}

// afterLoss are the ways on where dough was thrown away: it is made again, if that
// can still be on the day, or left out.
func (r *repair) afterLoss(ctx context.Context, d *Day) ([]Choice, error) {
	left, err := newRepair(d, r.given, r.log, r.now, r.settings, true)
	if err != nil {
		return nil, err
	}
	var out []Choice
	add := func(r *repair, kind ChoiceKind) error {
		all, err := r.choices(ctx)
		for _, c := range all {
			if kind == LeaveOut || c.Kind != Keep && c.sameDay() { // what begins anew has no times to keep
				c.Kind = kind
				out = append(out, c)
				break
			}
		}
		return err
	}
	if slices.ContainsFunc(r.lost, func(l Loss) bool { return !r.given.knows(&l) && len(l.Again) > 0 }) {
		if err := add(r, MakeAgain); err != nil {
			return nil, err
		}
	}
	if err := add(left, LeaveOut); err != nil {
		return nil, err
	}
	slices.SortStableFunc(out, func(a, b Choice) int { return len(a.Broken) - len(b.Broken) })
	return out, nil
}
