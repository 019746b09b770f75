package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"ovenward/schedule"
)

func (s *site) countDays() int {
	s.t.Helper()
	all, err := s.store.Days(s.t.Context())
	if err != nil {
		s.t.Fatal(err)
	}
	return len(all)
}

// A form that begins a day, sent again, leads to the day it began, planned once;
// gone back to and changed it begins another.
func TestDayFormTwice(t *testing.T) {
	t.Parallel()
	for path, page := range map[string]string{"/days": "/days", "/days/1/copy": "/days/1/copy"} {
		t.Run(path, func(t *testing.T) {
			t.Parallel()
			s := own(t)
			form := s.page(page).Form(path)
			form.Set("name", "Fair")
			first := s.post(path, form).Header().Get("Location")
			at, _, _ := strings.Cut(first, "?")
			for range 2 {
				s.restart()
				w := s.post(path, form)
				to, _, _ := strings.Cut(w.Header().Get("Location"), "?")
				if w.Code != http.StatusSeeOther || to != at || at != "/days/2/plan" {
					t.Fatalf("sent again it answers %d %s, first %s", w.Code, to, at)
				}
				if text := plainly(s.page(w.Header().Get("Location"))); !strings.Contains(text, "This day was begun before.") {
					t.Errorf("it says %s", text)
				}
			}
			d, _ := s.store.DayRecord(t.Context(), 2)
			if want := map[bool]int{true: 1}[path != "/days"]; s.countDays() != 2 || d.Version != want {
				t.Errorf("%d days, plan %d; want 2 and %d", s.countDays(), d.Version, want)
			}
			form.Set("name", "Fête")
			s.sent(path, form)
			if s.countDays() != 3 {
				t.Error("a changed form begins no other day")
			}
			if err := s.store.DeleteDay(t.Context(), 2); err != nil {
				t.Fatal(err)
			}
			form.Set("name", "Fair")
			s.post(path, form)
			if s.countDays() != 2 {
				t.Error("an old form has brought a deleted day back")
			}
		})
	}
}

// The day a date's standing orders make is the same however often it is asked for.
func TestMadeTwice(t *testing.T) {
	t.Parallel()
	s := own(t)
	s.sent("/standing/new", saturdays())
	before := s.countDays()
	var to [2]string
	for i := range to {
		w := s.post("/standing/make", url.Values{"date": {"2027-01-16"}})
		to[i], _, _ = strings.Cut(w.Header().Get("Location"), "?")
		s.restart()
	}
	if to[0] == "" || to[0] != to[1] || s.countDays() != before+1 {
		t.Errorf("made as %v; %d days, before %d", to, s.countDays(), before)
	}
}

// A program that sends an order again after the other end was started anew has it
// once, and planned even if the end came before the plan; when the day has begun,
// what was taken is still answered.
func TestAPIOrderAfterRestart(t *testing.T) {
	t.Parallel()
	s := example(t)
	order := schedule.Order{Bread: "slipway", Pieces: 2, Out: "2026-11-28T12:30"}
	d, _ := s.store.DayRecord(t.Context(), 1)
	d.Orders = append(d.Orders, order)
	if err := s.store.TakeOrder(t.Context(), "1 o", d, s.now); err != nil { // and here it was stopped
		t.Fatal(err)
	}
	for range 2 {
		s.restart()
		w := s.api(ask{"POST", "/api/days/1/orders", `{"bread": "slipway", "pieces": 2, "out_by": "2026-11-28T12:30"}`, map[string]string{"Idempotency-Key": "o"}})
		p, _ := s.store.Plan(t.Context(), 1)
		d, _ := s.store.DayRecord(t.Context(), 1)
		if w.Code != http.StatusCreated || p.Version != 2 || len(p.From.Orders) != 6 || len(d.Orders) != 6 {
			t.Errorf("%d, plan %d of %d orders, the day has %d: %.300s", w.Code, p.Version, len(p.From.Orders), len(d.Orders), w.Body)
		}
	}
	p, _ := s.store.Plan(t.Context(), 1)
	s.post("/days/1/tap", url.Values{"key": {"t"}, "version": {"2"}, "task": {p.Plan.Tasks[0].ID}, "kind": {"start"}})
	for key, want := range map[string]int{"o": http.StatusCreated, "p": http.StatusConflict} {
		w := s.api(ask{"POST", "/api/days/1/orders", `{"bread": "slipway", "pieces": 2, "out_by": "2026-11-28T12:30"}`, map[string]string{"Idempotency-Key": key}})
		if w.Code != want {
			t.Errorf("%s: %d %s", key, w.Code, w.Body)
		}
	}
}
