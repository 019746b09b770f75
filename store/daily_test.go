package store // the rule by itself, over years

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func date(t *testing.T, s string) time.Time {
	t.Helper()
	d, err := time.Parse(time.DateOnly, s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Saturday 28 November 2026 is in week 48 (ISO 8601). A copy a day from the
// first of October on leaves the last seven and the Sundays, or what is left of
// the week, before them.
func TestBackupDailyKeeps(t *testing.T) {
	db, folder := writer(t)
	s, copies := &Store{w: db, r: db}, filepath.Join(folder, "backup")
	for day := date(t, "2026-10-01"); !day.After(date(t, "2026-11-28")); day = day.AddDate(0, 0, 1) {
		for _, want := range []bool{true, false} { // once a day
			made, err := s.BackupDaily(t.Context(), copies, day.Add(5*time.Hour))
			if err != nil || (made != "") != want {
				t.Fatalf("%v: %q, %v", day, made, err)
			}
		}
	}
	if err := os.WriteFile(filepath.Join(copies, "mine.db"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := prune(copies, date(t, "2026-11-28")); err != nil {
		t.Fatal(err)
	}
	var got []string
	entries, _ := os.ReadDir(copies)
	for _, e := range entries {
		got = append(got, e.Name())
		if info, err := e.Info(); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("%s: %v, %v", e.Name(), info.Mode(), err)
		}
	}
	want := []string{"mine.db",
		"ovenward-2026-11-01.db", "ovenward-2026-11-08.db", "ovenward-2026-11-15.db", "ovenward-2026-11-21.db",
		"ovenward-2026-11-22.db", "ovenward-2026-11-23.db", "ovenward-2026-11-24.db", "ovenward-2026-11-25.db",
		"ovenward-2026-11-26.db", "ovenward-2026-11-27.db", "ovenward-2026-11-28.db"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// However often the program runs, at most eleven copies are kept, the newest
// seven among them; and copies of days to come go untouched.
func TestSpare(t *testing.T) {
	for _, every := range []int{1, 2, 5, 7, 30} {
		var days []time.Time // newest first
		for day := date(t, "2025-01-01"); day.Year() < 2027; day = day.AddDate(0, 0, every) {
			days = append([]time.Time{day}, days...)
			gone := map[time.Time]bool{}
			for _, d := range spare(days) {
				gone[d] = true
			}
			var kept []time.Time
			for i, d := range days {
				if gone[d] && i < daysKept {
					t.Fatalf("every %d days: %v is spared on %v", every, d, day)
				}
				if !gone[d] {
					kept = append(kept, d)
				}
			}
			if days = kept; len(days) > daysKept+weeksKept {
				t.Fatalf("every %d days: %d kept on %v", every, len(days), day)
			}
		}
		if len(days) != daysKept+weeksKept {
			t.Errorf("every %d days: %d kept in the end", every, len(days))
		}
	}
}

func TestPruneLeavesTheFuture(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"ovenward-2099-01-01.db", "ovenward-2026-02-30.db"} { // there is no such day in February
		if err := os.WriteFile(filepath.Join(folder, name), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := prune(folder, date(t, "2026-11-28")); err != nil {
		t.Fatal(err)
	}
	if days, err := Dailies(folder); err != nil || !cmp.Equal(days, []time.Time{date(t, "2099-01-01")}) {
		t.Errorf("%v, %v", days, err)
	}
	if _, err := os.Stat(filepath.Join(folder, "ovenward-2026-02-30.db")); err != nil {
		t.Error(err)
	}
}
