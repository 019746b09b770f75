package web_test

import (
	"strings"
	"testing"
)

// The page of a bread's forecast gives every rise with its range, and the chart
// has a line each for volume, mean and core temperature.
func TestForecastPage(t *testing.T) {
	t.Parallel()
	s := example(t)
	p := s.page("/breads/slipway/forecast")
	for _, class := range []string{"volume", "warmth", "core"} {
		if len(p.Class(class)) != 3 { // in two charts, one of which is shown, and in their key
			t.Errorf("%d of class %s, want its lines and its key", len(p.Class(class)), class)
		}
	}
	text := strings.ReplaceAll(p.Text(nil), "\u00a0", " ")
	for _, want := range []string{"Ripen the poolish", " to ", "Too far after"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing", want)
		}
	}
	for bread, wants := range map[string][]string{
		"potato-loaf": {"A night in the cold", "Put into the Fridge (4 °C) once shaped, it would have gone too far after 1 h", "a piece of 520 g takes", "down to 8 °C", "half of the yeast (too far after 4 h"},
		"pan-loaf":    {"it lasts the night"},
	} {
		got := strings.ReplaceAll(s.page("/breads/"+bread+"/forecast").Text(nil), "\u00a0", " ")
		for _, want := range wants {
			if !strings.Contains(got, want) {
				t.Errorf("%s: %q is missing in %s", bread, want, got)
			}
		}
		if bread == "pan-loaf" && strings.Contains(got, "What helps") {
			t.Errorf("%s: help where none is needed", bread)
		}
	}
	if w := s.get("/breads/none/forecast"); w.Code != 404 {
		t.Errorf("an unknown bread answered %d", w.Code)
	}
}
