package web

import (
	"net/http"

	"ovenward/web/view"
)

// calls are the alerts that want something now, as a piece of page that the
// script sets into whatever page is open.
func (s *server) calls(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	active, err := s.store.ActiveAlerts(r.Context(), d.ID)
	if err != nil {
		return err
	}
	p := s.dayFrame(r, d, "", "Calls")
	return render(w, r, http.StatusOK, view.Calls(p, active, newKey))
}
