package schedule

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Bounds of what may be said.
const (
	mostMore  = 8 * 60         // minutes of "not yet"
	longAgo   = 72 * time.Hour // before now: the longest day begins two nights before
	mostWhile = 48 * time.Hour // of an absence or an oven out of use
)

// ValidateLog says what in a log cannot have happened on the day: each slip
// against the plan, the slips before it and now.
func ValidateLog(d *Day, p *Plan, log []Slip, now time.Time) Faults {
	var fs Faults
	for i := range log {
		fs = append(fs, ValidateSlip(d, p, log, i, now)...)
	}
	return fs
}

// ValidateSlip is what ValidateLog says of entry i of a log.
func ValidateSlip(d *Day, p *Plan, log []Slip, i int, now time.Time) Faults {
	c := slipCheck{day: d, plan: p, log: log, before: log[:i], now: now, s: log[i], at: fmt.Sprintf("log[%d]", i)}
	return c.faults()
}

// slipCheck judges one slip.
type slipCheck struct {
	day    *Day
	plan   *Plan
	log    []Slip
	before []Slip
	now    time.Time
	s      Slip
	at     string
	fs     Faults
}

func (c *slipCheck) faults() Faults {
	s := c.s
	c.when()
	switch s.Kind {
	case Started, Done, Skipped, NotYet, Ready, Over, WasWarm, Volume, DoughLost:
		c.task()
	case RoomIs:
		c.known("place", len(c.day.Kitchen.Places), func(i int) string { return c.day.Kitchen.Places[i].Name })
		c.within("celsius", float64(s.Celsius), -30, 60, "°C", "a place where dough is kept", "read the thermometer again")
	case OvenOut, OvenSlow:
		c.known("oven", len(c.day.Kitchen.Ovens), func(i int) string { return c.day.Kitchen.Ovens[i].Name })
		if s.Kind == OvenSlow {
			c.within("share", 100*s.Share, 10, 100, "% of its pace", "an oven that still heats", "give 50 % for half as fast, or say that it is out")
		} else {
			c.span()
		}
	case Away, Stays, AsUsual:
		c.known("person", len(c.day.Kitchen.Bakers), func(i int) string { return c.day.Kitchen.Bakers[i].Name })
		c.span()
		if c.s.Kind == Stays && c.s.To.IsZero() {
			c.fs.add(c.at+".to", "it is not said until when", "give the time at which the person goes, or the hours begin")
		}
	case OrderAdded, OrderRaised, OrderLowered, OrderLater, OrderDropped:
		c.order()
	default:
		c.fs.add(c.at+".kind", "%q is nothing that happens to a plan", "say what happened, such as done, not-yet or away", string(s.Kind))
	}
	return c.fs
}

// when wants the slip to have happened, and not long ago.
func (c *slipCheck) when() {
	clock := func(t time.Time) string { return t.In(c.plan.Made.Location()).Format("15:04") }
	switch {
	case c.s.At.IsZero():
		c.fs.add(c.at+".at", "it is not said when", "give the time it happened")
	case c.s.At.After(c.now.Add(time.Minute)):
		c.fs.add(c.at+".at", "%s is still to come, it is %s now", "say it once it has happened", clock(c.s.At), clock(c.now))
	case c.s.At.Before(c.now.Add(-longAgo)):
		c.fs.add(c.at+".at", "%s is more than three days ago", "give a time of this day", c.s.At.Format("2006-01-02 15:04"))
	}
}

// within wants a figure between two bounds.
func (c *slipCheck) within(field string, v, lo, hi float64, unit, what, remedy string) {
	if !(v >= lo && v <= hi) {
		c.fs.add(c.at+"."+field, "%v %s cannot be: %s has %v to %v %s", remedy, v, unit, what, lo, hi, unit)
	}
}

func (c *slipCheck) known(what string, n int, name func(int) string) {
	var names []string
	for i := range n {
		names = append(names, name(i))
	}
	if !slices.Contains(names, c.s.Of) {
		c.fs.add(c.at+".of", "there is no %s %q", fmt.Sprintf("give one of %q", names), what, c.s.Of)
	}
}

// span wants an end after the beginning, and not days later.
func (c *slipCheck) span() {
	from := c.s.From
	if from.IsZero() {
		from = c.s.At
	}
	switch to := c.s.To; {
	case to.IsZero():
	case !to.After(from):
		c.fs.add(c.at+".to", "it ends at %s, before it begins at %s", "give an end after the beginning, or none for the rest of the day", to.Format("15:04"), from.Format("15:04"))
	case to.Sub(from) > mostWhile:
		c.fs.add(c.at+".to", "it lasts %.0f hours", "change the kitchen or the hours of the person instead, for that is no slip of a day", to.Sub(from).Hours())
	}
}

// task wants a task of the plan that what is said can be said of.
func (c *slipCheck) task() {
	t := c.present()
	if t == nil {
		return
	}
	switch c.s.Kind {
	case NotYet:
		c.within("minutes", float64(c.s.Minutes), 0, mostMore, "min more", "what is under way", "give the minutes until you look again; throw the dough away if it is lost")
		c.begun(t)
		c.overtaken(t)
	case Started:
		c.work(t, "begun")
		c.after(t)
	case Done:
		c.after(t)
		c.overtaken(t)
	case Skipped:
		if t.Kind == Bake || t.Kind == Mix || t.Kind == Divide || t.Kind == Shape || t.Kind.Rises() || t.Kind == Preheat {
			c.fs.add(c.at+".task", "bread cannot be made without %s", "drop the order if it is not to be made", t.Kind)
		}
	case DoughLost:
		c.lost(t)
	case Ready, Over:
		c.rise(t)
	case Volume:
		c.rise(t)
		c.within("expansion", c.s.Expansion, 0.9, 5, "times the volume of the dough just mixed", "a dough", "read the mark again: 2 is doubled")
	case WasWarm:
		if !t.Kind.Rises() && t.Kind != Mix {
			c.fs.add(c.at+".task", "%s is neither a mix nor a rise", "measure the dough off the mixer or while it rises", t.ID)
		}
		c.within("celsius", float64(c.s.Celsius), -2, 60, "°C", "dough", "read the thermometer again, in the middle of the dough")
		c.begun(t)
	}
}

// present is the task it is said of, if that is in the plan and nothing is said of
// it yet that ends it; nil where it is not, which is no fault if it went with its
// dough or its order.
func (c *slipCheck) present() *Task {
	i := slices.IndexFunc(c.plan.Tasks, func(t Task) bool { return t.ID == c.s.Task })
	dropped := func(s Slip) bool { return s.Kind == OrderDropped || s.Kind == OrderLowered }
	thrown := func(l Loss) bool { return l.has(c.s.Task) || l.Slip == c.s.ID && c.s.Kind == DoughLost }
	switch {
	case slices.ContainsFunc(c.plan.Lost, thrown): // the plan knows
		return nil
	case i < 0 && slices.ContainsFunc(c.log, dropped): // with its order
		return nil
	case i < 0:
		c.fs.add(c.at+".task", "the plan has no task %q", "choose a task of the plan as it is now", c.s.Task)
		return nil
	}
	t := &c.plan.Tasks[i]
	for _, l := range c.plan.Losses(c.before) {
		if l.has(t.ID) && !c.s.At.Before(l.At) {
			c.fs.add(c.at+".task", "%s was thrown away with its dough, at %s", "take that entry back first if it was wrong", t.ID, l.At.In(t.Start.Location()).Format("15:04"))
			return nil
		}
	}
	for _, b := range c.before {
		if b.Task == t.ID && (b.Kind == Done || b.Kind == Skipped) && c.s.Kind != WasWarm {
			c.fs.add(c.at+".task", "%s is settled already, at %s", "take that entry back first if it was wrong", t.ID, b.At.In(t.Start.Location()).Format("15:04"))
			return nil
		}
	}
	return t
}

// lost wants a dough that there is, and of which something is left.
func (c *slipCheck) lost(t *Task) {
	there := func(o Task) bool {
		said := slices.ContainsFunc(c.before, func(b Slip) bool { return b.Task == o.ID && b.Kind == Started })
		return o.LeadsTo(t) && (said || !o.Start.After(c.s.At))
	}
	joined := func(b Slip) bool {
		o := c.plan.Task(b.Task)
		return o != nil && o.Batch == t.Batch && o.Part == "" && (b.Kind == Started || b.Kind == Done)
	}
	switch {
	case t.Batch == "":
		c.fs.add(c.at+".task", "%s is no dough", "say it of a dough; of an oven say that it is out", t.ID)
	case !slices.ContainsFunc(c.plan.Tasks, there):
		c.fs.add(c.at+".task", "%s is of a dough that is not begun", "drop its order if it is not to be made", t.ID)
	case t.Part != "" && slices.ContainsFunc(c.before, joined):
		c.fs.add(c.at+".task", "%s has gone into the dough already", "say it of the dough, if that is lost", t.ID)
	default:
		if _, left := c.plan.loss(c.s, c.before, c.plan.Losses(c.before)); !left {
			c.fs.add(c.at+".task", "nothing is left of the dough of %s that is not taken already", "say it of one of its portions", t.ID)
		}
	}
}

func (c *slipCheck) rise(t *Task) {
	if !t.Kind.Rises() {
		c.fs.add(c.at+".task", "%s does not rise", "say it of a rise or a proof", t.ID)
	}
	c.begun(t)
}

func (c *slipCheck) work(t *Task, what string) {
	if !t.Kind.Work() && t.Kind != Bake && t.Kind != Preheat {
		c.fs.add(c.at+".task", "%s is a wait and is not %s by hand", "say it of the work before it", t.ID, what)
	}
}

// begun wants a task whose beginning lies before what is said of it.
func (c *slipCheck) begun(t *Task) {
	started := slices.ContainsFunc(c.before, func(b Slip) bool { return b.Task == t.ID && b.Kind == Started })
	if early := t.Start.Sub(c.s.At); early > 0 && !started {
		c.fs.add(c.at+".at", "%s begins %.0f min later", "say first what before it was done sooner", t.ID, math.Ceil(early.Minutes()))
	}
}

// after wants a task not to be done, or begun, before it was, or before the
// work it follows was done.
func (c *slipCheck) after(t *Task) {
	for _, b := range c.before {
		if b.Task == t.ID && b.Kind == Started && c.s.At.Before(b.At) {
			c.fs.add(c.at+".at", "%s was begun at %s", "give a time after that", t.ID, b.At.In(t.Start.Location()).Format("15:04"))
			return
		}
	}
	if prev := c.previous(t); prev != nil && c.s.At.Before(prev.Start) {
		said := slices.ContainsFunc(c.before, func(b Slip) bool { return b.Task == prev.ID && b.Kind == Done && !b.At.After(c.s.At) })
		if !said {
			c.fs.add(c.at+".at", "%s comes after %s, which begins at %s", "say first when that was done", t.ID, prev.ID, prev.Start.Format("15:04"))
		}
	}
}

// overtaken wants nothing to be said of a task after what follows it was under
// way.
func (c *slipCheck) overtaken(t *Task) {
	for _, b := range c.before {
		next := c.plan.Task(b.Task)
		if next == nil || !b.At.Before(c.s.At) {
			continue
		}
		same := next.Batch == t.Batch && next.Batch != "" && next.Part == t.Part && (t.Portion == "" || next.Portion == t.Portion)
		if same && !next.Start.Before(t.End) && next.Start.After(t.Start) && b.Kind != Skipped {
			c.fs.add(c.at+".at", "%s follows %s and was under way at %s", "give an earlier time, or take that entry back", next.ID, t.ID, b.At.In(t.Start.Location()).Format("15:04"))
			return
		}
	}
}

// previous is the last work before t of the same dough.
func (c *slipCheck) previous(t *Task) *Task {
	var out *Task
	for i := range c.plan.Tasks {
		o := &c.plan.Tasks[i]
		same := o.Batch == t.Batch && o.Part == t.Part && (o.Portion == t.Portion || o.Portion == "")
		if same && o.Batch != "" && o.ID != t.ID && o.Kind.Work() && o.Start.Before(t.Start) && (out == nil || o.Start.After(out.Start)) {
			out = o
		}
	}
	return out
}

// order wants an order that can be made, or one that there is.
func (c *slipCheck) order() {
	day := *c.day
	day.Orders = slices.Clone(day.Orders)
	for _, b := range c.before {
		switch {
		case b.Kind == OrderAdded && b.New != nil:
			day.Orders = append(day.Orders, *b.New)
		case b.Order < 0 || b.Order >= len(day.Orders):
		case b.Kind == OrderRaised, b.Kind == OrderLowered:
			day.Orders[b.Order].Pieces = b.Pieces
		case b.Kind == OrderLater:
			day.Orders[b.Order].promise(WallOf(b.To.In(c.plan.Made.Location())))
		}
	}
	s := c.s
	if s.Kind == OrderAdded {
		if s.New == nil {
			c.fs.add(c.at+".new", "no order is given", "give bread, pieces and a promise")
			return
		}
		day.Orders = []Order{*s.New}
		for _, f := range day.Validate() {
			f.Where = c.at + ".new: " + f.Where
			c.fs = append(c.fs, f)
		}
		return
	}
	if s.Order < 0 || s.Order >= len(day.Orders) {
		c.fs.add(c.at+".order", "there is no order %d", fmt.Sprintf("give 0 to %d", len(day.Orders)-1), s.Order)
		return
	}
	have := day.Orders[s.Order].Pieces
	switch s.Kind {
	case OrderRaised:
		if s.Pieces <= have || s.Pieces > 100*have {
			c.fs.add(c.at+".pieces", "%d pieces do not raise an order of %d", "give how many it is for in all; say that it is for fewer to lower it", s.Pieces, have)
		}
	case OrderLowered:
		if s.Pieces < 1 || s.Pieces >= have {
			c.fs.add(c.at+".pieces", "%d pieces do not lower an order of %d", "give how many it is still for, at least 1; drop it if none are wanted", s.Pieces, have)
		}
	case OrderLater:
		loc, err := c.day.Location()
		if err != nil {
			return // said of the day
		}
		was, err := day.Orders[s.Order].Promise().In(loc)
		if err == nil && (!s.To.After(was) || s.To.Sub(was) > mostWhile) {
			c.fs.add(c.at+".to", "%s is not later than %s, when it is promised, or days later", "give a time after that; add the order to another day instead, if it is for one", s.To.In(loc).Format("2006-01-02 15:04"), was.Format("2006-01-02 15:04"))
		}
	}
}
