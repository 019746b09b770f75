package web

import (
	"context"
	"net/http"
	"slices"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/live"
	"ovenward/web/view"
)

// makeByHand makes the day of one date from its standing orders, or adds them to
// the day the baker has on that date.
func (s *server) makeByHand(w http.ResponseWriter, r *http.Request) error {
	text := strings.TrimSpace(r.PostFormValue("date"))
	date, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return &Error{http.StatusUnprocessableEntity, "“" + text + "” is not a date.", "Go back and write it as 2026-11-28.", "/standing"}
	}
	s.coming.Lock()
	defer s.coming.Unlock()
	a, err := s.outlook(r.Context(), text)
	if err != nil {
		return err
	}
	if len(a.orders(date)) == 0 {
		return &Error{http.StatusUnprocessableEntity, "No standing order falls on " + view.DateName(date) + " that could still be kept.", "Look at the list, or begin an empty day.", "/standing"}
	}
	if a.zone == "" {
		return &Error{http.StatusUnprocessableEntity, "It is not said yet in which time zone the standing orders are.", "Say it at the foot of the list.", "/standing#zone"}
	}
	c, own := a.comings[text], a.own[text]
	switch {
	case c.Day != 0:
		return seeOther(w, r, view.DayHead{ID: c.Day}.At("/plan")+s.notices.keep([]string{"This day was made before."}))
	case own.ID != 0:
		return s.join(w, r, own, text, a.orders(date))
	}
	id, err := s.makeDay(r.Context(), a, date, a.orders(date), true)
	if err != nil {
		return err
	}
	said, err := s.planMade(r.Context(), id, s.words(r))
	if err != nil {
		return err
	}
	return seeOther(w, r, view.DayHead{ID: id}.At("/plan")+s.notices.keep(append([]string{"Made from the standing orders."}, said...)))
}

// join adds standing orders to a day of the baker's own: those it does not have
// yet.
func (s *server) join(w http.ResponseWriter, r *http.Request, d record.Day, date string, orders []schedule.Order) error {
	at := view.DayHead{ID: d.ID}
	if s.begun(r.Context(), d.ID) {
		return &Error{http.StatusConflict, d.Name + " has begun; to plan it anew would forget the doughs under way.", "Say there which orders were added.", at.At("/slip")}
	}
	for _, o := range orders {
		if !slices.Contains(d.Orders, o) {
			d.Orders = append(d.Orders, o)
		}
	}
	if err := s.store.JoinDay(r.Context(), d, record.Coming{Date: date, Name: d.Name, Zone: d.Zone, Orders: orders}); err != nil {
		return err
	}
	said, err := s.planMade(r.Context(), d.ID, s.words(r))
	if err != nil {
		return err
	}
	return seeOther(w, r, at.At("/plan")+s.notices.keep(append([]string{"The standing orders are added to this day."}, said...)))
}

// renewComing brings the days ahead that nobody has touched into line with the
// standing orders as they are now.
func (s *server) renewComing(w http.ResponseWriter, r *http.Request) error {
	s.coming.Lock()
	defer s.coming.Unlock()
	a, err := s.outlook(r.Context(), "9999-12-31")
	if err != nil {
		return err
	}
	var said []string
	for _, c := range a.stale() {
		line, err := s.renew(r.Context(), c, s.words(r))
		if err != nil {
			return err
		}
		if line != "" {
			said = append(said, line)
		}
	}
	if len(said) == 0 {
		said = []string{"There was nothing to renew."}
	}
	return seeOther(w, r, "/standing"+s.notices.keep(said))
}

// renew says what became of one day, nothing where it is left alone.
func (s *server) renew(ctx context.Context, c record.Coming, w view.Words) (string, error) {
	done, err := s.store.RenewDay(ctx, c)
	if err != nil || !done {
		return "", err
	}
	if len(c.Orders) == 0 {
		s.hub.Publish(live.Resync{Reason: "changed"})
		return c.Name + " is deleted: no standing order falls on it any more.", nil
	}
	said, err := s.planMade(ctx, c.Day, w)
	return c.Name + " is renewed. " + strings.Join(said, " "), err
}
