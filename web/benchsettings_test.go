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
	if got := plainly(s.page(s.at + "/bench")); !strings.Contains(got, "instant yeast 0.03 % 0.79 g") || strings.Contains(got, "exactly") {
		t.Errorf("before anything is said of the scale: %s", got)
	}
	form.Set("scale-step", "5")
	s.sent("/settings", form)
	for _, path := range []string{"/bench", "/sheet"} { // 792 g, 0.79 g and 1531 g on a scale of five grams
		got := plainly(s.page(s.at + path))
		for _, want := range []string{"bread flour 30 % 790 g", "⚠ exactly 0.79 g 0.03 % 5 g", "bread flour 58 % 1.53 kg"} {
			if !strings.Contains(got, want) {
				t.Errorf("%s: %q is not in %s", path, want, got)
			}
		}
	}
	if got := s.page("/breads/slipway/scale").Form("/breads/slipway/scale"); got.Get("step") != "5" {
		t.Errorf("weighing out begins with a scale of %q", got.Get("step"))
	}
	for name, bad := range map[string]url.Values{
		"no scale": {"scale-step": {"0"}},
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
