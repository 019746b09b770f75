package web

import (
	"net/http"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// copyPage asks for which date a day is copied.
func (s *server) copyPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	f := view.Form{Values: map[string][]string{"date": {nextWeek(d, s.now())}, "key": {newKey()}}}
	return s.showCopy(w, r, http.StatusOK, d, f)
}

// nextWeek is the same weekday after a day, and after today.
func nextWeek(d record.Day, now time.Time) string {
	date, err := time.Parse(time.DateOnly, d.Date)
	if err != nil {
		return ""
	}
	for date = date.AddDate(0, 0, aWeek); date.Before(now); date = date.AddDate(0, 0, aWeek) {
	}
	return date.Format(time.DateOnly)
}

func (s *server) showCopy(w http.ResponseWriter, r *http.Request, status int, d record.Day, f view.Form) error {
	p := s.dayFrame(r, d, "copy", "Copy")
	if len(f.Faults) > 0 {
		p.Title = "Error: " + p.Title
	}
	return render(w, r, status, view.CopyPage(p, d, f))
}

// copyDay begins a day like another: its orders at the same times of the clock,
// how it is planned, but nothing of what happened on it.
func (s *server) copyDay(w http.ResponseWriter, r *http.Request) error {
	old, err := s.dayOf(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f := view.Form{Values: r.PostForm}
	text := strings.TrimSpace(f.Values.Get("date"))
	date, err := time.Parse(time.DateOnly, text)
	if err != nil {
		f.Faults = []view.FieldFault{{Field: "date", What: "“" + text + "” is not a date; write it as 2026-11-28."}}
		return s.showCopy(w, r, http.StatusUnprocessableEntity, old, f)
	}
	d := record.Day{Name: strings.TrimSpace(f.Values.Get("name")), Date: text, Zone: old.Zone, Settings: old.Settings}
	if d.Name == "" {
		d.Name = view.DateName(date)
	}
	var said []string
	d.Orders, said = settlePromises(moved(old, date), d.Zone)
	s.coming.Lock() // whoever taps twice finds the plan of the first tap
	defer s.coming.Unlock()
	id, begun, err := s.store.BeginDay(r.Context(), sentKey(r), d, s.now())
	if err != nil {
		return err
	}
	said = append([]string{"Copied from " + old.Name + "."}, said...)
	if !begun {
		said = []string{begunBefore}
		if d, err = s.store.DayRecord(r.Context(), id); err != nil {
			return err
		}
	}
	if d.Version == 0 {
		lines, err := s.planMade(r.Context(), id, s.words(r))
		if err != nil {
			return err
		}
		said = append(said, lines...)
	}
	return seeOther(w, r, view.DayHead{ID: id}.At("/plan")+s.notices.keep(said))
}

// settlePromises makes every promise one moment, and says which a change of clocks has
// moved.
func settlePromises(orders []schedule.Order, zone string) (_ []schedule.Order, said []string) {
	loc, err := time.LoadLocation(zone)
	if err != nil {
		return orders, nil
	}
	for i := range orders {
		if change := orders[i].Settle(loc); change != nil {
			said = append(said, view.MovedLine(change))
		}
	}
	return orders, said
}
