package schedule

import (
	"time"

	"ovenward/schedule/unit"
)

// snoozesInARow is how often a call can be put off before somebody has to say
// something of it.
const snoozesInARow = 2

// Snoozes are the minutes a call may be put off at a moment: so long that the
// hands can still be done by too far. Nil if not at all.
func (a Alert) Snoozes(h Heard, now time.Time) []unit.Minutes {
	if a.Class == HeadsUp || h.Snoozes >= snoozesInARow {
		return nil
	}
	var out []unit.Minutes
	for _, m := range []unit.Minutes{5, 10, 20, 40} {
		until := now.Add(time.Duration(m) * time.Minute)
		if a.TooFar.IsZero() || !until.After(a.latestBegin()) {
			out = append(out, m)
		}
	}
	return out
}

// Price is how much later than planned the worst hit promise is met when a task
// begins at start instead, 0 if none is. What follows keeps its order and moves
// along: the same dough, the same hands, oven and mixer. Rises give up what they
// were planned beyond ready. Working hours are left out of account.
func Price(p *Plan, task string, start time.Time) (late unit.Minutes) {
	moved := make([]shift, len(p.Tasks)) // p.Tasks is by start, so what comes before is known
	for i := range p.Tasks {
		t := &p.Tasks[i]
		s := &moved[i]
		if t.ID == task {
			s.start = max(start.Sub(t.Start), 0)
		}
		for k := range i {
			s.start = max(s.start, moved[k].pushes(&p.Tasks[k], t))
		}
		s.end = s.start
		if w := t.Window; w != nil {
			s.end = max(s.start-max(t.End.Sub(w.Ready), 0), 0)
		}
		if t.Promise != nil {
			over := max(t.End.Add(s.end).Sub(*t.Promise), 0) - max(t.End.Sub(*t.Promise), 0)
			late = max(late, unit.Minutes(over.Minutes()))
		}
	}
	return late
}

// shift is how much later a task begins and ends.
type shift struct{ start, end time.Duration }

// pushes is how much later u begins at least because t is shifted.
func (s shift) pushes(t, u *Task) (by time.Duration) {
	after := func(end time.Time, moved time.Duration, begin time.Time) {
		if moved > 0 && !end.After(begin) {
			by = max(by, end.Add(moved).Sub(begin))
		}
	}
	sameMachine := t.Oven != "" && t.Oven == u.Oven || t.Mixer != "" && t.Mixer == u.Mixer
	if t.LeadsTo(u) || sameMachine {
		after(t.End, s.end, u.Start)
	}
	if len(u.Hands) == 0 {
		return by
	}
	for k, h := range t.Hands {
		moved := s.start
		if k > 0 {
			moved = s.end
		}
		if h.Baker == u.Hands[0].Baker {
			after(h.To, moved, u.Hands[0].From)
		}
	}
	return by
}
