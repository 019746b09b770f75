package web_test

import (
	"net/url"
	"strings"
	"testing"
)

// The page of ways sets whole plans side by side with the chance of each; one
// tap makes another of them the day's plan.
func TestWays(t *testing.T) {
	t.Parallel()
	s := example(t)
	p := s.page("/days/1/ways")
	ways := p.Class("way")
	if len(ways) < 2 {
		t.Fatalf("%d ways, want at least two that differ", len(ways))
	}
	for _, w := range ways {
		text := strings.ReplaceAll(p.Text(w), "\u00a0", " ")
		for _, want := range []string{" of 100 such days", "hands are busy for "} {
			if !strings.Contains(text, want) {
				t.Errorf("%q is missing in %q", want, text)
			}
		}
	}
	said := s.sent("/days/1/ways", url.Values{"kind": {"roomier"}})
	if text := said.Text(nil); !strings.Contains(text, " → ") {
		t.Errorf("nothing moved: %q", text)
	}
	if d, _ := s.store.DayRecord(t.Context(), s.id); d.Version != 2 {
		t.Errorf("version %d, want the taken plan as 2", d.Version)
	}
}

func TestWayNotOffered(t *testing.T) {
	t.Parallel()
	s := example(t)
	res := s.post("/days/1/ways", url.Values{"kind": {"<b>none</b>"}})
	if res.Code != 409 || !strings.Contains(res.Body.String(), "not offered any more") || strings.Contains(res.Body.String(), "<b>none") {
		t.Errorf("answered %d %s", res.Code, res.Body)
	}
}

// What is late is promised later by one tap, and then kept.
func TestPromiseLater(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/days/1/plan").Form("/days/1/plan")
	v.Set("orders[3].at", "2026-11-27T17:00") // the poolish alone takes a night
	s.sent("/days/1/plan", v)
	text := s.sent("/days/1/later", url.Values{}).Text(nil)
	if !strings.Contains(text, "Every promise is kept.") {
		t.Errorf("it says %q", text)
	}
	if d, _ := s.store.DayRecord(t.Context(), s.id); d.Orders[3].Out <= "2026-11-27T17:00" {
		t.Errorf("still promised for %s", d.Orders[3].Out)
	}
}
