package web_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/static"
	"ovenward/store"
	"ovenward/store/storetest"
	"ovenward/testdata"
	"ovenward/web"
	"ovenward/web/live"
	"ovenward/web/webtest"
)

// site is the web app on a store of its own with the example day planned.
type site struct {
	t     testing.TB
	h     http.Handler
	store *store.Store
	hub   *hub
	now   time.Time
	at    string // path of the day
	id    int64
}

// hub remembers what was published.
type hub struct {
	mu   sync.Mutex
	said []live.Event
}

func (h *hub) Publish(e live.Event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.said = append(h.said, e)
}

func (h *hub) ServeHTTP(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(http.StatusNoContent) }

func (h *hub) heard(event live.Event) bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	return slices.Contains(h.said, event)
}

// empty is a site on which nothing has been entered.
func empty(tb testing.TB) *site {
	tb.Helper()
	s := &site{t: tb, store: storetest.Open(tb), hub: &hub{}, now: time.Date(2026, 11, 27, 16, 0, 0, 0, time.UTC)}
	h, err := web.New(web.Config{Store: s.store, Hub: s.hub, Static: static.FS, Now: func() time.Time { return s.now }, Hosts: []string{"bakery.lan"}, Patience: time.Hour})
	if err != nil {
		tb.Fatal(err)
	}
	s.h = h
	return s
}

// example is a site with the example day, planned.
func example(tb testing.TB) *site {
	tb.Helper()
	s := empty(tb)
	var d schedule.Day
	if err := json.Unmarshal(testdata.Example, &d); err != nil {
		tb.Fatal(err)
	}
	id, err := s.store.ImportDay(tb.Context(), d)
	if err != nil {
		tb.Fatal(err)
	}
	s.id, s.at = id, "/days/1"
	p, err := webtest.Example()
	if err != nil {
		tb.Fatal(err)
	}
	day, err := s.store.Day(tb.Context(), id, s.now)
	if err != nil {
		tb.Fatal(err)
	}
	if _, err := s.store.SavePlan(tb.Context(), id, day, p.Plan, schedule.Alerts(&p.Plan), s.now); err != nil {
		tb.Fatal(err)
	}
	return s
}

func (s *site) do(r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	if r.Host == "example.com" {
		r.Host = "localhost:8080"
	}
	s.h.ServeHTTP(w, r)
	return w
}

func (s *site) get(path string) *httptest.ResponseRecorder {
	return s.do(httptest.NewRequest(http.MethodGet, path, nil))
}

func (s *site) post(path string, v url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(v.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return s.do(r)
}

// page gets a page that must be there.
func (s *site) page(path string) *webtest.Page {
	s.t.Helper()
	w := s.get(path)
	if w.Code != http.StatusOK {
		s.t.Fatalf("GET %s: %d\n%s", path, w.Code, w.Body)
	}
	return webtest.Parse(s.t, w.Body)
}

// sent posts what must be accepted and gives the page it leads to.
func (s *site) sent(path string, v url.Values) *webtest.Page {
	s.t.Helper()
	w := s.post(path, v)
	if w.Code != http.StatusSeeOther {
		s.t.Fatalf("POST %s: %d\n%s", path, w.Code, webtest.Parse(s.t, w.Body).Text(nil))
	}
	return s.page(w.Header().Get("Location"))
}

// refused posts what must not be accepted and gives the page that says why.
func (s *site) refused(path string, v url.Values) *webtest.Page {
	s.t.Helper()
	w := s.post(path, v)
	if w.Code != http.StatusUnprocessableEntity {
		s.t.Fatalf("POST %s: %d, want 422", path, w.Code)
	}
	return webtest.Parse(s.t, w.Body)
}
