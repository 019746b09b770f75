package web

import (
	"bytes"
	"errors"
	"net/http"

	"ovenward/store/record"
	"ovenward/web/ical"
	"ovenward/web/view"
)

// settingInstall tells this installation's calendar entries from another's. It
// is made with the first plan.
const settingInstall = "install"

// calendar is the day for a calendar, to be imported once. A subscription would
// need an address nobody can guess; this one is behind the host check like
// every page.
func (s *server) calendar(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	p, err := s.store.Plan(r.Context(), d.ID)
	if errors.Is(err, record.ErrNotFound) {
		return &Error{http.StatusNotFound, "This day has no plan yet.", "Say what must be out of the oven, and when.", view.DayHead{ID: d.ID}.At("/plan")}
	}
	if err != nil {
		return err
	}
	install, err := s.store.Setting(r.Context(), settingInstall)
	if err != nil {
		return err
	}
	m := view.Picture{Day: &p.From, Plan: &p.Plan, Words: s.words(r)}
	var b bytes.Buffer
	err = ical.Write(&b, ical.Calendar{
		Name: d.Name, Install: "ovenward" + install, Day: d.ID, Version: p.Version, Plan: &p.Plan, Now: s.now(),
		Words: func(e ical.Entry) (string, string) { return m.Entry(e.Task, string(e.Part)) },
	})
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/calendar; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="`+view.Slug(d.Name)+`.ics"`)
	w.Write(b.Bytes())
	return nil
}
