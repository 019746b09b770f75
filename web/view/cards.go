package view

import (
	"cmp"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// Card is what somebody's hands do next, in large letters.
type Card struct {
	Task    string
	Kind    record.TapKind // what Done sends
	Done    string         // word on the large button
	Title   string         // "Shape"
	Of      string         // "A1 Plain bun"
	Much    string
	Due     time.Time
	DueText string // "due 06:05 · 7 min late · fine until 06:45"
	Who     string
	Why     string
	Care    []string
	Class   string // "due", "late", ""
	Sign    string
	NotYet  bool // a rise comes before it: the dough may not be ready
	Begun   bool
	slack   time.Duration
}

// soon is what belongs on the large cards.
const soon = 20 * time.Minute

// Cards splits what hands still have to do into what is for now, least slack
// first, and what comes later, in order of time.
func Cards(m *Picture) (now, later []Card) {
	for i := range m.Plan.Tasks {
		t := &m.Plan.Tasks[i]
		if m.Done[t.ID] {
			continue
		}
		for k := range t.Hands {
			if c, ok := m.card(t, k); ok {
				if c.Due.Sub(m.Now) <= soon {
					now = append(now, c)
				} else {
					later = append(later, c)
				}
			}
		}
		for _, c := range m.carryings(t) {
			if c.Due.Sub(m.Now) <= soon {
				now = append(now, c)
			} else {
				later = append(later, c)
			}
		}
	}
	byDue := func(a, b Card) int { return a.Due.Compare(b.Due) }
	slices.SortStableFunc(later, byDue)
	if len(now) == 0 && len(later) > 0 {
		now, later = later[:1], later[1:]
	}
	slices.SortStableFunc(now, func(a, b Card) int { return cmp.Or(cmp.Compare(a.slack, b.slack), byDue(a, b)) })
	return now, later
}

// card words one pair of hands at a task. A bake has two: what is loaded is not
// loaded again, and what is not loaded cannot be taken out.
func (m *Picture) card(t *schedule.Task, hand int) (Card, bool) {
	h := t.Hands[hand]
	c := Card{
		Task: t.ID, Kind: record.Finished, Done: "Done", Title: m.Words.do(t, hand), Of: m.nameOf(t), Much: m.Much(t),
		Due: h.From, Who: h.Baker, Begun: m.Begun[t.ID],
	}
	limit := t.TooFar
	if t.Kind == schedule.Bake {
		loaded := m.Begun[t.ID]
		switch {
		case hand == 0 && loaded, hand > 0 && !loaded && m.Now.Before(h.From):
			return c, false
		case hand == 0:
			c.Kind, c.Done = record.Started, "Loaded"
		default:
			c.Done, c.Begun, limit = "Out", false, nil
		}
		c.Care = m.Cautions(t)
	}
	rise := RiseBefore(m.Plan.Tasks, t.ID)
	c.NotYet = hand == 0 && t.TooFar != nil && rise != t.ID && !m.Now.Before(h.From) && !m.Ready[t.ID] && !m.Ready[rise]
	c.DueText = "due " + Clock(h.From, m.Now) + " · " + fromNow(h.From, m.Now)
	wait := later(m.Wait[t.ID], m.Wait[rise])
	if c.NotYet && wait.After(m.Now) {
		c.DueText += " · not yet, look again at " + clock(wait)
	}
	c.slack = h.From.Add(6 * time.Hour).Sub(m.Now) // what does not spoil waits for what does
	if limit != nil {
		c.DueText += " · fine until " + Clock(*limit, m.Now)
		c.slack = limit.Sub(m.Now) - h.To.Sub(h.From)
	} else if t.Kind == schedule.Bake && hand > 0 {
		c.slack = h.From.Sub(m.Now)
	}
	if t.Why != nil {
		c.Why = m.Words.Reason(t.Why, m.Now)
	}
	switch {
	case m.Now.Before(h.From):
		c.Sign = "◔"
	case limit != nil && m.Now.After(*limit):
		c.Sign, c.Class, c.DueText = "!", "late", c.DueText+" · too far"
	default:
		c.Sign, c.Class = "●", "due"
	}
	if c.Begun || c.NotYet && wait.After(m.Now) {
		c.Sign, c.Class = "▶", ""
	}
	return c, true
}

// later is the later of two instants.
func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// do is a task as a command.
func (w Words) do(t *schedule.Task, hand int) string {
	switch {
	case t.Kind == schedule.Bake && hand == 0:
		return "Load"
	case t.Kind == schedule.Bake:
		return "Take out"
	}
	return w.What(t)
}

// Tapped words a tap for taking it back.
func (m *Picture) Tapped(t record.Tap) string {
	what := t.Task
	for i := range m.Plan.Tasks {
		if m.Plan.Tasks[i].ID == t.Task {
			what = m.Words.What(&m.Plan.Tasks[i]) + ", " + m.nameOf(&m.Plan.Tasks[i])
		}
	}
	switch t.Kind {
	case record.Finished:
		return "Done: " + what
	case record.Started:
		return "Begun: " + what
	case record.Ack:
		return "On it: " + what
	case record.NotYet:
		return "Not yet: " + what
	case record.Ready:
		return "Ready: " + what
	case record.Over:
		return "Gone over: " + what
	case record.Skipped:
		return "Left out: " + what
	case record.PutCold:
		return "Put into the cold: " + what
	case record.TakenOut:
		return "Taken out of the cold: " + what
	case record.TapKind(schedule.Keep):
		return "Kept the old plan"
	}
	if word, ok := happened[schedule.SlipKind(t.Kind)]; ok {
		return word + orElse(" "+what, "")
	}
	return string(t.Kind) + ": " + what
}
