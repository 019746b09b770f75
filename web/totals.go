package web

import (
	"errors"
	"net/http"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
	"ovenward/web/view"
)

// mostAllowance is the most that is bought beyond what is needed.
const mostAllowance unit.Percent = 100

// dayTotals is what a day needs: to weigh, to buy, to take out of the cold.
func (s *server) dayTotals(w http.ResponseWriter, r *http.Request) error {
	return s.planned(w, r, "totals", "To weigh and buy", func(p view.Page, m view.Picture) error {
		t := view.TotalsModel{At: p.Day.At("/totals"), Title: m.Plan.Day, From: m.Plan.Outcome.WorkStart, Zone: m.Plan.Zone}
		t.Days = []view.TotalsDay{{Name: m.Plan.Day, Day: m.Day, Plan: m.Plan}}
		return s.showTotals(w, r, p, t)
	})
}

// weekTotals is what the planned days of a week need.
func (s *server) weekTotals(w http.ResponseWriter, r *http.Request) error {
	from, a, err := s.weekOf(r)
	if err != nil {
		return err
	}
	title := "The week from " + view.DateName(from)
	p := s.page(r, "To buy, "+title)
	p.Tab = "days"
	t := view.TotalsModel{At: "/week/totals", Week: from.Format(time.DateOnly), Title: title, From: from}
	for i := range aWeek {
		for _, d := range a.on(from.AddDate(0, 0, i)) {
			saved, err := s.store.Plan(r.Context(), d.ID)
			switch {
			case errors.Is(err, record.ErrNotFound):
				t.Unplanned = append(t.Unplanned, d)
			case err != nil:
				return err
			default:
				t.Zone = saved.Plan.Zone
				t.Days = append(t.Days, view.TotalsDay{Name: d.Name, At: view.DayHead{ID: d.ID}.At("/totals"), Day: &saved.From, Plan: &saved.Plan})
			}
		}
	}
	return s.showTotals(w, r, p, t)
}

// showTotals shows them with the allowance asked for; one that is none is said to
// be, beside the totals without any.
func (s *server) showTotals(w http.ResponseWriter, r *http.Request, p view.Page, t view.TotalsModel) error {
	text := strings.TrimSpace(r.URL.Query().Get("allow"))
	t.Form = view.Form{Values: map[string][]string{"allow": {text}}}
	in := decoder{in: t.Form.Values}
	allow := unit.Percent(in.number("allow", text))
	if len(in.faults) == 0 && !(allow >= 0 && allow <= mostAllowance) {
		in.fault("allow", "“%s” is no allowance; give 0 to %d percent.", text, int(mostAllowance))
	}
	status := http.StatusOK
	if t.Form.Faults = in.faults; len(in.faults) > 0 {
		allow, status, p.Title = 0, http.StatusUnprocessableEntity, "Error: "+p.Title
	}
	var all []schedule.Bowl
	for i := range t.Days {
		d := &t.Days[i]
		d.Bowls, d.TakeOuts = d.Day.Bowls(d.Plan), d.Day.TakeOuts(d.Plan)
		all = append(all, d.Bowls...)
	}
	t.Total = schedule.Total(all)
	t.Buy = schedule.ToBuy(t.Total, allow)
	return render(w, r, status, view.TotalsPage(p, t))
}
