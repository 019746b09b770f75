package store_test

import (
	"bytes"
	"context"
	"io"
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
	most := takeIn(t, other, first.Bytes(), now)
	t.Logf("it comes in with at most %d kB of memory beside it", most>>10)
	if most > 16<<20 {
		t.Errorf("taking them in takes %d bytes of memory", most)
	}
	must(0, other.Export(t.Context(), &again, now))(t)
	if !bytes.Equal(first.Bytes(), again.Bytes()) {
		t.Error("what was taken in goes out as something else")
	}
}

// takeIn imports a file and gives the most memory that was in use meanwhile, but
// for the file.
func takeIn(tb testing.TB, s *store.Store, file []byte, now time.Time) (most int) {
	tb.Helper()
	before := inUse()
	open := func() (io.ReadCloser, error) {
		return io.NopCloser(&looking{bytes.NewReader(file), 0, func() { most = max(most, inUse()-before) }}), nil
	}
	a := must(bundle.Read("", open))(tb)
	must(s.Import(context.WithoutCancel(tb.Context()), a, false, now))(tb)
	return most
}

// BenchmarkImport takes in three years.
func BenchmarkImport(b *testing.B) {
	dir, now := b.TempDir(), time.Date(2026, 11, 27, 15, 0, 0, 0, time.UTC)
	storetest.Years(b, dir, now)
	s := must(store.Look(b.Context(), filepath.Join(dir, "ovenward.db")))(b)
	defer s.Close()
	var file bytes.Buffer
	must(0, s.Export(b.Context(), &file, now))(b)
	b.SetBytes(int64(file.Len()))
	b.ReportAllocs()
	most := 0
	for b.Loop() {
		most = max(most, takeIn(b, storetest.Open(b), file.Bytes(), now))
	}
	b.ReportMetric(float64(most)/(1<<20), "live-MiB")
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

// looking is a file that has somebody look now and then while it is read.
type looking struct {
	*bytes.Reader
	next int
	look func()
}

func (l *looking) Read(p []byte) (int, error) {
	if done := int(l.Size()) - l.Len(); done >= l.next {
		l.next = done + 8<<20
		l.look()
	}
	return l.Reader.Read(p)
}

// inUse is how many bytes are held.
func inUse() int {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int(m.HeapAlloc)
}
