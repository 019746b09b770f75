package web_test

import (
	"strings"
	"testing"

	"ovenward/schedule"
	"ovenward/web/view"
)

// A kitchen in which a day cannot be kept is saved with a short search for that day:
// its plan says what was not looked for, and the whole search is a button away.
func TestKitchenSavedBeforeADayThatCannotBeKept(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/kitchen").Form("/kitchen")
	v.Set("usual_trays", "1")
	if said := s.sent("/kitchen", v).Text(nil); !strings.Contains(said, "late in all, after a short search.") {
		t.Errorf("saving does not say how the day was planned: %s", said)
	}
	outcome := func() schedule.Outcome {
		p, err := s.store.Plan(t.Context(), s.id)
		if err != nil {
			t.Fatal(err)
		}
		return p.Plan.Outcome
	}
	short := outcome()
	if !short.Brief || short.Binding != nil || len(short.WaysOut) > 0 {
		t.Errorf("after saving the kitchen: %+v", short)
	}
	page := s.page(s.at + "/plan")
	if !strings.Contains(page.Text(nil), view.Unsought) {
		t.Error("the plan page does not say what was not looked for")
	}
	if !strings.Contains(s.page(s.at).Text(nil), view.Unsought) {
		t.Error("the day does not say what was not looked for")
	}
	s.sent(s.at+"/plan", page.Form(s.at+"/plan"))
	if whole := outcome(); whole.Brief || whole.Binding == nil || len(whole.WaysOut) == 0 || whole.LateTotal > short.LateTotal {
		t.Errorf("after the whole search: %+v", whole)
	}
}
