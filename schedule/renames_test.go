package schedule_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
)

// Breads and doughs follow what they name, each by its own list; two names may
// change places.
func TestRenames(t *testing.T) {
	t.Parallel()
	r := schedule.Renames{
		Tins:   map[string]string{"Large": "Small", "Small": "Large"},
		Trays:  map[string]string{"Long": "Wide"},
		Places: map[string]string{"Fridge": "Cold room", "Large": "Attic", "": "Cellar"},
	}
	method := func(place, cold string) []schedule.Stage {
		return []schedule.Stage{{Kind: schedule.Rise, Place: place, Chill: &schedule.Chill{Place: cold, Least: 60, Most: 120}}, {Kind: schedule.Bake}}
	}
	for _, row := range []struct {
		name      string
		was, want schedule.Bread
		changed   bool
	}{
		{"all of it", schedule.Bread{Tin: "Large", Tray: "Long", Method: method("Fridge", "Fridge")}, schedule.Bread{Tin: "Small", Tray: "Wide", Method: method("Cold room", "Cold room")}, true},
		{"the other of two", schedule.Bread{Tin: "Small", Method: method("", "")}, schedule.Bread{Tin: "Large", Method: method("", "")}, true},
		{"a tray named as a tin was", schedule.Bread{Tray: "Large", Method: method("Prover", "")}, schedule.Bread{Tray: "Large", Method: method("Prover", "")}, false},
		{"where it is chilled", schedule.Bread{Method: method("Prover", "Fridge")}, schedule.Bread{Method: method("Prover", "Cold room")}, true},
	} {
		changed := r.Bread(&row.was)
		if diff := cmp.Diff(row.want, row.was); diff != "" || changed != row.changed {
			t.Errorf("%s: changed %v; %s", row.name, changed, diff)
		}
	}
	base := schedule.Base{Method: method("Fridge", "")}
	if changed := r.Base(&base); !changed || base.Method[0].Place != "Cold room" {
		t.Errorf("the base is at %q", base.Method[0].Place)
	}
	if r.None() || !(schedule.Renames{}).None() {
		t.Error("what is called otherwise is not told from nothing")
	}
}
