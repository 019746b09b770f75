package schedule

import (
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// Follow is a plan after what was said of its works, as far as the clock alone
// decides: what was begun or ended at another minute lasts as long as planned,
// bread has its time in the oven, and what rests or cools has its least. Nothing
// else moves: when a rise ends is for [Replan] to say, and to move work is a
// choice. Where
// nothing moves it is p itself; p is never changed.
func Follow(d *Day, p *Plan, log []Slip) *Plan {
	f := follower{day: d, plan: p, tasks: slices.Clone(p.Tasks), said: map[string]map[SlipKind]Slip{}}
	for _, s := range log {
		if f.said[s.Task] == nil {
			f.said[s.Task] = map[SlipKind]Slip{}
		}
		if old, ok := f.said[s.Task][s.Kind]; !ok || !s.At.Before(old.At) {
			f.said[s.Task][s.Kind] = s
		}
	}
	moved := false
	for i := range f.tasks { // by start, so that what leads to a task comes before it
		moved = f.task(i) || moved
	}
	if !moved {
		return p
	}
	out := *p
	out.Tasks = f.tasks
	return &out
}

// follower goes through a plan in order of time.
type follower struct {
	day   *Day
	plan  *Plan
	tasks []Task                       // as followed so far
	said  map[string]map[SlipKind]Slip // by task and kind, the latest
}

// task follows one task and says whether it moves.
func (f *follower) task(i int) (moved bool) {
	t := f.plan.Tasks[i]
	start, end := t.Start, t.End
	floor := f.floor(i)
	switch {
	case floor.IsZero():
	case t.Kind.Rises():
		if floor.Before(end) {
			start = floor
		}
	case t.Kind.Waits():
		start = floor
		end = Later(end, start.Add(leastOf(f.day, f.plan, &t)))
	case floor.After(start):
		start, end = floor, end.Add(floor.Sub(start))
	}
	if !t.Kind.Rises() {
		start, end = f.heard(&t, start, end)
	}
	if start.Equal(t.Start) && end.Equal(t.End) {
		return false
	}
	f.tasks[i].move(start, end)
	return true
}

// floor is when all that leads to a task by the clock has ended; zero for
// nothing.
func (f *follower) floor(i int) (at time.Time) {
	u := &f.plan.Tasks[i]
	for k := range f.plan.Tasks {
		t := &f.plan.Tasks[k]
		if k != i && t.LeadsTo(u) && !t.Kind.Rises() && !t.End.After(u.Start) {
			at = Later(at, f.tasks[k].End)
		}
	}
	return at
}

// heard is a task's span after what was said of itself.
func (f *follower) heard(t *Task, start, end time.Time) (from, to time.Time) {
	said, length := f.said[t.ID], end.Sub(start)
	minute := func(s Slip) time.Time { return s.At.Truncate(time.Minute).In(t.Start.Location()) }
	if s, ok := said[Started]; ok {
		start = minute(s)
		end = start.Add(length)
	}
	if s, ok := said[NotYet]; ok {
		end = Later(end, minute(s).Add(minutes(s.Minutes)))
	}
	_, begun := said[Started]
	if s, ok := said[Done]; ok {
		if end = minute(s); !begun && start.After(end) { // earlier than planned
			start = end.Add(-length)
		}
	}
	if s, ok := said[Skipped]; ok {
		end = minute(s)
	}
	if start.After(end) {
		start = end
	}
	return start, end
}

// move puts a task at another time: the hands that begin it go with its
// beginning, those that end it with its end.
func (t *Task) move(start, end time.Time) {
	began, ended := start.Sub(t.Start), end.Sub(t.End)
	t.Hands = slices.Clone(t.Hands)
	for k := range t.Hands {
		h, by := &t.Hands[k], began
		if k > 0 {
			by = ended
		}
		closing := h.To.Equal(t.End)
		if h.From, h.To = h.From.Add(by), h.To.Add(by); closing {
			h.To = end
		}
		h.From, h.To = within(h.From, start, end), within(h.To, start, end)
	}
	if t.Window != nil { // what begins later is ripe later
		w := *t.Window
		for _, at := range []*time.Time{&w.Ready, &w.Best, &w.Late, &w.TooFar, &w.Early, &w.Tardy} {
			*at = at.Add(began)
		}
		t.Window = &w
	}
	t.Start, t.End = start, end
	if t.Promise != nil {
		t.Late = unit.Minutes(max(end.Sub(*t.Promise), 0).Minutes())
	}
}

// within is an instant, or the nearer of two it does not lie between.
func within(t, from, to time.Time) time.Time {
	switch {
	case t.Before(from):
		return from
	case t.After(to):
		return to
	}
	return t
}

// LeadsTo says whether a task's dough goes into another's: the same dough, a part
// into the whole, the whole into its portions.
func (t *Task) LeadsTo(u *Task) bool {
	return t.Batch != "" && t.Batch == u.Batch && (t.Portion == "" || t.Portion == u.Portion) && (t.Part == u.Part || u.Part == "")
}
