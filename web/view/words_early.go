package view

import (
	"fmt"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// AskedEarly is the question whether work was done, or begun, far ahead of its time.
type AskedEarly struct{ What, Planned, First, Ask, Yes string }

// Early words the question; kind is what was said.
func (m *Picture) Early(e *schedule.Early, kind schedule.SlipKind) AskedEarly {
	word := "done"
	if kind == schedule.Started {
		word = "begun"
	}
	a := AskedEarly{What: e.Task, Ask: "Is it " + word + " already?", Yes: "Yes, it is " + word}
	if t := m.taskOf(e.Task); t != nil {
		a.What = m.taskName(t)
	}
	a.Planned = fmt.Sprintf("This was planned for %s. It is %s, %s before.", dayClock(e.Start, m.Now), clock(m.Now), unit.Minutes(e.Start.Sub(m.Now).Minutes()))
	if t := m.taskOf(e.First); t != nil {
		a.First = fmt.Sprintf("What it is made of is not there yet: %s is planned for %s.", m.taskName(t), dayClock(t.Start, m.Now))
	}
	return a
}

// Sentence is the question for a program, as one sentence.
func (a AskedEarly) Sentence() string { return a.What + ": " + a.Planned + " " + a.Ask }

// dayClock is a time with its day: "today 05:10", "tomorrow 05:10", "Mon 05:10".
func dayClock(t, now time.Time) string {
	switch {
	case sameDay(t, now):
		return "today " + clock(t)
	case sameDay(t, now.AddDate(0, 0, 1)):
		return "tomorrow " + clock(t)
	}
	return Clock(t, now)
}
