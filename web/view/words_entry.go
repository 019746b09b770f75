package view

import (
	"strings"

	"ovenward/schedule"
)

// Entry words a task for a calendar: what is done to what, and what there is to
// know about it.
func (m *Picture) Entry(t *schedule.Task, part string) (title, text string) {
	hand := 0
	if part == "unload" {
		hand = 1
	}
	title = m.Words.do(t, hand)
	if of := m.nameOf(t); of != "" {
		title += ", " + of
	}
	lines := []string{m.Much(t)}
	if t.TooFar != nil && hand == 0 {
		lines = append(lines, "fine until "+Clock(*t.TooFar, t.Start))
	}
	lines = append(lines, m.Cautions(t)...)
	return title, strings.Trim(strings.Join(lines, "\n"), "\n")
}
