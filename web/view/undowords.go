package view

import (
	"math"
	"time"

	"ovenward/schedule/unit"
	"ovenward/store/record"
)

// LastTouches is where on its page the list of what can be taken back stands.
const LastTouches = "#undo"

// Undo words a touch for taking it back.
func (m *Picture) Undo(t record.Touch, now time.Time) *Undo {
	more := 0
	for _, o := range t.With {
		if o.Kind == t.Kind {
			more++
		}
	}
	return &Undo{Tap: t.ID, Task: t.Task, Version: m.Version, What: AndMore(m.Tapped(t.Tap), more), At: t.Recorded.In(m.Now.Location()), Left: t.Left(now)}
}

// StandsOn says that one thing said has to be taken back before another can be.
func StandsOn(u *Undo) string { return "“" + u.What + "” was said after this and stands on it." }

// left says for how long something can be taken back, in whole minutes begun.
func (u Undo) left() string {
	return "for " + unit.Minutes(max(1, math.Ceil(u.Left.Minutes()))).String() + " yet"
}
