package web

import (
	"errors"
	"net/http"
	"slices"

	"ovenward/schedule"
	"ovenward/web/view"
)

// forecastPage plays the method of a bread through today's kitchen.
func (s *server) forecastPage(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	b, err := s.store.Bread(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	d, err := s.breadDay(r, b)
	if err != nil {
		return err
	}
	cold := r.URL.Query().Get("cold") != ""
	day, plan, err := schedule.Forecast(ctx, &d, b.ID, cold)
	if _, faulty := errors.AsType[schedule.Faults](err); faulty {
		return &Error{http.StatusConflict, "This bread cannot be followed as it is.", "Its page says what is missing, and where; save it to see.", "/breads/" + b.ID}
	}
	if err != nil {
		return err
	}
	traces, err := schedule.Traces(day, &plan)
	if err != nil {
		return err
	}
	p := s.page(r, b.Name+", forecast")
	p.Tab = "breads"
	m := view.ForecastModel{Bread: b, Cold: cold, Chillable: d.Chillable(b.ID), Charts: view.NewCharts(day, &plan, traces, p.Words)}
	m.Notes = slices.DeleteFunc(slices.Clone(plan.Outcome.Notes), func(n schedule.Note) bool { return n.Code != "late-fold" })
	m.Rises = slices.DeleteFunc(slices.Clone(plan.Tasks), func(t schedule.Task) bool { return t.Window == nil })
	night, ok, err := schedule.ColdNightOf(day, &plan)
	if err != nil {
		return err
	}
	if ok {
		m.Night = &night
	}
	return render(w, r, http.StatusOK, view.ForecastPage(p, m))
}
