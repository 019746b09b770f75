package store_test

import (
	"context"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

// Breads, base doughs and readings follow what the kitchen calls otherwise, with
// the kitchen or not at all, also where two change names.
func TestRenameKitchen(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	cold := func(place string) []schedule.Stage {
		return []schedule.Stage{{Kind: schedule.Rise, Place: "Shelf", Chill: &schedule.Chill{Place: place, Least: 60, Most: 90}}}
	}
	loaf := schedule.Bread{ID: "loaf", Name: "Loaf", Base: "dough", Tin: "Large", Tray: "Long", Method: cold("Fridge")}
	bun := schedule.Bread{ID: "bun", Name: "Bun", Tin: "Small", Method: cold("Cellar")}
	base := schedule.Base{ID: "dough", Name: "Dough", Method: cold("Fridge")}
	at := time.Date(2026, 11, 27, 6, 0, 0, 0, time.UTC)
	for _, err := range []error{s.SaveBase(ctx, base), s.SaveBread(ctx, loaf), s.SaveBread(ctx, bun),
		s.Read(ctx, record.Reading{ID: "1", Place: "Fridge", At: at, Minute: 360, Celsius: 4}),
		s.Read(ctx, record.Reading{ID: "2", Place: "Shelf", At: at, Minute: 360, Celsius: 20})} {
		if err != nil {
			t.Fatal(err)
		}
	}
	want := record.Named{"tins": {"Large": 1, "Small": 1}, "trays": {"Long": 1}, "places": {"Shelf": 3, "Fridge": 2, "Cellar": 1}}
	if diff := cmp.Diff(want, must(s.Named(ctx))(t)); diff != "" {
		t.Error(diff)
	}

	names := schedule.Renames{Tins: map[string]string{"Large": "Small", "Small": "Large"}, Places: map[string]string{"Fridge": "Cold “room”"}}
	k := schedule.Kitchen{Tub: 5000}
	stopped, stop := context.WithCancel(ctx)
	stop()
	if s.RenameKitchen(stopped, k, names) == nil {
		t.Fatal("kept although it was stopped")
	}
	if diff := cmp.Diff(loaf, must(s.Bread(ctx, "loaf"))(t)); diff != "" {
		t.Error(diff)
	}
	must(0, s.RenameKitchen(ctx, k, names))(t)

	loaf.Tin, loaf.Method[0].Chill.Place = "Small", "Cold “room”"
	bun.Tin, base.Method[0].Chill.Place = "Large", "Cold “room”"
	for _, diff := range []string{
		cmp.Diff(loaf, must(s.Bread(ctx, "loaf"))(t)), cmp.Diff(bun, must(s.Bread(ctx, "bun"))(t)), cmp.Diff(base, must(s.Base(ctx, "dough"))(t)),
		cmp.Diff(k, must(s.Kitchen(ctx))(t)),
	} {
		if diff != "" {
			t.Error(diff)
		}
	}
	var places []string
	for _, r := range must(s.Readings(ctx))(t) {
		places = append(places, r.Place)
	}
	if diff := cmp.Diff([]string{"Cold “room”", "Shelf"}, places); diff != "" {
		t.Error(diff)
	}
}
