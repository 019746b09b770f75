package ical

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"ovenward/schedule"
)

// Part is which part of a task an entry stands for.
type Part string

// The parts of a task.
const (
	Work   Part = "work"   // hands at work
	Load   Part = "load"   // hands putting a bake in
	Unload Part = "unload" // hands taking a bake out
	Heat   Part = "heat"   // the oven is switched on or over
	Wait   Part = "wait"   // nobody's hands are needed: a rise, a rest, a bake
)

// Entry is one event of the calendar.
type Entry struct {
	Task     *schedule.Task
	Part     Part
	Baker    string // "" where no hands are needed
	From, To time.Time
	id       string // unique in the plan, the same as long as the task's ID is
}

// Entries lists what a plan has for a calendar, by time: one entry for every
// span of hands, one for every heating of the oven and, if asked for, one for
// every wait.
func Entries(p *schedule.Plan, waits bool) []Entry {
	var all []Entry
	for i := range p.Tasks {
		t := &p.Tasks[i]
		for n, h := range t.Hands {
			all = append(all, Entry{t, handsPart(t, n), h.Baker, h.From, h.To, fmt.Sprintf("%s-%d", t.ID, n+1)})
		}
		switch {
		case t.Kind == schedule.Preheat:
			all = append(all, Entry{Task: t, Part: Heat, From: t.Start, To: t.End, id: t.ID})
		case waits && (t.Kind == schedule.Bake || !t.Kind.Work()):
			all = append(all, Entry{Task: t, Part: Wait, From: t.Start, To: t.End, id: t.ID})
		}
	}
	slices.SortStableFunc(all, func(a, b Entry) int {
		return cmp.Or(a.From.Compare(b.From), cmp.Compare(a.id, b.id))
	})
	return all
}

// handsPart is what the n-th pair of hands of a task does.
func handsPart(t *schedule.Task, n int) Part {
	switch {
	case t.Kind != schedule.Bake:
		return Work
	case n == 0:
		return Load
	}
	return Unload
}

// wall is when an entry is by the clocks of its place. Calendars show instants
// in the zone of whoever looks; the bench has only one.
func (e Entry) wall(loc *time.Location) string {
	from, to := e.From.In(loc), e.To.In(loc)
	const day, clock = "Mon 2 Jan 15:04", "15:04"
	end := clock
	if from.YearDay() != to.YearDay() {
		end = day
	}
	_, a := from.Zone()
	if _, b := to.Zone(); a != b { // the clocks change in between
		return fmt.Sprintf("%s–%s (%s)", from.Format(day+" MST"), to.Format(end+" MST"), loc)
	}
	return fmt.Sprintf("%s–%s (%s)", from.Format(day), to.Format(end), loc)
}
