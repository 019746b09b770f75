package web

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"ovenward/store/record"
	"ovenward/web/view"
)

// feedPath is what a secret and “.ics” follow; whoever has the secret may read
// there, without log-in, and nowhere else.
const feedPath = "/feed/"

// feed is all coming days as a calendar. Rehearsals are not in it: nothing of
// them calls.
func (s *server) feed(w http.ResponseWriter, r *http.Request) error {
	secret, ok := strings.CutSuffix(r.PathValue("secret"), ".ics")
	if !ok {
		return errNoPage
	}
	_, wait, err := s.passOf(r, secret, record.CalendarPass)
	if errors.Is(err, record.ErrNotFound) {
		if wait > 0 {
			w.Header().Set("Retry-After", strconv.Itoa(int(wait.Seconds())+1))
			http.Error(w, "That was tried too often. Wait "+view.Wait(wait)+", then ask with the right address.", http.StatusTooManyRequests)
			return nil
		}
		http.Error(w, "There is no calendar at this address, or no longer. Make another in the settings of ovenward, under “Other programs”.", http.StatusNotFound)
		return nil
	}
	if err != nil {
		return err
	}
	from := s.now().AddDate(0, 0, -2).UTC().Format(time.DateOnly)
	days, err := s.store.DaysFrom(r.Context(), from)
	if err != nil {
		return err
	}
	var plans []record.Plan
	for _, d := range days {
		if d.Version == 0 || d.Now != "" || d.Date < from {
			continue
		}
		p, err := s.store.Plan(r.Context(), d.ID)
		if err != nil {
			return err
		}
		plans = append(plans, p)
	}
	data, err := s.calendarOf(r.Context(), "ovenward", plans, s.words(r))
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "text/calendar; charset=utf-8")
	h.Set("Cache-Control", "private, no-cache")
	h.Set("ETag", fmt.Sprintf(`"%x"`, sha256.Sum256(data)))
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
	return nil
}

// loggable is a path for the log: of a feed without its secret.
func loggable(path string) string {
	if strings.HasPrefix(path, feedPath) {
		return feedPath + "…"
	}
	return path
}
