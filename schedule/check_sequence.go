package schedule

import (
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// sequence judges the order and the lengths of a dish's tasks.
func (c *judge) sequence(b *dish) {
	whole := b.sound // with a gap in it, what follows what is not known
	for _, l := range b.lanes() {
		for i, s := range l.steps {
			c.length(l, s)
			if i > 0 && whole && !c.follows(l.steps[i-1], s, false) {
				b.sound = false
			}
		}
	}
	if !b.sound {
		return
	}
	for _, l := range b.parts {
		if i := slices.IndexFunc(b.whole.steps, func(s step) bool { return s.stage.Kind == Mix }); i >= 0 && len(l.steps) > 0 {
			last := l.steps[len(l.steps)-1]
			b.sound = c.follows(last, b.whole.steps[i], last.stage.Kind == Prepare) && b.sound
		}
	}
	if n := len(b.whole.steps); n > 0 && len(b.shares) > 0 {
		b.sound = c.parting(b.whole.steps[n-1], b.shares) && b.sound
	}
}

// length judges how long a task is, and where a wait is.
func (c *judge) length(l *lane, s step) {
	t := s.task
	took := t.End.Sub(t.Start)
	switch {
	case s.stage.Kind.Waits():
		c.between(s, t, took, s.stage.Least, s.stage.Most)
	case t.Chilled && s.stage.Chill == nil:
		c.breach(BadTask, t, t.Place, t.Start, 0)
	case t.Chilled:
		c.between(s, t, took, s.stage.Chill.Least, s.stage.Chill.Most)
	case !s.stage.Kind.Rises():
		if want := minutes(s.stage.Duration(l.pieces)); took != want {
			c.breach(BadDuration, t, "", t.Start, (took - want).Abs())
		}
	}
	if s.idle() && c.place(t.Place) != c.place(wanted(s)) {
		c.breach(BadTask, t, t.Place, t.Start, 0)
	}
	for _, f := range s.folds {
		if took := f.End.Sub(f.Start); took != minutes(FoldMinutes) {
			c.breach(BadDuration, f, "", f.Start, (took - minutes(FoldMinutes)).Abs())
		}
		if f.Start.Before(t.Start) || f.End.After(t.End) {
			c.breach(BadTask, f, "", f.Start, 0)
		}
	}
}

// wanted is the place a method wants a wait to be in.
func wanted(s step) string {
	if s.task.Chilled && s.stage.Chill != nil {
		return s.stage.Chill.Place
	}
	return s.stage.Place
}

// place finds a place by name, nil for none.
func (c *judge) place(name string) *Place {
	if p, ok := c.day.Kitchen.Place(name); ok {
		return p
	}
	return nil
}

// between wants a wait that t ends or follows to have taken least to most.
func (c *judge) between(s step, t *Task, took time.Duration, least, most unit.Minutes) {
	if short := minutes(least) - took; short > 0 {
		c.breach(BadWait, t, "", s.task.Start.Add(took), short)
	}
	if over := took - minutes(most); over > 0 {
		c.breach(BadWait, t, "", s.task.Start.Add(took), over)
	}
}

// follows wants b to begin when a ends where one of them is a wait, within the
// slack otherwise, or whenever it likes. It is false when b begins before.
func (c *judge) follows(a, b step, whenever bool) bool {
	gap := b.task.Start.Sub(a.task.End)
	most := c.slack
	if a.idle() || b.idle() {
		most = 0
	}
	switch {
	case gap < 0:
		c.breach(BadTask, b.task, "", b.task.Start, -gap)
		return false
	case gap > most && !whenever:
		c.breach(BadWait, b.task, "", b.task.Start, gap-most)
	}
	return true
}

// parting wants the whole dough's last wait to end when the first portion is
// taken, and what is taken later to have waited no longer than it may. It is
// false when a portion is taken before the dough is there.
func (c *judge) parting(tail step, shares []*lane) bool {
	first := shares[0].steps[0].task
	for _, l := range shares {
		t := l.steps[0].task
		if t.Start.Before(first.Start) {
			first = t
		}
	}
	if first.Start.Before(tail.task.End) {
		c.breach(BadTask, first, "", first.Start, tail.task.End.Sub(first.Start))
		return false
	}
	if gap := first.Start.Sub(tail.task.End); tail.idle() && gap > 0 {
		c.breach(BadWait, first, "", first.Start, gap)
	}
	for _, l := range shares {
		t := l.steps[0].task
		took := t.Start.Sub(tail.task.Start)
		switch {
		case tail.stage.Kind.Waits() && t != first:
			c.between(tail, t, took, tail.stage.Least, tail.stage.Most)
		case tail.task.Chilled && tail.stage.Chill != nil && t != first:
			c.between(tail, t, took, tail.stage.Chill.Least, tail.stage.Chill.Most)
		case !tail.idle():
			if over := t.Start.Sub(tail.task.End) - c.slack; over > 0 {
				c.breach(BadWait, t, "", t.Start, over)
			}
		}
	}
	return true
}
