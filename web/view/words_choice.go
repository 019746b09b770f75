package view

import (
	"fmt"
	"math"
	"net/url"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// ChoicesModel is what the page of choices shows beside its frame.
type ChoicesModel struct {
	Old        Picture // the plan as it is
	Key        string
	Said       int
	At         int64
	Log        []schedule.Slip
	Busy       string    // task nobody has hands for
	Until      time.Time // so long
	Nothing    bool      // nothing is gained by moving
	Endangered bool
	Stuck      bool           // every choice is late or breaks something
	Asked      bool           // for what would help
	Aids       []schedule.Aid // that is it
	Choices    []schedule.Choice
	Shown      schedule.ChoiceKind
	Drawn      Picture
}

// keeps says whether keeping the old times is among the choices.
func (c *ChoicesModel) keeps() bool {
	for _, x := range c.Choices {
		if x.Kind == schedule.Keep {
			return true
		}
	}
	return false
}

// afterLoss says whether the choices are what to do about dough thrown away.
func (c *ChoicesModel) afterLoss() bool {
	return slices.ContainsFunc(c.Choices, func(x schedule.Choice) bool { return x.Kind == schedule.LeaveOut })
}

// putBack says whether dough is there again that was taken for lost.
func (c *ChoicesModel) putBack() bool {
	return slices.ContainsFunc(c.Choices, func(x schedule.Choice) bool { return x.Kind == schedule.PutBack })
}

// tooLateAgain says whether what was thrown away is wanted, and cannot be made
// again in good time.
func (c *ChoicesModel) tooLateAgain() bool {
	if len(c.Choices) != 1 || c.Choices[0].Kind != schedule.LeaveOut {
		return false
	}
	return slices.ContainsFunc(c.Choices[0].Plan.Lost, func(l schedule.Loss) bool {
		for i, o := range c.Old.Day.Orders {
			if l.Pieces(i) > 0 && o.Pieces > 0 {
				return true
			}
		}
		return false
	})
}

// busy says what is asked: what can be done where nobody has hands for a task.
func (c *ChoicesModel) busy() string {
	for i := range c.Old.Plan.Tasks {
		if t := &c.Old.Plan.Tasks[i]; t.ID == c.Busy {
			return fmt.Sprintf("If nobody has hands for %s before %s:", c.Old.taskName(t), Clock(c.Until.In(c.Old.Now.Location()), c.Old.Now))
		}
	}
	return ""
}

// cold says whether the fridge is among the choices.
func (c *ChoicesModel) cold() bool {
	return slices.ContainsFunc(c.Choices, func(x schedule.Choice) bool { return x.Kind == schedule.PutInCold })
}

// busyAt is the page of what can be done where nobody has hands for a task.
func busyAt(p Page, task string) string {
	return p.Day.At("/choices?busy=" + url.QueryEscape(task))
}

// show is the address that draws a choice.
func (c *ChoicesModel) show(p Page, k schedule.ChoiceKind) string {
	q := "?show=" + string(k)
	if c.Busy != "" {
		q += "&busy=" + url.QueryEscape(c.Busy)
	}
	return p.Day.At("/choices" + q + "#drawn")
}

// latest are the last entries of the log, newest first.
func (c *ChoicesModel) latest() (out []schedule.Slip) {
	for i := len(c.Log) - 1; i >= 0 && len(out) < 3; i-- {
		out = append(out, c.Log[i])
	}
	return out
}

// Choice is the kind of a choice as a heading.
func (w Words) Choice(k schedule.ChoiceKind) string {
	switch k {
	case schedule.Keep:
		return "Keep the times"
	case schedule.Shift:
		return "Move what follows"
	case schedule.SwapLoads:
		return "Bake in another order"
	case schedule.PutInCold:
		return "Fridge for a while"
	case schedule.OutOfCold:
		return "Out of the cold now, finish the rise outside"
	case schedule.PressOnce:
		return upper(w.Knock()) + " and let it rise again"
	case schedule.BakeNow:
		return "Bake sooner"
	case schedule.MakeAgain:
		return "Make it again"
	case schedule.LeaveOut:
		return "Leave it out"
	case schedule.PutBack:
		return "Go on with the dough that was not thrown away"
	case schedule.PartLate:
		return "Keep some promises, let others be late"
	}
	return string(k)
}

// take is the word on the button that accepts a choice.
func (w Words) take(k schedule.ChoiceKind) string {
	if k == schedule.Keep {
		return "Keep old"
	}
	return "Accept"
}

// Accepted says that a choice is now the plan.
func (w Words) Accepted(c *schedule.Choice) string {
	if c.Kind == schedule.Keep {
		return "The times stay as they were."
	}
	return "Accepted: " + lower(w.Choice(c.Kind)) + "."
}

// costs says in sentences what a choice costs: promises, doughs, what is
// carried, and what moves.
func (m *ChoicesModel) costs(c *schedule.Choice) []string {
	p := Picture{Day: m.Old.Day, Plan: &c.Plan, Now: m.Old.Now, Words: m.Old.Words}
	out := p.newlyLost(m.Old.Plan)
	for _, l := range c.Late {
		switch {
		case l.By > 0 && l.Was > 0 && l.By != l.Was:
			out = append(out, fmt.Sprintf("%s is %s late, %s before.", upper(p.ordered(l)), l.By, l.Was))
		case l.By > 0 && l.By == l.Was:
			out = append(out, fmt.Sprintf("%s stays %s late.", upper(p.ordered(l)), l.By))
		case l.By > 0:
			out = append(out, fmt.Sprintf("%s comes %s late.", upper(p.ordered(l)), l.By))
		default:
			out = append(out, fmt.Sprintf("%s is on time again.", upper(p.ordered(l))))
		}
	}
	if c.LateTotal == 0 {
		out = append(out, "Nothing is late.")
	}
	for _, v := range c.Risks {
		out = append(out, p.risk(v))
	}
	if len(c.Risks) == 0 {
		out = append(out, "No dough is at risk.")
	}
	if c.Odds.Draws > 0 {
		out = append(out, Odds(c.Odds))
	}
	for _, r := range c.Rescues {
		out = append(out, p.rescued(r))
	}
	for _, v := range c.Broken {
		out = append(out, p.Words.Broken(v, p.Now))
	}
	return append(out, Moves(c))
}

// Odds says how often promises are kept when the rest of a day is rehearsed.
func Odds(o schedule.Odds) string {
	return fmt.Sprintf("With doughs faster and slower than forecast, every promise is kept to five minutes in %d of 10 rehearsals.", int(math.Round(10*o.Kept)))
}

func (m *Picture) ordered(l schedule.Lateness) string {
	s := m.breadName(l.Bread)
	if l.Order < len(m.Day.Orders) && m.Day.Orders[l.Order].For != "" {
		s += " for " + m.Day.Orders[l.Order].For
	}
	return s
}

// risk says what a rise or a wait outside its bounds does to the dough.
func (m *Picture) risk(v schedule.Violation) string {
	name := "a dough"
	for i := range m.Plan.Tasks {
		if t := &m.Plan.Tasks[i]; t.ID == v.Task {
			name = m.taskName(t)
		}
	}
	switch v.Code {
	case schedule.TooEarly:
		return fmt.Sprintf("%s comes %s before the dough is expected to be ready: look at it then, and wait if it is not. Cut short it will be tight and small.", upper(name), v.By)
	case schedule.TooLate:
		return fmt.Sprintf("%s comes %s after the dough has gone too far: it may be slack and flat.", upper(name), v.By)
	}
	return fmt.Sprintf("%s: the wait is %s outside its bounds.", upper(name), v.By)
}

// rescued says what is done to a dough on the way.
func (m *Picture) rescued(r schedule.Rescued) string {
	if r.Kind == schedule.PressAgain {
		again := "rises again"
		if t := m.Plan.Task(r.Task); t != nil && t.Chilled {
			again = "rises again in " + t.Place
		}
		return fmt.Sprintf("%s %s at %s; it %s.", upper(m.Words.Knock()), r.Name, Clock(r.From, m.Now), again)
	}
	of := r.Name
	for i := range m.Plan.Tasks {
		if t := &m.Plan.Tasks[i]; t.ID == r.Task {
			of = m.nameOf(t)
		}
	}
	if r.Kind == schedule.FinishWarm {
		return fmt.Sprintf("%s comes out of the cold at %s and finishes its rise in %s until %s. Cold dough hardly gets on; as it warms it speeds up, so look at it before then.", of, Clock(r.From, m.Now), r.Place, Clock(r.To, r.From))
	}
	if r.Kind == schedule.ColdLater {
		return fmt.Sprintf("%s stays in %s until %s and only then goes into the cold.", of, r.Place, Clock(r.To, m.Now))
	}
	return fmt.Sprintf("%s goes into %s at %s and comes out at %s, %s later.", of, orElse(r.Place, "the cold"), Clock(r.From, m.Now), Clock(r.To, r.From), unit.Minutes(r.To.Sub(r.From).Minutes()))
}

// Moves counts what begins at another time under a choice.
func Moves(c *schedule.Choice) string {
	moved, most := 0, time.Duration(0)
	added, gone := 0, 0
	for _, m := range c.Moves {
		switch {
		case m.Was.IsZero():
			added++
		case m.Start.IsZero():
			gone++
		default:
			moved++
			if d := m.Start.Sub(m.Was); d.Abs() > most.Abs() {
				most = d
			}
		}
	}
	s := ""
	if moved > 0 {
		s = count(moved, "task") + " moved, by at most " + signed(most) + ". "
	}
	if added > 0 {
		s += count(added, "task") + " added. "
	}
	if gone > 0 {
		s += count(gone, "task") + " dropped. "
	}
	if s == "" {
		return "No task moves."
	}
	return s[:len(s)-1]
}

// shift is a moved task with its chip.
type shift struct{ What, From, To, Chip string }

// shifts lists what moves, in order of time, with signed chips.
func (m *ChoicesModel) shifts(c *schedule.Choice) []shift {
	p := Picture{Day: m.Old.Day, Plan: &c.Plan, Now: m.Old.Now, Words: m.Old.Words}
	var out []shift
	for _, x := range c.Moves {
		plan := &c.Plan
		if x.Start.IsZero() {
			plan = m.Old.Plan
		}
		name := x.Task
		for i := range plan.Tasks {
			if t := &plan.Tasks[i]; t.ID == x.Task {
				name = p.taskName(t)
			}
		}
		s := shift{What: name}
		switch {
		case x.Was.IsZero():
			s.To, s.Chip = Clock(x.Start, p.Now), "new"
		case x.Start.IsZero():
			s.From, s.Chip = Clock(x.Was, p.Now), "dropped"
		default:
			s.From, s.To, s.Chip = Clock(x.Was, p.Now), Clock(x.Start, x.Was), signed(x.Start.Sub(x.Was))
		}
		out = append(out, s)
	}
	return out
}
