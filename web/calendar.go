package web

import (
	"bytes"
	"net/http"

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
	d, p, err := s.savedPlan(r)
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
	return download(w, "text/calendar; charset=utf-8", view.Slug(d.Name)+".ics", b.Bytes())
}
