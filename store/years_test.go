package store_test

import (
	"bytes"
	"context"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/store"
	"ovenward/store/bundle"
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
	goRound(t, s, now)
}

// goRound wants everything to go out within a few megabytes of memory, into an
// empty database, and out of that as the same bytes.
func goRound(t *testing.T, s *store.Store, now time.Time) {
	t.Helper()
	var first, again watched
	must(0, s.Export(t.Context(), &first, now))(t)
	t.Logf("an export of %d MiB of at most %d, with at most %d kB of memory beside it", first.Len()>>20, bundle.Largest>>20, first.most>>10)
	if first.Len() > bundle.Largest/2 {
		t.Errorf("three years take %d bytes, more than half of what is taken in", first.Len())
	}
	if first.most > 16<<20 {
		t.Errorf("writing them out takes %d bytes of memory", first.most)
	}
	other := storetest.Open(t)
	must(other.Import(context.WithoutCancel(t.Context()), must(bundle.Decode("", first.Bytes()))(t), false, now))(t)
	must(0, other.Export(t.Context(), &again, now))(t)
	if !bytes.Equal(first.Bytes(), again.Bytes()) {
		t.Error("what was taken in goes out as something else")
	}
}

// watched is a file in memory that notes how much more memory is in use while it
// is written.
type watched struct {
	bytes.Buffer
	before, most, looked int
}

func (w *watched) Write(p []byte) (int, error) {
	if w.Cap() == 0 {
		w.Grow(bundle.Largest / 2)
		w.before = inUse()
	}
	if w.Len() >= w.looked {
		w.looked += 8 << 20
		w.most = max(w.most, inUse()-w.before)
	}
	return w.Buffer.Write(p)
}

// inUse is how many bytes are held.
func inUse() int {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int(m.HeapAlloc)
}
