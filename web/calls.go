package web

import (
	"context"
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
	run, err := s.store.Running(r.Context(), d.ID)
	if err != nil && !errors.Is(err, record.ErrNotFound) {
		return err
	}
	plan := run.Followed()
	b, err := s.bell(r.Context(), d.ID, plan)
	if err != nil {
		return err
	}
	b.Cold = func(a record.Alert) *view.Cold { return s.cold(r.Context(), d, a) }
	p := s.dayFrame(r, d, "", "Calls")
	if len(b.All) > 0 {
		p.Now = p.Now.In(b.All[0].Due.Location())
	}
	return render(w, r, http.StatusOK, view.Calls(p, b, newKey))
}

// bell is the calls of a day with what it costs to put one off, without the
// fridge, which takes a while to work out.
func (s *server) bell(ctx context.Context, day int64, p *schedule.Plan) (view.Bell, error) {
	all, err := s.store.Alerts(ctx, day)
	price := func(task string, begin time.Time) unit.Minutes { return schedule.Price(p, task, begin) }
	return view.Bell{All: all, Price: price}, err
}
