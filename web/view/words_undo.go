package view

import (
	"math"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
)

// LastTouches is where on its page the list of what can be taken back stands.
const LastTouches = "#undo"

// Undo words a touch for taking it back; log is what has happened.
func (m *Picture) Undo(t record.Touch, log []schedule.Slip, now time.Time) *Undo {
	more := 0
	for _, o := range t.With {
		if o.Kind == t.Kind {
			more++
		}
	}
	what := m.Tapped(t.Tap)
	for _, s := range log {
		if s.ID == t.ID && happened[s.Kind] != "" { // with what was measured, who and until when
			what = m.occurred(s)
		}
	}
	return &Undo{Tap: t.ID, Task: t.Task, Version: m.Version, What: AndMore(what, more), At: t.Recorded.In(m.Now.Location()), Left: t.Left(now)}
}

// StandsOn says that one thing said has to be taken back before another can be.
func StandsOn(u *Undo) string { return "“" + u.What + "” was said after this and stands on it." }

// left says for how long something can be taken back, each minute begun a whole one.
func (u Undo) left() string {
	return unit.Minutes(max(1, math.Ceil(u.Left.Minutes()))).String() + " left"
}

// earlier leads to what else can be taken back.
func (u Undo) earlier() string { return itoa(u.More) + " more" }
