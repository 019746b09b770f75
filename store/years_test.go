package store_test

import (
	"path/filepath"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/store"
	"ovenward/store/storetest"
)

// What the benchmarks take for three years is that, and its plans hold.
func TestYears(t *testing.T) {
	if testing.Short() {
		t.Skip("three years take some ten seconds")
	}
	dir, now := t.TempDir(), time.Date(2026, 11, 27, 15, 0, 0, 0, time.UTC)
	storetest.Years(t, dir, now)
	path := filepath.Join(dir, "ovenward.db")
	if _, faults, err := store.Examine(t.Context(), path); err != nil || len(faults) > 0 {
		t.Errorf("%q, %v", faults, err)
	}
	s := must(store.Look(t.Context(), path))(t)
	defer s.Close()
	days, orders := must(s.Days(t.Context()))(t), 0
	for _, d := range days {
		orders += len(d.Orders)
	}
	if breads := must(s.Breads(t.Context()))(t); len(breads) != 200 || len(days) != 1000 || orders < 2000 {
		t.Errorf("%d breads, %d days, %d orders", len(breads), len(days), orders)
	}
	for _, d := range []int{0, 500, 999} {
		r := must(s.Running(t.Context(), days[d].ID))(t)
		if age := now.Sub(r.Plan.Plan.Made); d == 999 && (age < 0 || age >= 24*time.Hour) {
			t.Errorf("the last day was planned %v ago", age)
		}
		if broken, err := schedule.CheckFrom(&r.Base, &r.Plan.Plan, nil, r.Plan.Plan.Made); err != nil || len(broken) > 0 {
			t.Errorf("day %d: %v, %v", d, broken, err)
		}
	}
}
