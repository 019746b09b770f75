package web

import (
	"context"
	"errors"
	"net/http"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// aWeek is the days of a week.
const aWeek = 7

func (s *server) weekPage(w http.ResponseWriter, r *http.Request) error {
	from, a, err := s.weekOf(r)
	if err != nil {
		return err
	}
	m := view.WeekModel{From: from, Today: a.today}
	names, err := s.breadNames(r.Context())
	if err != nil {
		return err
	}
	for i := range aWeek {
		date := from.AddDate(0, 0, i)
		day := view.WeekDay{Date: date}
		for _, d := range a.on(date) {
			e, err := s.weekEntry(r.Context(), d, names)
			if err != nil {
				return err
			}
			day.Entries = append(day.Entries, e)
		}
		if !date.Before(a.today) && a.waiting(date) {
			day.Waiting = view.WaitingWords(a.orders(date), names)
			day.Own = a.own[date.Format(time.DateOnly)].Name
		}
		_, day.Moved = schedule.OrdersOn(a.standing, date, a.loc)
		m.Days = append(m.Days, day)
	}
	p := s.page(r, "The week from "+view.DateName(from))
	p.Tab = "days"
	return render(w, r, http.StatusOK, view.WeekPage(p, m))
}

// weekOf is the first day of the week asked for, Monday of this one if none is,
// with the days from there on.
func (s *server) weekOf(r *http.Request) (from time.Time, a *outlook, err error) {
	text := r.URL.Query().Get("from")
	if text != "" {
		if from, err = time.Parse(time.DateOnly, text); err != nil {
			return from, nil, &Error{http.StatusUnprocessableEntity, "“" + text + "” is not a date.", "Write it as 2026-11-28, or go on to this week.", "/week"}
		}
	}
	since := text
	if text == "" { // a Monday at most a week ago, wherever the kitchen is
		since = s.now().AddDate(0, 0, -aWeek-1).Format(time.DateOnly)
	}
	if a, err = s.outlook(r.Context(), since); err == nil && text == "" {
		from = a.today.AddDate(0, 0, -int(a.today.Weekday()+6)%aWeek)
	}
	return from, a, err
}

// on are the days of a date, in the order they were begun.
func (a *outlook) on(date time.Time) (all []record.Day) {
	for _, d := range a.all {
		if d.Date == date.Format(time.DateOnly) {
			all = append(all, d)
		}
	}
	return all
}

// breadNames are the names of the breads by ID.
func (s *server) breadNames(ctx context.Context) (map[string]string, error) {
	all, err := s.store.BreadNames(ctx)
	names := map[string]string{}
	for _, b := range all {
		names[b.ID] = b.Name
	}
	return names, err
}

// weekEntry sums up one day, from its newest plan if it has one.
func (s *server) weekEntry(ctx context.Context, d record.Day, names map[string]string) (view.WeekEntry, error) {
	e := view.WeekEntry{Day: d}
	saved, err := s.store.Plan(ctx, d.ID)
	switch {
	case errors.Is(err, record.ErrNotFound):
		e.Pieces, err = view.PieceWords(d.Orders, names), nil
	case err == nil:
		e.Plan = &saved.Plan
		e.Pieces = view.PieceWords(saved.From.Orders, namesIn(&saved.From, names))
	}
	return e, err
}

// namesIn adds the names of breads that a day has and the library no longer does.
func namesIn(d *schedule.Day, names map[string]string) map[string]string {
	for _, b := range d.Breads {
		if names[b.ID] == "" {
			names[b.ID] = b.Name
		}
	}
	return names
}
