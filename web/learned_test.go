package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"ovenward/schedule"
)

// A dough measured off the mixer stands on the page with what was wanted, is
// allowed for by the day's next planning, and is forgotten on request.
func TestLearnedMixing(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	saved, err := s.store.Plan(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	var mix schedule.Task
	for _, x := range saved.Plan.Tasks {
		if x.Kind == schedule.Mix && x.Part == "" && x.Name == "Potato loaf" {
			mix = x
			break
		}
	}
	s.now = mix.End
	if code, _, p := s.say(fmt.Sprintf("temperature %v", float64(mix.Celsius)+2), "w", url.Values{"task": {mix.ID}}); code != http.StatusSeeOther {
		t.Fatalf("%d %s", code, p.Text(nil))
	}
	all, err := s.store.Observations(t.Context())
	if err != nil || len(all) != 1 || all[0].Observed != float64(mix.Celsius)+2 || all[0].Predicted != float64(mix.Celsius) {
		t.Fatalf("%+v, %v", all, err)
	}
	got := strings.ReplaceAll(s.page("/learned").Text(nil), "\u00a0", " ")
	for _, want := range []string{"2 °C warmer", mix.Celsius.String(), "nothing", "1 measurement", "now it does", "would bring it to 27."} {
		if !strings.Contains(got, strings.ReplaceAll(want, "\u00a0", " ")) {
			t.Errorf("it does not say %q: %s", want, got)
		}
	}
	if strings.Contains(got, "faster here") || strings.Contains(got, "The model says") {
		t.Errorf("it speaks of rises nobody saw: %s", got)
	}
	day, err := s.store.Day(t.Context(), s.id, s.now)
	if err != nil || day.Validate().Err() != nil {
		t.Fatal(err, day.Validate())
	}
	l, ok := day.LearnedOf(all[0].Dough)
	if !ok || l.Friction < 0.8 || l.Friction > 2 {
		t.Errorf("believed %+v", l)
	}
	s.sent("/learned", url.Values{"dough": {all[0].Dough}})
	if day, _ = s.store.Day(t.Context(), s.id, s.now); len(day.Learned) != 0 {
		t.Errorf("forgotten, and still %v", day.Learned)
	}
}
