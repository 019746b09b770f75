package web

import (
	"errors"
	"net/http"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
	"ovenward/web/view"
)

// calls are the alerts that want something now, as a piece of page that the
// script sets into whatever page is open.
func (s *server) calls(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	all, err := s.store.Alerts(r.Context(), d.ID)
	if err != nil {
		return err
	}
	run, err := s.store.Running(r.Context(), d.ID)
	if err != nil && !errors.Is(err, record.ErrNotFound) {
		return err
	}
	plan := schedule.Follow(&run.Plan.From, &run.Plan.Plan, run.Log)
	p := s.dayFrame(r, d, "", "Calls")
	if len(all) > 0 {
		p.Now = p.Now.In(all[0].Due.Location())
	}
	price := func(task string, begin time.Time) unit.Minutes { return schedule.Price(plan, task, begin) }
	cold := func(a record.Alert) *view.Cold { return s.cold(r.Context(), d, a) }
	return render(w, r, http.StatusOK, view.Calls(p, view.Bell{All: all, Price: price, Cold: cold}, newKey))
}
