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
