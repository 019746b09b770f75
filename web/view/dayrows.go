package view

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/schedule"
)

// dayTable is the table of a day: what is past apart from what is not, and every
// caution once, below.
type dayTable struct {
	Parts []tablePart
	Past  int // rows of the first part, that can be folded away; 0: none are
	Cares []string
	m     *Picture
}

// tablePart is rows that are shown or folded together.
type tablePart struct {
	Class, ID string
	Rows      []Row
}

// fewPast is how many past rows are left where they are.
const fewPast = 2

func (m *Picture) table() dayTable {
	t := dayTable{m: m}
	rows := Rows(m)
	var past, rest []Row
	for _, r := range rows {
		for _, c := range r.Care {
			if !slices.Contains(t.Cares, c) {
				t.Cares = append(t.Cares, c)
			}
		}
		if r.over() {
			past = append(past, r)
		} else {
			rest = append(rest, r)
		}
	}
	if len(past) <= fewPast || len(rest) == 0 {
		t.Parts = []tablePart{{ID: "here", Rows: rows}}
		return t
	}
	t.Past = len(past)
	t.Parts = []tablePart{{Class: "past", ID: "before", Rows: past}, {ID: "here", Rows: underDates(rest)}}
	return t
}

// over reports whether nothing of the row is still to do.
func (r Row) over() bool { return r.State.Class == "done" || r.State.Class == "past" }

// underDates puts the date again before the first row of every day.
func underDates(rows []Row) []Row {
	last := ""
	for i := range rows {
		rows[i].Break = ""
		if rows[i].date != last {
			rows[i].Break, last = rows[i].date, rows[i].date
		}
	}
	return rows
}

// pastWords is the switch that shows what is folded away.
func (t dayTable) pastWords() string {
	return fmt.Sprintf("Show the %s that are past", count(t.Past, "stage"))
}

// cares are the numbers of a row's cautions in the list below.
func (t dayTable) cares(r Row) []string {
	var out []string
	for _, c := range r.Care {
		out = append(out, itoa(slices.Index(t.Cares, c)+1))
	}
	return out
}

// mostUnderWay is how much of what goes on is named; the table has all.
const mostUnderWay = 5

// underWay says in a line what goes on at now, empty when nothing does.
func (m *Picture) underWay() string {
	var all []string
	for i := range m.Plan.Tasks {
		t := &m.Plan.Tasks[i]
		if s := m.stateOf(t); s.Class == "due" {
			all = append(all, m.briefly(t)+" till "+Clock(t.End, m.Now))
		}
	}
	if more := len(all) - mostUnderWay; more > 0 {
		all = append(all[:mostUnderWay], fmt.Sprintf("and %d more", more))
	}
	return strings.Join(all, " · ")
}

// nextHands says what hands do next, empty after the last work.
func (m *Picture) nextHands() string {
	for i := range m.Plan.Tasks {
		t := &m.Plan.Tasks[i]
		if len(t.Hands) > 0 && t.Start.After(m.Now) && !m.Done[t.ID] {
			return Clock(t.Start, m.Now) + " " + m.briefly(t) + ", " + handsOf(t)
		}
	}
	return ""
}

// briefly is a task with its dough: "Fold B Hearth loaf".
func (m *Picture) briefly(t *schedule.Task) string {
	return strings.TrimSpace(m.Words.What(t) + " " + m.nameOf(t))
}
