// Package storetest opens stores for tests.
package storetest

import (
	"path/filepath"
	"testing"
	"time"

	"ovenward/store"
)

// Open gives an empty, migrated store in a folder of the test's own, closed with
// it.
func Open(tb testing.TB) *store.Store {
	tb.Helper()
	s, err := store.Open(tb.Context(), filepath.Join(tb.TempDir(), "ovenward.db"), time.Now)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := s.Close(); err != nil {
			tb.Error(err)
		}
	})
	return s
}
