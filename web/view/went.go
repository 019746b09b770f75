package view

import (
	"cmp"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
)

// Went is how a day went: what was planned, what rang, and what was said when.
type Went struct {
	Picture
	First  []schedule.Task     // as the day was last planned anew; nil where that is not kept any more
	Alerts []record.Alert      // every call the day ever had, by time
	Log    []record.Transition // of them
	Taps   []record.Tap        // since the day was last planned anew
	Undo   []Undo              // what can still be taken back, the newest first
}

// callOutcome is what became of a call.
type callOutcome int

// The outcomes. What nobody answered may still ring, or be moved by a plan.
const (
	ringing callOutcome = iota
	answered
	unanswered
	movedAway
	aheadOnly // a heads-up asks for no answer
)

// calledOnce is one call: when it was to come, came, and was answered.
type calledOnce struct {
	record.Alert              // as it is now
	Planned      time.Time    // when it was due as the day was first planned
	First        time.Time    // when it first rang; zero = never
	Answers      []callAnswer // by time
	Settled      *callAnswer  // by what was said of another work; that is no answer
	Outcome      callOutcome
}

// callAnswer is one answer.
type callAnswer struct {
	record.Tap // the zero one where the log does not say which
	To         record.AlertState
	At         time.Time
}

// after is how long after its first ring a call had its first answer; ok is false
// for one that had none, or had it before it rang.
func (c *calledOnce) after() (d time.Duration, ok bool) {
	if len(c.Answers) == 0 || c.First.IsZero() || c.Answers[0].At.Before(c.First) {
		return 0, false
	}
	return c.Answers[0].At.Sub(c.First), true
}

// calls are those of the day's calls that rang or were answered, by the time they
// were planned for.
func (m *Went) calls() (out []calledOnce) {
	taps := map[string]record.Tap{}
	for _, t := range m.Taps {
		taps[t.ID] = t
	}
	logs := map[int64][]record.Transition{}
	for _, x := range m.Log {
		logs[x.Alert] = append(logs[x.Alert], x)
	}
	planned := map[string]time.Time{}
	for _, a := range schedule.Alerts(&schedule.Plan{Tasks: m.First}) {
		planned[a.Task+" "+string(a.Kind)] = a.Due
	}
	for _, a := range m.Alerts {
		c := calledOnce{Alert: a, Planned: a.Due}
		if !a.Was.IsZero() {
			c.Planned = a.Was
		}
		if at, ok := planned[a.Task+" "+string(a.Kind)]; ok && m.sameAsFirst(a) {
			c.Planned = at
		}
		c.follow(logs[a.ID], taps, m.Now.Location())
		if !c.First.IsZero() || len(c.Answers) > 0 {
			c.Outcome = c.outcome()
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, func(a, b calledOnce) int { return cmp.Or(a.Planned.Compare(b.Planned), a.Due.Compare(b.Due)) })
	return out
}

// sameAsFirst says whether a call's task was the same work in the first plan.
func (m *Went) sameAsFirst(a record.Alert) bool {
	return slices.ContainsFunc(m.First, func(t schedule.Task) bool { return t.ID == a.Task && t.Kind == a.Stage && t.Name == a.Name })
}

// follow reads the life of a call from its log. What was taken back is no answer.
func (c *calledOnce) follow(log []record.Transition, taps map[string]record.Tap, loc *time.Location) {
	for _, x := range log {
		at := x.At.In(loc)
		switch {
		case x.From == record.Scheduled && (x.To == record.Rung || x.To == record.Missed):
			c.First, c.Answers, c.Settled = at, nil, nil // one that was moved begins anew
			continue
		case x.To != record.Acked && x.To != record.Shelved && x.To != record.Done && x.Reason != record.Decided:
			continue
		}
		t := taps[x.Tap]
		if x.Tap != "" && (t.ID == "" || t.Undone || t.Kind == record.Undo) || slices.ContainsFunc(c.Answers, func(a callAnswer) bool { return a.ID != "" && a.ID == t.ID }) {
			continue
		}
		if t.ID != "" {
			at = t.Recorded.In(loc)
		}
		a := callAnswer{t, x.To, at}
		if t.ID != "" && t.Task != c.Task {
			c.Settled = &a
			continue
		}
		c.Answers = append(c.Answers, a)
	}
	slices.SortStableFunc(c.Answers, func(a, b callAnswer) int { return a.At.Compare(b.At) })
}

func (c *calledOnce) outcome() callOutcome {
	switch {
	case len(c.Answers) > 0:
		return answered
	case c.Kind == schedule.CallHeadsUp:
		return aheadOnly
	case c.Settled == nil && (c.State == record.Suppressed || c.State == record.Done || c.State == record.Scheduled):
		return movedAway
	case c.State == record.Rung && !c.Next.IsZero():
		return ringing
	}
	return unanswered
}

// late is how long after it was due a call first rang.
func (c *calledOnce) late() time.Duration {
	if c.First.IsZero() || c.Rung.IsZero() { // moved since
		return 0
	}
	return max(c.Rung.Sub(c.Due), 0)
}

// told is when what was planned really was.
type told struct {
	Began, Ended time.Time // zero = nobody said
	Skipped      bool
}

// actual is what was said of every task.
func (m *Went) actual() map[string]told {
	out := map[string]told{}
	for _, t := range m.Taps {
		if t.Undone {
			continue
		}
		x, at := out[t.Task], t.At.In(m.Now.Location())
		switch t.Kind {
		case record.Started:
			x.Began = at
		case record.Finished:
			x.Ended = at
		case record.Skipped:
			x.Ended, x.Skipped = at, true
		default:
			continue
		}
		out[t.Task] = x
	}
	return out
}

// work is a task beside what it was planned as.
type work struct {
	Task    *schedule.Task // as the plan has it now
	Planned *schedule.Task // as it was first planned; nil: it came in later
	told
}

// works are the tasks of the day that should have begun or were spoken of, in order
// of time; acts are those of the day.
func (m *Went) works(acts []acted) (out []work) {
	said := m.actual()
	for _, a := range acts { // a rise ends when hands come to it
		if x := said[a.Rise.ID]; x.Ended.IsZero() {
			x.Ended = a.At
			said[a.Rise.ID] = x
		}
	}
	for i := range m.Planned.Tasks {
		t := &m.Planned.Tasks[i]
		w := work{Task: t, told: said[t.ID]}
		if t.Start.After(m.Now) && w.told == (told{}) {
			continue
		}
		if t.Kind == schedule.Preheat && w.Began.IsZero() { // done is when it was lit
			w.Began, w.Ended = w.Ended, time.Time{}
		}
		for k := range m.First {
			if f := &m.First[k]; f.ID == t.ID && f.Kind == t.Kind && f.Name == t.Name {
				w.Planned = f
			}
		}
		out = append(out, w)
	}
	return out
}

// late is by how much later a work ended than it was first planned to, or an oven
// was lit; ok is false where nobody said.
func (w *work) late() (d time.Duration, ok bool) {
	switch {
	case w.Planned == nil || w.Skipped:
		return 0, false
	case w.Task.Kind == schedule.Preheat:
		return w.Began.Sub(w.Planned.Start), !w.Began.IsZero()
	}
	return w.Ended.Sub(w.Planned.End), !w.Ended.IsZero()
}

// acted is when hands came to a dough that had risen, beside when it was ready.
type acted struct {
	Rise, Work *schedule.Task
	At         time.Time
	About      bool // only the end of the work was said; it has its planned length
}

// outside is by how much a dough was acted on before it was ready, below zero, or
// after it had gone too far, as forecast.
func (a *acted) outside() time.Duration {
	switch w := a.Rise.Window; {
	case a.At.Before(w.Ready):
		return a.At.Sub(w.Ready)
	case a.At.After(w.TooFar):
		return a.At.Sub(w.TooFar)
	}
	return 0
}

// acts are the doughs acted on so far.
func (m *Went) acts() (out []acted) {
	said := m.actual()
	for i := range m.Plan.Tasks {
		w := &m.Plan.Tasks[i]
		rise := RiseBefore(m.Plan.Tasks, w.ID)
		k := slices.IndexFunc(m.Plan.Tasks, func(t schedule.Task) bool { return t.ID == rise && t.ID != w.ID && t.Window != nil })
		if k < 0 || m.Lost[w.ID] {
			continue
		}
		a, x := acted{Rise: &m.Plan.Tasks[k], Work: w}, said[w.ID]
		switch ended := said[rise].Ended; {
		case !x.Began.IsZero():
			a.At = x.Began
		case !ended.IsZero():
			a.At = ended
		case !x.Ended.IsZero() && !x.Skipped:
			a.At, a.About = x.Ended.Add(w.Start.Sub(w.End)), true
		default:
			continue
		}
		out = append(out, a)
	}
	return out
}

// wentFigures are how a day went in a few figures.
type wentFigures struct {
	Answered      int           // calls that rang and were answered after
	Median        time.Duration // until the first answer
	Worst         *calledOnce   // that waited longest for it
	None          []calledOnce  // that had no answer
	Hour, Minutes int           // most calls within an hour, within ten minutes
	HourFrom      time.Time
	LateBy        time.Duration // most that a call rang late
	Late          int           // calls that rang over a minute late
	In, Out       []acted       // doughs acted on inside and outside their windows
}

const (
	hour       = unit.Minutes(60)
	tenMinutes = unit.Minutes(10)
)

// figures sum up the calls and doughs of a day.
func (m *Went) figures(calls []calledOnce, acts []acted) (f wentFigures) {
	var waits []time.Duration
	var rung []schedule.Alert
	for i := range calls {
		c := &calls[i]
		if !c.First.IsZero() {
			a := c.Alert.Alert
			a.Due = c.First
			rung = append(rung, a)
		}
		if by := c.late(); by > time.Minute {
			f.Late, f.LateBy = f.Late+1, max(f.LateBy, by)
		}
		if c.Kind == schedule.CallHeadsUp {
			continue
		}
		if d, ok := c.after(); ok {
			waits = append(waits, d)
			if worst, _ := f.worst(); f.Worst == nil || d > worst {
				f.Worst = c
			}
		}
		if c.Outcome == unanswered {
			f.None = append(f.None, *c)
		}
	}
	f.Answered, f.Median = len(waits), median(waits)
	f.Hour, f.HourFrom = schedule.Busiest(rung, hour)
	f.Minutes, _ = schedule.Busiest(rung, tenMinutes)
	for _, a := range acts {
		if a.outside() == 0 {
			f.In = append(f.In, a)
		} else {
			f.Out = append(f.Out, a)
		}
	}
	return f
}

// worst is how long the call waited that waited longest.
func (f *wentFigures) worst() (time.Duration, bool) {
	if f.Worst == nil {
		return 0, false
	}
	return f.Worst.after()
}

// median is the middle one, or between the two in the middle; 0 of none.
func median(all []time.Duration) time.Duration {
	if len(all) == 0 {
		return 0
	}
	all = slices.Sorted(slices.Values(all))
	return (all[(len(all)-1)/2] + all[len(all)/2]) / 2
}
