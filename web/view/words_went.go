package view

import (
	"fmt"
	"math"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
)

// wentHead is how the page of how a day went is headed.
func (m *Went) head() string {
	if m.Plan.Outcome.WorkEnd.Before(m.Now) {
		return "How it went: " + m.Plan.Day
	}
	return "How it goes: " + m.Plan.Day
}

// at is a time of the day, with the weekday where it is not that of its last work.
func (m *Went) at(t time.Time) string {
	if t.IsZero() {
		return "–"
	}
	return Clock(t, m.Plan.Outcome.WorkEnd)
}

// waited is a wait in seconds below two minutes, then in minutes.
func waited(d time.Duration) string {
	if d < 2*time.Minute {
		return fmt.Sprintf("%d s", int(d.Round(time.Second).Seconds()))
	}
	return unit.Minutes(math.Round(d.Minutes())).String()
}

// summary says in sentences how the day went.
func (m *Went) summary(calls []calledOnce, acts []acted) (out []string) {
	f := m.figures(calls, acts)
	if f.Answered > 0 {
		worst, _ := f.worst()
		s := count(f.Answered, "call") + " answered, each counted from its first ring: "
		if f.Answered == 1 {
			s += fmt.Sprintf("after %s (%s).", waited(worst), m.called(f.Worst))
		} else {
			s += fmt.Sprintf("half of them within %s (the median), the slowest after %s (%s).", waited(f.Median), waited(worst), m.called(f.Worst))
		}
		out = append(out, s)
	}
	if len(f.None) > 0 {
		var which []string
		for i := range f.None {
			which = append(which, m.called(&f.None[i]))
		}
		out = append(out, "! "+count(len(f.None), "call")+" had no answer: "+list(which)+".")
	} else if f.Hour > 0 {
		out = append(out, "No call was left without an answer.")
	}
	if f.Hour > 0 {
		out = append(out, fmt.Sprintf("At the worst %s within an hour, from %s, and %d within ten minutes; people answer about six and two well.", count(f.Hour, "call"), m.at(f.HourFrom), f.Minutes))
	}
	if f.Late > 0 {
		out = append(out, fmt.Sprintf("%s rang more than a minute late, by up to %s: the program or this computer was not awake.", count(f.Late, "call"), waited(f.LateBy)))
	}
	return append(out, m.doughs(f)...)
}

// doughs says how many doughs were acted on inside their windows and how far
// outside the others were.
func (m *Went) doughs(f wentFigures) []string {
	if len(f.In)+len(f.Out) == 0 {
		return nil
	}
	s := fmt.Sprintf("Doughs: of %d that had risen, hands came to %d between ready and too far, as forecast", len(f.In)+len(f.Out), len(f.In))
	if len(f.Out) > 0 {
		var which []string
		for i := range f.Out {
			which = append(which, m.taskName(f.Out[i].Rise)+", "+f.Out[i].verdict())
		}
		s += fmt.Sprintf("; outside: %s", strings.Join(which, "; "))
	}
	return []string{s + "."}
}

// verdict says where in its window a dough was acted on.
func (a *acted) verdict() string {
	out := a.outside()
	about := map[bool]string{true: "about "}[a.About]
	switch by := waited(out.Abs()); {
	case out < 0:
		return about + by + " before ready"
	case out > 0:
		return about + by + " after too far"
	}
	return "in its window"
}

// called names a call: "load A1 Plain bun, 06:40".
func (m *Went) called(c *calledOnce) string { return m.what(c) + ", " + m.at(c.Planned) }

// what says what was called for.
func (m *Went) what(c *calledOnce) string {
	if c.Kind == schedule.CallHeadsUp {
		return "coming up: " + m.Words.callWhat(c.Alert)
	}
	return m.Words.callWhat(c.Alert)
}

// due says when a call was planned, and where it was moved to.
func (m *Went) due(c *calledOnce) string {
	if c.Due.Sub(c.Planned).Abs() >= time.Minute {
		return m.at(c.Planned) + ", moved to " + m.at(c.Due)
	}
	return m.at(c.Planned)
}

// rang says when a call first rang, how often, and how late that was.
func (m *Went) rang(c *calledOnce) string {
	if c.First.IsZero() {
		return "did not ring"
	}
	s := m.at(c.First)
	if c.Rings > 1 {
		s += fmt.Sprintf(", %d times", c.Rings)
	}
	if by := c.late(); by > time.Minute {
		s += ", " + waited(by) + " late"
	}
	return s
}

// rangLabel stands before when a call rang where no heading does.
func rangLabel(c *calledOnce) string {
	if c.First.IsZero() {
		return ""
	}
	return "rang"
}

// answers says what was answered to a call, and after how long.
func (m *Went) answers(c *calledOnce) (out []string) {
	for i := range c.Answers {
		a := &c.Answers[i]
		s := m.at(a.At) + " " + lower(m.answer(c, a))
		switch {
		case c.First.IsZero() || a.At.Before(c.First):
			s += ", before it rang"
		default:
			s += ", after " + waited(a.At.Sub(c.First))
		}
		out = append(out, s)
	}
	switch c.Outcome {
	case ringing:
		out = append(out, "rings now")
	case unanswered:
		s := "! no answer"
		if c.Settled != nil {
			s += "; settled " + m.at(c.Settled.At) + " by “" + m.Tapped(c.Settled.Tap) + "”"
		}
		out = append(out, s)
	case movedAway:
		out = append(out, "none was due: the plan changed")
	case aheadOnly:
		out = append(out, "none was due: a word ahead")
	}
	return out
}

// answer words one answer; one that was said of another work says so.
func (m *Went) answer(c *calledOnce, a *callAnswer) string {
	if a.ID == "" {
		return map[record.AlertState]string{record.Acked: "On it", record.Shelved: "Put off", record.Done: "Done"}[a.To]
	}
	word := tapWords[a.Kind]
	if baked := bakeWords[a.Kind]; c.Stage == schedule.Bake && baked != "" {
		word = baked
	}
	if word == "" {
		word = m.Tapped(a.Tap)
	}
	if a.Minutes > 0 && (a.Kind == record.Snooze || a.Kind == record.NotYet) {
		word += ", " + unit.Minutes(a.Minutes).String() + " more"
	}
	return word
}

// spans says when a work was first planned, and what it is planned for now.
func (m *Went) spans(w *work) string {
	now := m.at(w.Task.Start) + "–" + clock(w.Task.End)
	switch {
	case w.Planned == nil && m.First != nil:
		return now + ", came in later"
	case w.Planned == nil:
		return now
	case w.Planned.Start.Sub(w.Task.Start).Abs() < time.Minute && w.Planned.End.Sub(w.Task.End).Abs() < time.Minute:
		return now
	}
	return m.at(w.Planned.Start) + "–" + clock(w.Planned.End) + ", then " + now
}

// really says when a work was begun and ended, as far as somebody said.
func (m *Went) really(w *work) string {
	switch {
	case m.Lost[w.Task.ID]:
		return "thrown away"
	case w.Skipped:
		return "left out at " + m.at(w.Ended)
	case w.Began.IsZero() && w.Ended.IsZero():
		return "–"
	case w.Task.Kind == schedule.Preheat:
		return "lit " + m.at(w.Began)
	case w.Ended.IsZero():
		return m.at(w.Began) + "–"
	case w.Began.IsZero():
		return "–" + m.at(w.Ended)
	}
	return m.at(w.Began) + "–" + m.at(w.Ended)
}

// lateness says by how much a work ended later than first planned.
func (w *work) lateness() string {
	d, ok := w.late()
	switch d = d.Round(time.Minute); {
	case !ok:
		return ""
	case d == 0:
		return "on time"
	}
	return signed(d)
}

// CallTable is every call of the day for a spreadsheet; the first line names the
// columns. Minutes are from the first ring.
func (m *Went) CallTable() [][]any {
	rows := [][]any{{"planned", "due", "rang", "rings", "who", "what", "class", "answer", "answered", "answer_minutes", "settled", "outcome"}}
	calls := m.calls()
	for i := range calls {
		c := &calls[i]
		var word, minutes any
		var first, settled time.Time
		if len(c.Answers) > 0 {
			word, first = m.answer(c, &c.Answers[0]), c.Answers[0].At
		}
		if d, ok := c.after(); ok {
			minutes = math.Round(d.Minutes()*10) / 10
		}
		for _, a := range c.Answers {
			if a.To == record.Done || a.To == record.Suppressed {
				settled = a.At
			}
		}
		rows = append(rows, []any{c.Planned, c.Due, c.First, float64(c.Rings), c.Baker, m.what(c), string(c.Class), word, first, minutes, settled, outcomeWords[c.Outcome]})
	}
	return rows
}

// outcomeWords are for tables that other programs read.
var outcomeWords = map[callOutcome]string{ringing: "ringing", answered: "answered", unanswered: "no answer", movedAway: "plan changed", aheadOnly: "word ahead"}

// WorkTable is every work of the day for a spreadsheet, planned and real; the first
// line names the columns.
func (m *Went) WorkTable() [][]any {
	rows := [][]any{{"first_start", "first_end", "start", "end", "began", "ended", "late_minutes", "who", "what", "dough", "batch", "portion", "ready", "too_far", "acted", "outside_minutes"}}
	by := map[string]acted{}
	acts := m.acts()
	for _, a := range acts {
		by[a.Work.ID] = a
	}
	works := m.works(acts)
	for i := range works {
		w := &works[i]
		var first schedule.Task
		if w.Planned != nil {
			first = *w.Planned
		}
		var late, outside any
		var ready, tooFar, at time.Time
		if d, ok := w.late(); ok {
			late = math.Round(d.Minutes())
		}
		if a, ok := by[w.Task.ID]; ok {
			ready, tooFar, at = a.Rise.Window.Ready, a.Rise.Window.TooFar, a.At
			outside = math.Round(a.outside().Minutes())
		}
		rows = append(rows, []any{first.Start, first.End, w.Task.Start, w.Task.End, w.Began, w.Ended, late, handsOf(w.Task), m.Words.What(w.Task), w.Task.Name, w.Task.Batch, w.Task.Portion, ready, tooFar, at, outside})
	}
	return rows
}

// wentNothing says that there is nothing to tell yet.
func (m *Went) nothing() string {
	for _, a := range m.Alerts {
		if a.State == record.Scheduled && a.Due.After(m.Now) {
			return "Nothing has rung and nothing was said yet. The first call is due " + Clock(a.Due, m.Now) + "."
		}
	}
	return "Nothing has rung and nothing was said on this day."
}

// wentNote says what the first plan is compared with.
func (m *Went) note() string {
	s := "Planned is what the plan said as the day was last planned anew; “then” is what became of it. Real times are those somebody said"
	if m.First == nil {
		s = "Of a day so long past only its last plan is kept, so planned is what that said. Real times are those somebody said"
	}
	return s + ", a line where nobody did. Windows are forecasts."
}

// wentOf reports whether a day of the list is past, so that it can be told how it
// went.
func wentOf(d record.Day, now time.Time) bool {
	loc, err := time.LoadLocation(d.Zone)
	return err == nil && d.Version > 0 && strings.Compare(d.Date, now.In(loc).Format(time.DateOnly)) < 0
}
