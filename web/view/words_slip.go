package view

import (
	"fmt"
	"regexp"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// RiseBefore is the ID of the rise that ends with a task: what "ready" and "not
// yet" are said of. A task that follows none stands for itself.
func RiseBefore(tasks []schedule.Task, id string) string {
	i := slices.IndexFunc(tasks, func(t schedule.Task) bool { return t.ID == id })
	if i < 0 || tasks[i].Kind.Rises() {
		return id
	}
	t, best := &tasks[i], (*schedule.Task)(nil)
	for k := range tasks {
		r := &tasks[k]
		if r.Batch != t.Batch || r.Batch == "" || r.ID == t.ID || r.Start.After(t.Start) || r.Portion != "" && r.Portion != t.Portion {
			continue
		}
		same := r.Part == t.Part || r.Kind.Rises() && t.Kind == schedule.Mix && t.Part == ""
		if same && (r.Kind.Rises() || len(r.Hands) > 0 && r.Kind != schedule.Fold) && (best == nil || !r.Start.Before(best.Start)) {
			best = r
		}
	}
	if best == nil || !best.Kind.Rises() || t.Kind == schedule.Fold {
		return id
	}
	return best.ID
}

// taskName is a task in words: "Divide, A Milk dough".
func (m *Picture) taskName(t *schedule.Task) string {
	if of := m.nameOf(t); of != "" {
		return m.Words.What(t) + ", " + of
	}
	return m.Words.What(t)
}

var taskID = regexp.MustCompile(`\b[A-Z]+\d*(/[\w-]+)?\.\d+(\.\d+)?\b`)

// Named puts the names of tasks in for their IDs.
func (m *Picture) Named(s string) string {
	return taskID.ReplaceAllStringFunc(s, func(id string) string {
		for i := range m.Plan.Tasks {
			if m.Plan.Tasks[i].ID == id {
				return "“" + m.taskName(&m.Plan.Tasks[i]) + "”"
			}
		}
		return id
	})
}

// Slip words an entry of the log: "05:40: Divide, A Milk dough is not ready;
// look again in 10 min".
func (m *Picture) Slip(s schedule.Slip) string {
	return Clock(s.At, m.Now) + ": " + m.occurred(s) + "."
}

// occurred is an entry of the log without its time.
func (m *Picture) occurred(s schedule.Slip) string {
	what := orElse(s.Task, s.Of)
	if t := m.taskOf(s.Task); t != nil {
		if what = m.taskName(t); s.Kind == schedule.DoughLost {
			what = m.nameOf(t)
		}
	}
	span := func() string {
		from, to := s.From, s.To
		if from.IsZero() {
			from = s.At
		}
		if to.IsZero() {
			return "from " + Clock(from, m.Now) + " for the rest of the day"
		}
		return "from " + Clock(from, m.Now) + " to " + Clock(to, from)
	}
	return upper(m.said(s, what, span))
}

func (m *Picture) said(s schedule.Slip, what string, span func() string) string {
	switch s.Kind {
	case schedule.Started:
		return what + ", begun"
	case schedule.Done:
		return what + ", done"
	case schedule.Skipped:
		return what + ", left out"
	case schedule.NotYet:
		if s.Minutes > 0 {
			return what + ", not yet; " + s.Minutes.String() + " more"
		}
		return what + ", not yet"
	case schedule.Ready:
		return what + ", ready"
	case schedule.Over:
		return what + ", gone over"
	case schedule.WasWarm:
		return what + ", dough at " + s.Celsius.String()
	case schedule.Volume:
		return what + ", " + times(s.Expansion) + " its volume"
	case schedule.RoomIs:
		return what + " has " + s.Celsius.String()
	case schedule.OvenOut:
		return what + " cannot be used " + span()
	case schedule.OvenSlow:
		return fmt.Sprintf("%s heats at %.0f %% of its pace", what, 100*s.Share)
	case schedule.Away:
		return what + " is not there " + span()
	case schedule.Stays:
		return m.beyond(s)
	case schedule.AsUsual:
		return usualAgain(what)
	case schedule.OrderAdded:
		return fmt.Sprintf("%d %s more ordered for %s", s.New.Pieces, m.breadName(s.New.Bread), wallTime(s.New.Promise()))
	case schedule.OrderRaised:
		return fmt.Sprintf("%s is now for %d", m.orderName(s.Order), s.Pieces)
	case schedule.OrderLowered:
		return fmt.Sprintf("%s is for %d only", m.orderName(s.Order), s.Pieces)
	case schedule.OrderLater:
		return fmt.Sprintf("%s is promised for %s", m.orderName(s.Order), Clock(s.To.In(m.Now.Location()), m.Now))
	case schedule.DoughLost:
		return what + ", thrown away"
	case schedule.OrderDropped:
		return m.orderName(s.Order) + " is not wanted any more"
	}
	return string(s.Kind) + " " + what
}

// times is how often a volume is the first: "1.75 times".
func times(x float64) string { return fmt.Sprintf("%.4g times", x) }

func wallTime(w schedule.Wall) string {
	if len(w) >= len("2026-11-28T08:00") {
		return string(w[11:16])
	}
	return string(w)
}

func (m *Picture) breadName(id string) string {
	if b, ok := m.Day.Bread(id); ok {
		return b.Name
	}
	return id
}

// orderName is an order in words: "24 Plain bun for Café, 08:00".
func (m *Picture) orderName(i int) string {
	if i < 0 || i >= len(m.Day.Orders) {
		return fmt.Sprintf("order %d", i+1)
	}
	o := m.Day.Orders[i]
	s := fmt.Sprintf("%d %s", o.Pieces, m.breadName(o.Bread))
	if o.For != "" {
		s += " for " + o.For
	}
	return s + ", " + wallTime(o.Promise())
}

// ago says when something was, for a button.
func ago(minutes int) string {
	if minutes == 0 {
		return "Now"
	}
	return unit.Minutes(minutes).String() + " ago"
}

// under are the rises and works now under way, those of the last hour nobody
// said done, and what follows soon: what somebody may have something to say
// about.
func (m *Picture) under() []*schedule.Task {
	var out []*schedule.Task
	for i := range m.Plan.Tasks {
		t := &m.Plan.Tasks[i]
		if !m.Done[t.ID] && t.End.After(m.Now.Add(-time.Hour)) && t.Start.Before(m.Now.Add(45*time.Minute)) && (len(t.Hands) > 0 || t.Kind.Rises() || t.Kind == schedule.Preheat) {
			out = append(out, t)
		}
	}
	return out
}

// rising are the doughs that rise now.
func (m *Picture) rising() []*schedule.Task {
	var out []*schedule.Task
	for i := range m.Plan.Tasks {
		if t := &m.Plan.Tasks[i]; t.Kind.Rises() && !t.Start.After(m.Now) && t.End.After(m.Now) {
			out = append(out, t)
		}
	}
	return out
}

// NotYetBy says that nothing needs so few minutes more.
func NotYetBy(m unit.Minutes) string {
	return fmt.Sprintf("“Not yet” by %.4g\u00a0min says nothing: give 1\u00a0min or more, or say that it is ready, or done.", float64(m))
}

// NoMinutes says that a text is no number of minutes.
func NoMinutes(text string) string {
	return fmt.Sprintf("“%s” is not a number of minutes; give one from 1 to 1440.", text)
}

// NoNumber says that a text is no number.
func NoNumber(text string) string {
	return fmt.Sprintf("“%s” is not a number; write it like 24 or 62.5.", text)
}
