package view

import (
	"fmt"
	"strings"
	"time"

	"ovenward/schedule"
)

// Row is a task in the table of the day, worded.
type Row struct {
	ID     string
	Batch  string // "" for an oven's
	At     string // "04:05"
	Till   string
	Stamp  string // start, for machines
	What   string // "Mix"
	Of     string // "A Milk dough"
	Much   string // "18 × 70 g"
	Where  string
	Hands  string
	Ready  string
	TooFar string
	State  State
	Gone   bool // of dough that was thrown away
	Why    string
	Care   []string // cautions
	Break  string   // date, where a new day begins before this row
	date   string
}

// State is how far a task has got: sign, word and form, never colour alone.
type State struct{ Sign, Word, Class string }

// stateOf words the state of a task.
func (m *Picture) stateOf(t *schedule.Task) State {
	switch {
	case m.Lost[t.ID], m.threw(t.ID):
		return State{"–", "thrown away", "past"}
	case m.Done[t.ID]:
		return State{"✓", "done", "done"}
	case t.Late > 0:
		return State{"!", "late", "late"}
	case len(t.Hands) > 0 && m.Now.After(t.End):
		return State{"!", "overdue", "late"}
	case t.Chilled:
		return State{"❄", "held cold", "held"}
	case !m.Now.Before(t.Start) && m.Now.Before(t.End):
		return State{"●", "under way", "due"}
	case t.Start.Sub(m.Now) < 30*time.Minute && t.Start.After(m.Now):
		return State{"◔", "coming", "coming"}
	case m.Now.After(t.End):
		return State{"–", "past", "past"}
	}
	return State{"○", "planned", "planned"}
}

// Rows words every task of the plan, in order of time, and what was done to dough
// that was thrown away.
func Rows(m *Picture) []Row {
	tasks := m.withLost()
	out := make([]Row, 0, len(tasks))
	var last time.Time
	for _, t := range tasks {
		r := Row{
			ID: t.ID, Batch: t.Batch, At: clock(t.Start), Till: Clock(t.End, t.Start), Stamp: stamp(t.Start),
			What: m.Words.What(t), Of: m.nameOf(t) + m.again(t), Much: m.Much(t), Where: m.where(t), Hands: handsOf(t),
			State: m.stateOf(t), Gone: m.Lost[t.ID] || m.threw(t.ID), date: date(t.Start),
		}
		if !r.Gone {
			r.Care = m.Cautions(t)
		}
		if w := t.Window; w != nil {
			r.Ready, r.TooFar = Clock(w.Ready, t.Start), Clock(w.TooFar, t.Start)
		} else if t.TooFar != nil {
			r.TooFar = Clock(*t.TooFar, t.Start)
		}
		if t.Why != nil && !r.Gone {
			r.Why = m.Words.Reason(t.Why, t.Start)
		}
		if last.IsZero() || !sameDay(last, t.Start) {
			r.Break = r.date
		}
		last = t.Start
		out = append(out, r)
	}
	return out
}

// What is the task in the baker's own words, else the trade's.
func (w Words) What(t *schedule.Task) string {
	if t.Label != "" {
		return t.Label
	}
	if t.Kind == schedule.Preheat {
		return "Oven to " + t.Celsius.String()
	}
	if t.Part != "" {
		return w.verbOf(t.Kind) + " the " + t.Part
	}
	return w.Verb(t.Kind)
}

// nameOf is the dough or portion with its letter: "A1 Plain bun".
func (m *Picture) nameOf(t *schedule.Task) string {
	switch {
	case t.Portion != "":
		return t.Portion + " " + t.Name
	case t.Batch != "":
		return t.Batch + " " + t.Name
	}
	return ""
}

// Much is how much a task is about: pieces of so many grams, a weight, a heat.
func (m *Picture) Much(t *schedule.Task) string {
	var s []string
	switch {
	case t.Pieces > 0 && t.Portion != "":
		each := ""
		if b, ok := m.bread(t.Portion); ok && b.Piece > 0 {
			each = "\u00a0×\u00a0" + b.Piece.String()
		}
		s = append(s, fmt.Sprintf("%d%s", t.Pieces, each))
	case t.Mass > 0:
		s = append(s, t.Mass.String())
	}
	switch {
	case t.Kind == schedule.Bake && t.Celsius > 0:
		s = append(s, t.Celsius.String())
		if t.Steam {
			s = append(s, "steam")
		}
	case t.Kind == schedule.Mix && t.Celsius > 0:
		s = append(s, "dough "+t.Celsius.String())
	}
	return strings.Join(s, ", ")
}

func (m *Picture) bread(portion string) (*schedule.Bread, bool) {
	for _, b := range m.Plan.Batches {
		for _, p := range b.Portions {
			if p.ID == portion {
				return m.Day.Bread(p.Bread)
			}
		}
	}
	return nil, false
}

func (m *Picture) where(t *schedule.Task) string {
	switch {
	case t.Oven != "":
		return strings.Trim(t.Oven+"; "+onDecks(t), "; ")
	case t.Mixer != "":
		return t.Mixer
	}
	if r := t.Rescue; r != nil {
		return strings.Trim(t.Place+"; "+m.Words.rescue(r), "; ")
	}
	return t.Place
}

// Place is where a task is done, in plain spaces for what leaves the program.
func (m *Picture) Place(t *schedule.Task) string { return plainSpaces(m.where(t)) }

// OnDecks is how a bake lies on the decks of its oven, in plain spaces.
func OnDecks(t *schedule.Task) string { return plainSpaces(onDecks(t)) }

func plainSpaces(s string) string { return strings.ReplaceAll(s, "\u00a0", " ") }

// onDecks says how many of what lie on which deck: "deck 1: 6 × Large tin".
func onDecks(t *schedule.Task) string {
	var decks []string
	for _, on := range t.Decks {
		what := count(on.Items, "tray")
		if on.Of != "" {
			what = fmt.Sprintf("%d\u00a0×\u00a0%s", on.Items, on.Of)
		}
		decks = append(decks, fmt.Sprintf("deck\u00a0%d: %s", on.Deck, what))
	}
	return strings.Join(decks, ", ")
}

// handsOf names who works at a task, each once.
func handsOf(t *schedule.Task) string {
	var names []string
	seen := map[string]bool{}
	for _, h := range t.Hands {
		if !seen[h.Baker] {
			seen[h.Baker] = true
			names = append(names, h.Baker)
		}
	}
	return strings.Join(names, ", ")
}

// sameDay says whether a row ends on the day it begins on: Till has no weekday.
func (r Row) sameDay() bool { return !strings.Contains(r.Till, "\u00a0") }

// window is ready and too far in one cell.
func (r Row) window() string {
	switch {
	case r.Ready != "":
		return r.Ready + " – " + r.TooFar
	case r.TooFar != "":
		return "by " + r.TooFar
	}
	return ""
}
