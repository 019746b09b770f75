package web

import (
	"context"
	"fmt"
	"net/http"
	"strconv"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// tapVolume says how far a dough was seen to have risen; Value is its volume
// against the dough just mixed.
const tapVolume = record.TapKind(schedule.Volume)

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
	version, _ := strconv.Atoi(f.Get("version"))
	minutes, _ := strconv.Atoi(f.Get("minutes"))
	value, _ := strconv.ParseFloat(f.Get("value"), 64)
	now := s.now()
	t := record.Tap{
		ID: f.Get("key"), Day: d.ID, Version: version, Task: f.Get("task"), Kind: record.TapKind(f.Get("kind")),
		Of: f.Get("of"), At: now, Recorded: now, Minutes: min(max(minutes, 0), 24*60), Value: value,
	}
	stored, err := s.tapAll(r.Context(), t, f["task"])
	if err != nil {
		return err
	}
	if stored {
		s.hub.Publish("tap", strconv.FormatInt(d.ID, 10))
	}
	return seeOther(w, r, view.DayHead{ID: d.ID}.At(tabOf(f.Get("back"))))
}

// mostAnswered bounds how many tasks one tap answers.
const mostAnswered = 20

// tapAll keeps one tap for each of the tasks it answers, the calls of one card.
func (s *server) tapAll(ctx context.Context, t record.Tap, tasks []string) (stored bool, err error) {
	for i, task := range tasks[min(1, len(tasks)):min(len(tasks), mostAnswered)] {
		also := t
		also.Task, also.ID = task, fmt.Sprintf("%s-%d", t.ID, i+1)
		if _, err := s.store.Tap(ctx, also); err != nil {
			return false, err
		}
	}
	return s.store.Tap(ctx, t) // last, as the one that can be taken back
}

// tabOf is where a tap came from; only pages of a day, so that no form can send
// the browser elsewhere.
func tabOf(tab string) string {
	switch tab {
	case "day":
		return ""
	case "sheet", "plan":
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
