package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
	"ovenward/web/view"
)

// tapVolume says how far a dough was seen to have risen; Value is its volume
// against the dough just mixed.
const tapVolume = record.TapKind(schedule.Volume)

// tapLost says that a dough is thrown away for which nothing rings.
const tapLost = record.TapKind(schedule.DoughLost)

// tapKinds are what one touch can say; the rest of the log is written by the program.
var tapKinds = map[record.TapKind]bool{
	record.Ack: true, record.Started: true, record.Finished: true, record.NotYet: true, record.Ready: true, record.Over: true, record.Skipped: true,
	record.Snooze: true, record.Undo: true, record.PutCold: true, record.TakenOut: true, record.Pressed: true, record.GoOn: true, record.Reshape: true, record.Discard: true,
	record.WasFine: true, tapVolume: true, tapLost: true, record.TapKind(schedule.WasWarm): true,
}

// tap keeps what the baker said with one touch: done, on it, not yet, undo.
func (s *server) tap(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f := r.PostForm
	if !tapKinds[record.TapKind(f.Get("kind"))] {
		return &Error{http.StatusUnprocessableEntity, "That is nothing that can be said with one tap.", "Go back, reload the page and tap again.", view.DayHead{ID: d.ID}.At(tabOf(f.Get("back")))}
	}
	version, _ := strconv.Atoi(f.Get("version"))
	minutes, value, fault := tapNumbers(f)
	if fault != "" {
		return &Error{http.StatusUnprocessableEntity, fault, "Nothing is noted. Go back, reload the page and tap again.", view.DayHead{ID: d.ID}.At(tabOf(f.Get("back")))}
	}
	run, err := s.store.Running(r.Context(), d.ID)
	if err != nil {
		return err
	}
	t := record.Tap{
		ID: f.Get("key"), Day: d.ID, Version: version, Task: f.Get("task"), Kind: record.TapKind(f.Get("kind")),
		Of: f.Get("of"), At: s.nowOf(d, run.Plan), Recorded: s.now(), Minutes: minutes, Value: value,
	}
	if !f.Has(sure) {
		var said []schedule.Slip
		for _, task := range f["task"] {
			said = append(said, schedule.Slip{ID: t.ID, Kind: schedule.SlipKind(t.Kind), At: t.At, Task: task})
		}
		if e := farAhead(d, &run, version, t.At, said...); e != nil {
			return s.askFirst(w, r, d, &run, e, schedule.SlipKind(t.Kind))
		}
	}
	more := ofRise(t, &run)
	t.Also = lostWith(&run, t.Kind, more)
	if err := s.tapAlso(r.Context(), d, t, f["task"]); err != nil {
		return err
	}
	if err := s.tapOnTheWay(r.Context(), d, t, run.Plan.Plan.Tasks); err != nil {
		return err
	}
	return s.say(w, r, d, t, more, view.Form{Values: f}) // last, as the one that can be taken back
}

// mostTapped bounds the minutes that one touch says.
const mostTapped = 24 * 60

// tapNumbers are the minutes and the measured value of a tap, and what is wrong with
// them: pages offer none that is.
func tapNumbers(f url.Values) (minutes int, value float64, fault string) {
	text, kind := f.Get("minutes"), record.TapKind(f.Get("kind"))
	minutes, err := strconv.Atoi(text)
	switch {
	case text != "" && (err != nil || minutes > mostTapped || minutes < 0 && kind != record.NotYet):
		return 0, 0, view.NoMinutes(text)
	case kind == record.NotYet && minutes < 1:
		return 0, 0, view.NotYetBy(unit.Minutes(minutes))
	case kind == tapVolume || kind == record.TapKind(schedule.WasWarm):
		if value, err = strconv.ParseFloat(f.Get("value"), 64); err != nil {
			return 0, 0, view.NoNumber(f.Get("value"))
		}
	}
	return minutes, value, ""
}

// ofRise gives what is said of the rise that ends with the tap's task; nil where
// it is said of the task itself.
func ofRise(t record.Tap, run *record.Running) *schedule.Slip {
	switch t.Kind {
	case record.Discard, tapLost:
		return &schedule.Slip{ID: t.ID, Kind: schedule.DoughLost, At: t.At, Task: t.Task}
	case record.Reshape: // it has gone over
		return &schedule.Slip{ID: t.ID, Kind: schedule.Over, At: t.At, Task: riseOf(run, t.Task)}
	case record.NotYet, record.Ready, record.Over, tapVolume:
		if id := riseOf(run, t.Task); id != t.Task {
			slip, _ := t.Say()
			slip.Task = id
			return &slip
		}
	}
	return nil
}

// riseOf is what "ready" and "not yet" are said of at a task: the rise that ends
// with it, or itself once it is begun.
func riseOf(run *record.Running, task string) string {
	if slices.ContainsFunc(run.Log, func(x schedule.Slip) bool { return x.Kind == schedule.Started && x.Task == task }) {
		return task
	}
	return view.RiseBefore(run.Plan.Plan.Tasks, task)
}

// lostWith are the tasks that fall away with a dough that is thrown away: what was
// still to be done to it. The call that the tap itself decides on is not among them.
func lostWith(run *record.Running, kind record.TapKind, slip *schedule.Slip) (lost []string) {
	if slip == nil || slip.Kind != schedule.DoughLost {
		return nil
	}
	if kind != record.Discard {
		lost = append(lost, slip.Task)
	}
	p := &run.Plan.Plan
	from := p.Task(slip.Task)
	for _, l := range p.Losses(append(sound(run, slip.At), *slip)) {
		for _, x := range l.Tasks {
			if l.Slip == slip.ID && from != nil && x.ID != slip.Task && !x.Start.Before(from.Start) {
				lost = append(lost, x.ID)
			}
		}
	}
	return lost
}

// mostAnswered bounds how many tasks one tap answers.
const mostAnswered = 20

// tapAlso keeps one tap for each of the tasks it answers but the first, the calls
// of one card.
func (s *server) tapAlso(ctx context.Context, d record.Day, t record.Tap, tasks []string) error {
	for i, task := range tasks[min(1, len(tasks)):min(len(tasks), mostAnswered)] {
		also := t
		also.Task, also.ID = task, fmt.Sprintf("%s-%d", t.ID, i+1)
		if _, _, err := s.hear(ctx, d, also, nil); err != nil {
			return err
		}
	}
	return nil
}

// tapOnTheWay settles the calls to what was to be done to a rise on its way when the
// work after it is begun.
func (s *server) tapOnTheWay(ctx context.Context, d record.Day, t record.Tap, tasks []schedule.Task) error {
	if t.Kind != record.Started && t.Kind != record.Finished {
		return nil
	}
	rise := view.RiseBefore(tasks, t.Task)
	i := slices.IndexFunc(tasks, func(x schedule.Task) bool { return x.ID == rise })
	if i < 0 {
		return nil
	}
	for _, call := range tasks[i].OnTheWay() {
		also := t
		also.Task, also.Kind = rise, record.Heeding(call.Kind)
		also.ID = t.ID + "-" + string(also.Kind)
		if _, _, err := s.hear(ctx, d, also, nil); err != nil {
			return err
		}
	}
	return nil
}

// tabOf is where a tap came from; only pages of a day, so that no form can send
// the browser elsewhere.
func tabOf(tab string) string {
	switch tab {
	case "day":
		return ""
	case "sheet", "plan", "went":
		return "/" + tab
	}
	return "/now"
}

func badForm(err error) error {
	if _, ok := err.(*http.MaxBytesError); ok {
		return err
	}
	return &Error{http.StatusBadRequest, "That form could not be read.", "Go back, reload the page and send it again.", ""}
}
