package web

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
	"ovenward/web/live"
	"ovenward/web/view"
)

func (s *server) slipPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	return s.showSlip(w, r, http.StatusOK, d, view.Form{Values: url.Values{"task": {r.URL.Query().Get("task")}}})
}

func (s *server) showSlip(w http.ResponseWriter, r *http.Request, status int, d record.Day, f view.Form) error {
	p := s.dayFrame(r, d, "slip", "What has happened")
	m, ok, err := s.picture(r, d, &p)
	if err != nil {
		return err
	}
	if !ok {
		return seeOther(w, r, p.Day.At("/plan"))
	}
	breads, err := s.store.BreadNames(r.Context())
	if err != nil {
		return err
	}
	if len(f.Faults) > 0 {
		p.Title = "Error: " + p.Title
		for i := range f.Faults {
			f.Faults[i].What = m.Named(f.Faults[i].What)
		}
	}
	x := view.SlipModel{Form: f, Picture: m, Breads: breads, Key: newKey, Task: m.Plan.Task(f.Values.Get("task"))}
	return render(w, r, status, view.SlipPage(p, x))
}

// saySlip keeps what was said on the page of what has happened.
func (s *server) saySlip(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	run, err := s.store.Running(r.Context(), d.ID)
	if err != nil {
		return err
	}
	f := view.Form{Values: r.PostForm}
	f.Faults = joinMoments(f.Values)
	if err := s.knowBreads(r.Context(), f.Values); err != nil {
		return err
	}
	now := s.nowOf(d, run.Plan)
	a := answerOf(&f, &run, now)
	if len(f.Faults) > 0 {
		return s.showSlip(w, r, http.StatusUnprocessableEntity, d, f)
	}
	version, _ := strconv.Atoi(f.Values.Get("version"))
	t := record.Tap{ID: f.Values.Get("key"), Day: d.ID, Version: version, Task: a.task, Kind: record.TapKind(a.slip.Kind),
		At: a.slip.At, Recorded: s.now(), Minutes: int(a.slip.Minutes)}
	if !f.Values.Has(sure) {
		if e := farAhead(d, &run, version, now, a.slip); e != nil {
			return s.askFirst(w, r, d, &run, e, a.slip.Kind)
		}
	}
	t.Also = lostWith(&run, t.Kind, &a.slip)
	return s.say(w, r, d, t, &a.slip, f, a.noted...)
}

// say keeps an answer, draws its conclusions, and leads on: to the choices where
// something is endangered, else back. noted is what it says of the answer.
func (s *server) say(w http.ResponseWriter, r *http.Request, d record.Day, t record.Tap, more *schedule.Slip, f view.Form, noted ...string) error {
	stored, fs, err := s.hear(r.Context(), d, t, more)
	if err != nil {
		return err
	}
	if len(fs) > 0 {
		f.Faults = slipFaults(fs, f.Values.Get("do"))
		return s.showSlip(w, r, http.StatusUnprocessableEntity, d, f)
	}
	back, ways := view.DayHead{ID: d.ID}.At(tabOf(f.Values.Get("back"))), view.DayHead{ID: d.ID}.At("/choices")
	if !stored {
		return seeOther(w, r, back)
	}
	s.hub.Publish(live.Tap{Day: d.ID})
	if err := s.keepReading(r.Context(), d, t, more); err != nil {
		return err
	}
	_, is := t.Say()
	if !is && more == nil && t.Kind != record.Undo {
		return seeOther(w, r, back) // it only answers a call
	}
	lost := more != nil && more.Kind == schedule.DoughLost
	if lost {
		noted = []string{view.ThrownAway}
	}
	o := s.heed(r.Context(), d)
	switch {
	case o != nil && o.endangered() && !plainTap(t.Kind):
		return seeOther(w, r, ways+s.notices.keep(noted))
	case o != nil && !lost && !plainTap(t.Kind):
		noted = append(orOne(noted, "Noted."), "The plan stays as it is.")
		back += s.notices.keep([]string{strings.Join(noted, " ")})
	default:
		back += s.notices.keep(noted)
	}
	return seeOther(w, r, back)
}

// orOne is a list, or the one thing that stands for none.
func orOne(list []string, one string) []string {
	if len(list) == 0 {
		return []string{one}
	}
	return list
}

// plainTap tells the answers that come in the run of work: the page stays, and
// says if they endanger something.
func plainTap(k record.TapKind) bool {
	return k == record.Finished || k == record.Started || k == record.Skipped || k == record.Ready || k == record.Undo
}

// answer is what was said, the task whose calls it answers, and what is said of it.
type answer struct {
	slip  schedule.Slip
	task  string
	noted []string
}

// answerOf reads a form of the page; what is wrong with it becomes faults of the
// form. A button says it all, "not-yet 10", or names the fields that do.
func answerOf(f *view.Form, run *record.Running, now time.Time) answer {
	v := f.Values
	word, arg, _ := strings.Cut(v.Get("do"), " ")
	x := reader{f: f, now: now}
	a := answer{task: v.Get("task"), slip: schedule.Slip{Kind: schedule.SlipKind(word), At: now, Task: v.Get("task")}}
	sl := &a.slip
	given := func(field string) float64 {
		if arg != "" {
			return x.read("answers", arg)
		}
		return x.number(field)
	}
	needed := func(field string) float64 {
		if arg != "" {
			return given(field)
		}
		return x.needed(field)
	}
	until := func(field string, after time.Time) time.Time {
		if arg != "" {
			return now.Add(time.Duration(given(field) * float64(time.Minute)))
		}
		return x.clock(field, after)
	}
	switch sl.Kind {
	case schedule.Done, schedule.Started, schedule.Skipped:
		sl.At = now.Add(-time.Duration(given("task.ago") * float64(time.Minute)))
	case schedule.NotYet:
		if sl.Minutes = unit.Minutes(needed("task.minutes")); sl.Minutes < 1 && len(f.Faults) == 0 {
			x.fault("answers", "%s", view.NotYetBy(sl.Minutes))
		}
		sl.Task = riseOf(run, a.task)
	case schedule.Ready, schedule.Over:
		sl.Task = riseOf(run, a.task)
	case schedule.Volume:
		sl.Expansion = needed("task.volume")
		sl.Task = riseOf(run, a.task)
	case schedule.WasWarm:
		sl.Celsius = unit.Celsius(needed("task.celsius"))
	case schedule.RoomIs:
		sl.Task, sl.Of, sl.Celsius = "", v.Get("room.of"), unit.Celsius(needed("room.celsius"))
		if p, ok := run.Plan.From.Kitchen.Place(sl.Of); arg != "" && ok { // by how much it is off
			sl.Celsius += p.At(float64(60*now.Hour() + now.Minute()))
		}
	case schedule.OvenOut:
		sl.Task, sl.Of, sl.To = "", v.Get("oven.of"), until("oven.to", now)
	case schedule.OvenSlow:
		sl.Task, sl.Of, sl.Share = "", v.Get("slow.of"), needed("slow.share")/100
	case schedule.Away:
		sl.Task, sl.Of = "", v.Get("away.of")
		if arg == "" {
			sl.From = x.clock("away.from", now.Add(-12*time.Hour))
		}
		sl.To = until("away.to", slices.MaxFunc([]time.Time{sl.From, now}, time.Time.Compare))
	case schedule.Stays:
		sl.Task = ""
		a.noted = x.stays(run, sl)
	case schedule.AsUsual:
		sl.Task, sl.Of = "", v.Get("usual.of")
		a.noted = []string{view.UsualAgain(sl.Of)}
	case schedule.OrderAdded:
		o := schedule.Order{Bread: v.Get("new.bread"), Pieces: x.whole("new.pieces"), For: strings.TrimSpace(v.Get("new.for"))}
		if at := schedule.Wall(v.Get("new.at")); v.Get("new.by") == "cool" {
			o.Ready = at
		} else {
			o.Out = at
		}
		sl.Task, sl.New = "", &o
	case schedule.OrderRaised:
		sl.Task, sl.Order, sl.Pieces = "", x.index("raise.order"), x.whole("raise.pieces")
	case schedule.OrderLowered:
		sl.Task, sl.Order, sl.Pieces = "", x.index("lower.order"), x.whole("lower.pieces")
	case schedule.OrderLater:
		sl.Task, sl.Order = "", x.index("later.order")
		sl.To = x.clock("later.to", slices.MaxFunc([]time.Time{now, promised(run, sl.Order)}, time.Time.Compare))
		if sl.To.IsZero() && len(f.Faults) == 0 {
			x.fault("later.to", "This is empty; give a time of day like 10:30.")
		}
	case schedule.OrderDropped:
		sl.Task, sl.Order = "", x.index("drop.order")
	}
	if sl.Task == "" {
		a.task = ""
	}
	return a
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
	now time.Time
}

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

func (x reader) needed(field string) float64 {
	if strings.TrimSpace(x.f.Values.Get(field)) == "" {
		x.fault(field, "This is empty; give a number.")
	}
	return x.number(field)
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
func (x reader) stays(run *record.Running, sl *schedule.Slip) []string {
	const field = "stays.at"
	v := x.f.Values
	sl.Of = v.Get("stays.of")
	people := schedule.People(run.Base.Kitchen.Bakers, run.Log, x.now.Location())
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

// slipFaults ties what cannot have happened to the fields it was said in.
func slipFaults(fs schedule.Faults, do string) []view.FieldFault {
	word, _, _ := strings.Cut(do, " ")
	form := map[schedule.SlipKind]string{
		schedule.RoomIs: "room", schedule.OvenOut: "oven", schedule.OvenSlow: "slow", schedule.Away: "away", schedule.Stays: "stays", schedule.AsUsual: "usual",
		schedule.OrderAdded: "new", schedule.OrderRaised: "raise", schedule.OrderLowered: "lower", schedule.OrderLater: "later", schedule.OrderDropped: "drop",
	}[schedule.SlipKind(word)]
	names := map[string]string{
		"new: orders[0].bread": "bread", "new: orders[0].pieces": "pieces", "new: orders[0].out_by": "at", "new: orders[0].cool_by": "at", "new: orders[0]": "at",
	}
	var out []view.FieldFault
	for _, f := range fs {
		field := f.Where
		if to, ok := names[field]; ok {
			field = to
		}
		x := view.FieldFault{Field: form + "." + field, What: view.Sentence(f.What + "; " + f.Remedy)}
		switch {
		case form == "stays" && field == "to":
			x.Field = "stays.at"
		case form == "usual":
			x.Field = "people"
		case form == "" && field == "celsius":
			x.Field = "task.celsius"
		case form == "" && field == "expansion":
			x.Field = "task.volume"
		case form == "":
			x.Field = "answers"
		}
		out = append(out, x)
	}
	return out
}
