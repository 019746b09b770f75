package web

import (
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
	stored, err := s.store.Tap(r.Context(), t)
	if err != nil {
		return err
	}
	if stored {
		s.hub.Publish("tap", strconv.FormatInt(d.ID, 10))
	}
	return seeOther(w, r, view.DayHead{ID: d.ID}.At(tabOf(f.Get("back"))))
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
