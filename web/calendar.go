package web

import (
	"bytes"
	"context"
	"net/http"

	"ovenward/store/record"
	"ovenward/web/ical"
	"ovenward/web/view"
)

// settingInstall tells this installation's calendar entries from another's. It
// is made with the first plan.
const settingInstall = "install"

// calendar is the day for a calendar, to be imported once; what follows the plan
// is a [server.feed].
func (s *server) calendar(w http.ResponseWriter, r *http.Request) error {
	d, p, err := s.savedPlan(r)
	if err != nil {
		return err
	}
	data, err := s.calendarOf(r.Context(), d.Name, []record.Plan{p}, s.words(r))
	if err != nil {
		return err
	}
	return download(w, "text/calendar; charset=utf-8", slugOf(d.Name, "day")+".ics", data)
}

// calendarOf writes plans as a calendar.
func (s *server) calendarOf(ctx context.Context, name string, plans []record.Plan, words view.Words) ([]byte, error) {
	install, err := s.store.Setting(ctx, settingInstall)
	if err != nil {
		return nil, err
	}
	c := ical.Calendar{Name: name, Install: "ovenward" + install}
	for i := range plans {
		p := &plans[i]
		m := view.Picture{Day: &p.From, Plan: &p.Plan, Words: words}
		c.Days = append(c.Days, ical.Day{ID: p.Day, Version: p.Version, Saved: p.Saved, Plan: &p.Plan,
			Words: func(e ical.Entry) ical.Words {
				title, text := m.Entry(e.Task, string(e.Part))
				return ical.Words{Title: title, Text: text, Where: m.Place(e.Task)}
			}})
	}
	var b bytes.Buffer
	err = ical.Write(&b, c)
	return b.Bytes(), err
}
