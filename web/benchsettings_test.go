package web_test

import (
	"net/url"
	"strings"
	"testing"
)

// What is set shows on the sheet and the labels; what cannot be is refused and
// stays as typed.
func TestBenchSettings(t *testing.T) {
	s := example(t)
	form := s.page("/settings").Form("/settings")
	form.Set("warm-mixer", "2,5")
	form.Set("rules", "us")
	s.sent("/settings", form)
	if got := s.page("/settings").Form("/settings"); got.Get("warm-mixer") != "2,5" || got.Get("rules") != "us" {
		t.Errorf("kept %v", got)
	}
	if got := s.page(s.at + "/sheet").Text(nil); !strings.Contains(got, "by heat balance") || !strings.Contains(got, "rule of thumb") {
		t.Error("the sheet does not say how warm the water should be")
	}
	if got := s.page(s.at + "/labels").Text(nil); !strings.Contains(got, "United States") || !strings.Contains(got, "Slipway") || !strings.Contains(got, "Contains: wheat") {
		t.Errorf("labels: %s", got)
	}
	for name, bad := range map[string]url.Values{
		"cooling":  {"warm-hand": {"-1"}},
		"cooking":  {"warm-mixer": {"80"}},
		"no digit": {"warm-hand": {"<script>"}},
		"huge":     {"warm-hand": {"1e999"}},
		"law":      {"rules": {"<script>"}},
	} {
		page := s.refused("/settings", bad)
		for k := range bad {
			if !links(page, k) || page.Form("/settings").Get(k) != bad.Get(k) {
				t.Errorf("%s: not said at %s, or what was typed is lost", name, k)
			}
		}
		if len(page.All("script")) != 1 {
			t.Errorf("%s: markup", name)
		}
	}
	if got := s.page("/settings").Form("/settings"); got.Get("warm-mixer") != "2,5" {
		t.Errorf("something bad was kept: %v", got)
	}
}
