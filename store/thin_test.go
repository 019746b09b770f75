package store_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Thinning touches only plans that are neither new nor newest, and of those only
// the tasks: what is shown of the day, what was said and rung, and what they
// promised is as before, and an export still goes in again.
func TestThinPlans(t *testing.T) {
	s := lived(t) // planned on 28 November 2026, twice, and repaired
	day := must(s.Days(t.Context()))(t)[1].ID
	running, all := must(s.Running(t.Context(), day))(t), export(t, s)
	at := clock(t, "12:00")
	if n := must(s.ThinPlans(t.Context(), at.AddDate(0, 0, 30)))(t); n != 0 {
		t.Errorf("after 30 days %d were thinned", n)
	}
	if n := must(s.ThinPlans(t.Context(), at.AddDate(0, 0, 31)))(t); n != 2 {
		t.Errorf("after 31 days %d were thinned, want 2", n)
	}
	if n := must(s.ThinPlans(t.Context(), at.AddDate(0, 0, 31)))(t); n != 0 {
		t.Errorf("thinned again: %d", n)
	}
	if diff := cmp.Diff(running, must(s.Running(t.Context(), day))(t)); diff != "" {
		t.Errorf("the day (-want +got):\n%s", diff)
	}
	thin := export(t, s)
	for i, p := range thin.Days[0].Plans[:2] {
		if len(p.Plan.Tasks) > 0 || len(p.Plan.Batches) > 0 || !cmp.Equal(p.Plan.Outcome, all.Days[0].Plans[i].Plan.Outcome) {
			t.Errorf("plan %d: %+v", p.Version, p.Plan)
		}
		if base := p.Version == 2; (len(p.From.Orders) > 0) != base {
			t.Errorf("the day plan %d was made from has %d orders; it is the repair's base: %v", p.Version, len(p.From.Orders), base)
		}
		thin.Days[0].Plans[i] = all.Days[0].Plans[i]
	}
	sameBundle(t, "everything else", all, thin)
	again := must(s.Import(t.Context(), arriving(t, export(t, s)), true, at))(t)
	if again == "" {
		t.Error("no backup before the import")
	}
	if got := must(s.Running(t.Context(), day))(t); !cmp.Equal(got.Log, running.Log) {
		t.Errorf("taken in again: %+v", got)
	}
}
