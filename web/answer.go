package web

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
	"ovenward/web/view"
)

// answer is what was said, the task whose calls it answers, and what is said of it.
type answer struct {
	slip  schedule.Slip
	task  string
	noted []string
}

// answerOf reads a form of the page; what is wrong with it becomes faults of the
// form. A button says it all, "not-yet 10", or names the fields that do.
func answerOf(f *view.Form, run *record.Running, now time.Time) answer {
	word, arg, _ := strings.Cut(f.Values.Get("do"), " ")
	x := reader{f: f, run: run, now: now, arg: arg}
	a := answer{slip: schedule.Slip{Kind: schedule.SlipKind(word), At: now}}
	switch sl := &a.slip; sl.Kind {
	case schedule.RoomIs, schedule.OvenOut, schedule.OvenSlow:
		x.kitchen(sl)
	case schedule.Away, schedule.Stays, schedule.AsUsual:
		a.noted = x.person(sl)
	case schedule.OrderAdded, schedule.OrderRaised, schedule.OrderLowered, schedule.OrderLater, schedule.OrderDropped:
		x.order(sl)
	default:
		if x.task(sl); sl.Task != "" {
			a.task = f.Values.Get("task")
		}
	}
	return a
}

// task reads what happened to a dough or a task.
func (x reader) task(sl *schedule.Slip) {
	sl.Task = x.f.Values.Get("task")
	switch sl.Kind {
	case schedule.NotYet, schedule.Ready, schedule.Over, schedule.Volume:
		sl.Task = riseOf(x.run, sl.Task)
	}
	switch sl.Kind {
	case schedule.Done, schedule.Started, schedule.Skipped:
		sl.At = x.now.Add(-x.minutes(x.given("task.ago")))
	case schedule.NotYet:
		if sl.Minutes = unit.Minutes(x.needed("task.minutes")); sl.Minutes < 1 && len(x.f.Faults) == 0 {
			x.fault("answers", "%s", view.NotYetBy(sl.Minutes))
		}
	case schedule.Volume:
		sl.Expansion = x.needed("task.volume")
	case schedule.WasWarm:
		sl.Celsius = unit.Celsius(x.needed("task.celsius"))
	}
}

// kitchen reads what happened to a place or an oven.
func (x reader) kitchen(sl *schedule.Slip) {
	v := x.f.Values
	switch sl.Kind {
	case schedule.RoomIs:
		sl.Of, sl.Celsius = v.Get("room.of"), unit.Celsius(x.needed("room.celsius"))
		if p, ok := x.run.Plan.From.Kitchen.Place(sl.Of); x.arg != "" && ok { // by how much it is off
			sl.Celsius += p.At(float64(60*x.now.Hour() + x.now.Minute()))
		}
	case schedule.OvenOut:
		sl.Of, sl.To = v.Get("oven.of"), x.until("oven.to", x.now)
	case schedule.OvenSlow:
		sl.Of, sl.Share = v.Get("slow.of"), x.needed("slow.share")/100
	}
}

// person reads who is there otherwise than usual, and gives what is to be said of it.
func (x reader) person(sl *schedule.Slip) []string {
	v := x.f.Values
	switch sl.Kind {
	case schedule.Away:
		sl.Of = v.Get("away.of")
		if x.arg == "" {
			sl.From = x.clock("away.from", x.now.Add(-12*time.Hour))
		}
		sl.To = x.until("away.to", schedule.Later(sl.From, x.now))
	case schedule.Stays:
		return x.stays(sl)
	case schedule.AsUsual:
		sl.Of = v.Get("usual.of")
		return []string{view.UsualAgain(sl.Of)}
	}
	return nil
}

// order reads what happened to an order.
func (x reader) order(sl *schedule.Slip) {
	switch sl.Kind {
	case schedule.OrderAdded:
		sl.New = x.newOrder()
	case schedule.OrderRaised:
		sl.Order, sl.Pieces = x.index("raise.order"), x.whole("raise.pieces")
	case schedule.OrderLowered:
		sl.Order, sl.Pieces = x.index("lower.order"), x.whole("lower.pieces")
	case schedule.OrderLater:
		sl.Order = x.index("later.order")
		sl.To = x.clock("later.to", schedule.Later(x.now, promised(x.run, sl.Order)))
		if sl.To.IsZero() && len(x.f.Faults) == 0 {
			x.fault("later.to", "This is empty; give a time of day like 10:30.")
		}
	case schedule.OrderDropped:
		sl.Order = x.index("drop.order")
	}
}

func (x reader) newOrder() *schedule.Order {
	v := x.f.Values
	o := schedule.Order{Bread: v.Get("new.bread"), Pieces: x.whole("new.pieces"), For: strings.TrimSpace(v.Get("new.for"))}
	if at := schedule.Wall(v.Get("new.at")); v.Get("new.by") == "cool" {
		o.Ready = at
	} else {
		o.Out = at
	}
	return &o
}

// promised is when an order is promised; zero for none.
func promised(run *record.Running, order int) (at time.Time) {
	if d := &run.Plan.From; order >= 0 && order < len(d.Orders) {
		if loc, err := d.Location(); err == nil {
			at, _ = d.Orders[order].Promise().In(loc)
		}
	}
	return at
}

// reader reads fields of a form; what is wrong becomes a fault of it.
type reader struct {
	f   *view.Form
	run *record.Running
	now time.Time
	arg string // what the button says in place of a field, "" for nothing
}

// given is what the button says, or else a field; nothing is zero.
func (x reader) given(field string) float64 {
	if x.arg != "" {
		return x.read("answers", x.arg)
	}
	return x.number(field)
}

// needed is given of what must not be empty.
func (x reader) needed(field string) float64 {
	if x.arg == "" && strings.TrimSpace(x.f.Values.Get(field)) == "" {
		x.fault(field, "This is empty; give a number.")
	}
	return x.given(field)
}

// until is so many minutes from now as the button says, or the first time of day in
// a field after a moment.
func (x reader) until(field string, after time.Time) time.Time {
	if x.arg != "" {
		return x.now.Add(x.minutes(x.given(field)))
	}
	return x.clock(field, after)
}

func (x reader) minutes(n float64) time.Duration { return time.Duration(n * float64(time.Minute)) }

func (x reader) fault(field, what string, args ...any) {
	x.f.Faults = append(x.f.Faults, view.FieldFault{Field: field, What: fmt.Sprintf(what, args...)})
}

// number reads 62.5 and 62,5; nothing is zero.
func (x reader) number(field string) float64 {
	text := strings.TrimSpace(x.f.Values.Get(field))
	if text == "" {
		return 0
	}
	return x.read(field, text)
}

// read reads the number that a field, or a button, says.
func (x reader) read(field, text string) float64 {
	n, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
		x.fault(field, "%s", view.NoNumber(text))
	}
	return n
}

// whole is a number of pieces.
func (x reader) whole(field string) int {
	before := len(x.f.Faults)
	n := x.needed(field)
	if len(x.f.Faults) == before && (n != math.Trunc(n) || math.Abs(n) > mostPieces) {
		x.fault(field, "“%s” is not a number of pieces; write it like 24.", strings.TrimSpace(x.f.Values.Get(field)))
		return 0
	}
	return int(n)
}

// stays reads who is there beyond the hours: until when, or from when. It gives what is
// to be said of it.
func (x reader) stays(sl *schedule.Slip) []string {
	const field = "stays.at"
	v := x.f.Values
	sl.Of = v.Get("stays.of")
	people := schedule.People(x.run.Base.Kitchen.Bakers, x.run.Log, x.now.Location())
	i := slices.IndexFunc(people, func(b schedule.Baker) bool { return b.Name == sl.Of })
	if len(x.f.Faults) > 0 || i < 0 {
		return nil // it is said that there is no such person
	}
	if strings.TrimSpace(v.Get(field)) == "" {
		x.fault(field, "This is empty; give a time of day like 15:00.")
		return nil
	}
	at, err := schedule.Wall(v.Get(field)).In(x.now.Location())
	if err != nil {
		x.fault(field, "%s", view.Sentence(err.Error()))
		return nil
	}
	asks := people[i].StaysUntil
	if v.Get("stays.how") != "" {
		asks = people[i].ComesAt
	}
	a, err := asks(at)
	switch {
	case err != nil:
		x.fault(field, "%s", view.Sentence(err.Error()))
		return nil
	case !a.To.After(x.now):
		x.fault(field, "%s", view.IsPast(a, x.now))
		return nil
	}
	sl.From, sl.To = a.From, a.To
	return []string{view.Agreed(a, x.now)}
}

func (x reader) index(field string) int {
	n, err := strconv.Atoi(x.f.Values.Get(field))
	if err != nil {
		x.fault(field, "No order is chosen; choose one from the list.")
	}
	return n
}

// clock reads a time of day as the first such moment after another; nothing is
// the zero time.
func (x reader) clock(field string, after time.Time) time.Time {
	text := strings.TrimSpace(x.f.Values.Get(field))
	if text == "" {
		return time.Time{}
	}
	c, err := schedule.TypedClock(text)
	if err != nil {
		x.fault(field, "%s", view.Sentence(err.Error()))
		return time.Time{}
	}
	y, m, d := after.Date()
	at := time.Date(y, m, d, 0, int(c), 0, 0, after.Location())
	if !at.After(after) {
		at = time.Date(y, m, d+1, 0, int(c), 0, 0, after.Location())
	}
	return at
}
