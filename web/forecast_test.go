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
		if len(p.Class(class)) != 2 { // in the chart and in its key
			t.Errorf("%d of class %s, want its line and its key", len(p.Class(class)), class)
		}
	}
	text := strings.ReplaceAll(p.Text(nil), "\u00a0", " ")
	for _, want := range []string{"Bulk rise poolish", " to ", "Too far after"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing", want)
		}
	}
	if w := s.get("/breads/none/forecast"); w.Code != 404 {
		t.Errorf("an unknown bread answered %d", w.Code)
	}
}
