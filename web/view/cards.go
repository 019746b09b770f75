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
	Longer  bool // bread that may need some minutes more
	Begun   bool
	burns   bool // bread that is due out
	ahead   bool // nothing to be at yet
	slack   time.Duration
}

// soon is what belongs on the large cards, atHand what may stand above work that is
// due already, if it can wait for less.
const (
	soon   = 20 * time.Minute
	atHand = 5 * time.Minute
)

// Cards splits what hands still have to do into what is for now, bread that is
// due out before all else and then least slack first, with what only comes up below
// it, and what comes later, in order of time.
func Cards(m *Picture) (now, later []Card) {
	for i := range m.Plan.Tasks {
		t := &m.Plan.Tasks[i]
		if m.Done[t.ID] || m.overtaken(t) {
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
		for _, c := range m.onTheWay(t) {
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
	slices.SortStableFunc(now, func(a, b Card) int {
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(a.slack, b.slack), byDue(a, b))
	})
	return now, later
}

// rank is 0 for what comes before all else, 2 for what waits for its time.
func (c *Card) rank() int {
	switch {
	case c.burns:
		return 0
	case c.ahead:
		return 2
	}
	return 1
}

// overtaken says whether what the dough of a task goes into was said to be begun
// or done since: then it is done, too, though nobody said so.
func (m *Picture) overtaken(t *schedule.Task) bool {
	return slices.ContainsFunc(m.Plan.Tasks, func(u schedule.Task) bool {
		return u.ID != t.ID && u.Start.After(t.Start) && (m.Done[u.ID] || m.Begun[u.ID]) && t.LeadsTo(&u)
	})
}

// card words one pair of hands at a task. A bake has two: what is loaded is not
// loaded again, and what is not loaded cannot be taken out.
func (m *Picture) card(t *schedule.Task, hand int) (Card, bool) {
	h := t.Hands[hand]
	c := Card{
		Task: t.ID, Kind: record.Finished, Done: "Done", Title: m.Words.do(t, hand), Of: m.nameOf(t), Much: m.Much(t),
		Due: h.From, Who: h.Baker, Begun: m.Begun[t.ID] || m.OnIt[t.ID],
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
			c.Done, c.Begun, c.Longer, limit = "Out", m.OnIt[t.ID], true, nil
			c.burns = !m.Now.Before(h.From)
		}
		c.Care = m.Cautions(t)
		if decks := onDecks(t); decks != "" {
			c.Much += "; " + decks
		}
	}
	c.ahead = h.From.Sub(m.Now) > atHand
	rise := RiseBefore(m.Plan.Tasks, t.ID)
	c.NotYet = hand == 0 && t.TooFar != nil && rise != t.ID && !m.Now.Before(h.From) && !m.Ready[t.ID] && !m.Ready[rise]
	c.DueText = m.due(t, hand) + " · " + c.since(m.Now)
	wait := schedule.Later(m.Wait[t.ID], m.Wait[rise])
	if c.NotYet && wait.After(m.Now) {
		c.DueText += " · not yet, look again at " + clock(wait)
	}
	c.slack = 6*time.Hour + max(h.From.Sub(m.Now), 0) // what does not spoil waits for what does
	if limit != nil {
		c.DueText += " · " + fineUntil(*limit, m.Now)
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
		c.Sign, c.Class = "!", "late"
	default:
		c.Sign, c.Class = "●", "due"
	}
	if c.Begun || c.NotYet && wait.After(m.Now) {
		c.Sign, c.Class = "▶", ""
	}
	return c, true
}

// due says when a pair of hands is needed, and when it was planned for if what
// was said has moved it.
func (m *Picture) due(t *schedule.Task, hand int) string {
	s := "due " + Clock(t.Hands[hand].From, m.Now)
	if was := m.planned(t); hand < len(was.Hands) && !was.Hands[hand].From.Equal(t.Hands[hand].From) {
		s += " (was " + Clock(was.Hands[hand].From, m.Now) + ")"
	}
	return s
}

// since says how long it is until a card is due; what somebody is on is not late.
func (c *Card) since(now time.Time) string {
	if gone := now.Sub(c.Due).Round(time.Minute); gone > 0 && c.Begun {
		return ago(int(gone.Minutes()))
	}
	return fromNow(c.Due, now)
}

// fineUntil says until when a dough may wait, or might have.
func fineUntil(limit, now time.Time) string {
	if now.After(limit) {
		return "was fine until " + Clock(limit, now) + " · too far"
	}
	return "fine until " + Clock(limit, now)
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

// tapWords say what a tap said.
var tapWords = map[record.TapKind]string{
	record.Finished: "Done", record.Started: "Begun", record.Ack: "On it", record.NotYet: "Not yet", record.Ready: "Ready", record.Over: "Gone over",
	record.Skipped: "Left out", record.Snooze: "Put off", record.PutCold: "Put into the cold", record.TakenOut: "Taken out of the cold", record.Pressed: "Gas pressed out",
	record.Accepted: "Took another plan", record.GoOn: "Going on with it", record.Discard: "Thrown away", record.WasFine: "It was fine",
}

// bakeWords are those of a bake, where they are others.
var bakeWords = map[record.TapKind]string{record.Finished: "Out of the oven", record.Started: "Loaded"}

// Tapped words a tap for taking it back.
func (m *Picture) Tapped(t record.Tap) string {
	word, what := tapWords[t.Kind], t.Task
	for i := range m.Plan.Tasks {
		x := &m.Plan.Tasks[i]
		if x.ID != t.Task {
			continue
		}
		what = m.taskName(x)
		if baked := bakeWords[t.Kind]; x.Kind == schedule.Bake && baked != "" {
			word, what = baked, m.nameOf(x)
		}
	}
	switch {
	case t.Kind == record.TapKind(schedule.Keep):
		return "Kept the old plan"
	case t.Kind == record.Reshape:
		word = m.Words.Verb(schedule.Shape) + " again"
	case word == "":
		word = orElse(happened[schedule.SlipKind(t.Kind)], string(t.Kind))
	}
	if what == "" {
		return word
	}
	return word + ": " + what
}
