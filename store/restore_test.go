package store_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/store"
	"ovenward/store/record"
)

var restored = time.Date(2026, 11, 28, 4, 5, 6, 0, time.UTC)

// What was lost comes back, and what was there before is kept and opens, too.
func TestRestore(t *testing.T) {
	folder := t.TempDir()
	path, copied := filepath.Join(folder, "ovenward.db"), filepath.Join(t.TempDir(), "copy.db")
	s := open(t, path)
	day := planned(t, s)
	must(0, s.Backup(t.Context(), copied))(t)
	before := sum(t, copied)
	must(0, s.DeleteDay(t.Context(), day))(t)
	must(0, s.Close())(t)

	kept := must(store.Restore(t.Context(), copied, path, restored))(t)
	if want := filepath.Join(folder, "ovenward-before-restore-20261128T040506Z.db"); kept != want {
		t.Errorf("kept as %s, want %s", kept, want)
	}
	if got := must(open(t, path).Alerts(t.Context(), day))(t); len(got) != 3 {
		t.Errorf("%d calls, want 3", len(got))
	}
	if got := must(open(t, kept).Days(t.Context()))(t); len(got) != 0 {
		t.Errorf("the database before has %d days, want none", len(got))
	}
	if sum(t, copied) != before {
		t.Error("the backup has changed")
	}
	for _, name := range []string{path, kept} {
		if info := must(os.Stat(name))(t); info.Mode().Perm() != 0o600 {
			t.Errorf("%s: mode %v", name, info.Mode())
		}
	}
}

// Taps a crash has left in the log of the database before are kept with it, and
// are not taken to be the restored one's.
func TestRestoreAfterCrash(t *testing.T) {
	folder := t.TempDir()
	s := open(t, filepath.Join(folder, "running.db"))
	copied := filepath.Join(folder, "copy.db")
	must(0, s.Backup(t.Context(), copied))(t)
	day := planned(t, s)
	path := filepath.Join(folder, "ovenward.db")
	crash(t, filepath.Join(folder, "running.db"), path)
	kept := must(store.Restore(t.Context(), copied, path, restored))(t)
	if got := must(open(t, path).Days(t.Context()))(t); len(got) != 0 {
		t.Errorf("restored with %d days, want none", len(got))
	}
	if got := must(open(t, kept).DayRecord(t.Context(), day))(t); got.ID != day {
		t.Errorf("kept: %+v", got)
	}
}

// A file copied while a program died is restored with its log.
func TestRestoreWithLog(t *testing.T) {
	folder := t.TempDir()
	s := open(t, filepath.Join(folder, "running.db"))
	day := planned(t, s)
	copied, path := filepath.Join(folder, "copy.db"), filepath.Join(folder, "ovenward.db")
	crash(t, filepath.Join(folder, "running.db"), copied)
	if kept := must(store.Restore(t.Context(), copied, path, restored))(t); kept != "" {
		t.Errorf("kept %s of nothing", kept)
	}
	must(open(t, path).DayRecord(t.Context(), day))(t)
}

// What is no sound backup is refused by name; the database stays as it is and
// nothing is left beside it.
func TestRestoreRefuses(t *testing.T) {
	sound := func(t *testing.T, path string) {
		s := open(t, filepath.Join(t.TempDir(), "made.db"))
		planned(t, s)
		must(0, s.Backup(t.Context(), path))(t)
	}
	for _, tt := range []struct {
		name string
		make func(t *testing.T, path string)
		want error
		says string
	}{
		{"newer", func(t *testing.T, path string) { sound(t, path); sqlite(t, path, "PRAGMA user_version = 99") }, record.ErrNewer, "format 99"},
		{"another program's", func(t *testing.T, path string) { sqlite(t, path, "CREATE TABLE contact (name TEXT)") }, record.ErrForeign, "another program"},
		{"text", func(t *testing.T, path string) {
			must(0, os.WriteFile(path, []byte(strings.Repeat("flour, water, salt\n", 20)), 0o600))(t)
		}, record.ErrForeign, "not a database"},
		{"empty", func(t *testing.T, path string) { must(0, os.WriteFile(path, nil, 0o600))(t) }, record.ErrForeign, "is empty"},
		{"without tables", func(t *testing.T, path string) { sqlite(t, path, "PRAGMA journal_mode = WAL") }, record.ErrForeign, "holds no days"},
		{"folder", func(t *testing.T, path string) { must(0, os.Mkdir(path, 0o700))(t) }, record.ErrForeign, "is not a file"},
		{"pipe", func(t *testing.T, path string) { must(0, syscall.Mkfifo(path, 0o600))(t) }, record.ErrForeign, "is not a file"},
		{"damaged page", func(t *testing.T, path string) {
			sound(t, path)
			f := must(os.OpenFile(path, os.O_RDWR, 0))(t)
			must(f.WriteAt([]byte(strings.Repeat("flour", 4000)), 8192))(t)
			must(0, f.Close())(t)
		}, record.ErrInvalid, "is not sound"},
		{"cut short", func(t *testing.T, path string) { sound(t, path); must(0, os.Truncate(path, 12288))(t) }, record.ErrInvalid, "is not sound"},
		{"lost reference", func(t *testing.T, path string) {
			sound(t, path)
			sqlite(t, path, "PRAGMA foreign_keys = OFF; DELETE FROM day")
		}, record.ErrInvalid, "that is not there"},
		{"a trigger of its own", func(t *testing.T, path string) {
			sound(t, path)
			sqlite(t, path, "CREATE TRIGGER sly AFTER INSERT ON tap BEGIN DELETE FROM day; END")
		}, record.ErrInvalid, `the trigger "sly" is not as ovenward makes it`},
		{"a table missing", func(t *testing.T, path string) { sound(t, path); sqlite(t, path, "DROP TABLE alert_log") }, record.ErrInvalid, `the table "alert_log" is missing`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			from, path := filepath.Join(t.TempDir(), "copy.db"), filepath.Join(t.TempDir(), "ovenward.db")
			s := open(t, path)
			planned(t, s)
			must(0, s.Close())(t)
			tt.make(t, from)
			before, beside := sum(t, path), entries(t, filepath.Dir(path))
			_, err := store.Restore(t.Context(), from, path, restored)
			if e, ok := errors.AsType[*record.Error](err); !ok || e.Kind != tt.want || !strings.Contains(e.Message, tt.says) || !strings.Contains(e.Message, from) {
				t.Errorf("%v, want %v of %s with %q", err, tt.want, from, tt.says)
			}
			if sum(t, path) != before {
				t.Error("the database has changed")
			}
			if after := entries(t, filepath.Dir(path)); !cmp.Equal(beside, after) {
				t.Errorf("beside it there was %v, now %v", beside, after)
			}
		})
	}
}

func TestRestoreWhileInUse(t *testing.T) {
	folder := t.TempDir()
	path, copied := filepath.Join(folder, "ovenward.db"), filepath.Join(folder, "copy.db")
	s := open(t, path)
	day := planned(t, s)
	must(0, store.BackupOf(t.Context(), path, copied))(t) // a backup may be made
	if _, err := store.Restore(t.Context(), copied, path, restored); !errors.Is(err, record.ErrTaken) {
		t.Errorf("%v, want ErrTaken", err)
	}
	must(s.DayRecord(t.Context(), day))(t)
}

// A link in the database's place is kept as what it is; what it points at is not
// written.
func TestRestoreOverLink(t *testing.T) {
	folder, copied := t.TempDir(), filepath.Join(t.TempDir(), "copy.db")
	must(0, open(t, filepath.Join(t.TempDir(), "made.db")).Backup(t.Context(), copied))(t)
	target, path := filepath.Join(t.TempDir(), "diary.txt"), filepath.Join(folder, "ovenward.db")
	must(0, os.WriteFile(target, []byte("dear diary"), 0o644))(t)
	must(0, os.Symlink(target, path))(t)
	must(store.Restore(t.Context(), copied, path, restored))(t)
	if got := string(must(os.ReadFile(target))(t)); got != "dear diary" {
		t.Errorf("the diary says %q", got)
	}
	open(t, path)
}

// Nor does a backup follow links laid in its way.
func TestBackupOverLink(t *testing.T) {
	folder := t.TempDir()
	s := open(t, filepath.Join(folder, "ovenward.db"))
	target := filepath.Join(t.TempDir(), "diary.txt")
	must(0, os.WriteFile(target, []byte("dear diary"), 0o644))(t)
	for _, name := range []string{"copy.db", "copy.db.part"} {
		must(0, os.Symlink(target, filepath.Join(folder, name)))(t)
	}
	if err := s.Backup(t.Context(), filepath.Join(folder, "copy.db")); !errors.Is(err, record.ErrInUse) {
		t.Errorf("over a link: %v, want ErrInUse", err)
	}
	must(0, os.Remove(filepath.Join(folder, "copy.db")))(t)
	must(0, s.Backup(t.Context(), filepath.Join(folder, "copy.db")))(t)
	if got := string(must(os.ReadFile(target))(t)); got != "dear diary" {
		t.Errorf("the diary says %q", got)
	}
}

// small is a file system of some bytes, mounted for the test; only root may.
func small(t *testing.T, size int) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("ovenward-test", dir, "tmpfs", 0, fmt.Sprintf("size=%d,mode=700", size)); err != nil {
		t.Skipf("a small file system cannot be mounted (%v); run as root to test a full disk", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	return dir
}

// On a full disk a backup or a restore fails with what to do, and leaves what
// was there, with nothing half made.
func TestDiskFull(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "ovenward.db"))
	planned(t, s)
	copied := filepath.Join(t.TempDir(), "copy.db")
	must(0, s.Backup(t.Context(), copied))(t)
	dir := small(t, 64<<10)
	for name, do := range map[string]func() error{
		"backup": func() error { return s.Backup(t.Context(), filepath.Join(dir, "b.db")) },
		"daily":  func() error { _, err := s.BackupDaily(t.Context(), dir, restored); return err },
		"restore": func() error {
			_, err := store.Restore(t.Context(), copied, filepath.Join(dir, "ovenward.db"), restored)
			return err
		},
	} {
		err := do()
		if e, ok := errors.AsType[*record.Error](err); !ok || e.Kind != record.ErrStorage || !strings.Contains(e.Message, "the disk is full") {
			t.Errorf("%s: %v, want that the disk is full", name, err)
		}
		os.Remove(filepath.Join(dir, "ovenward.db.lock"))
		if left := entries(t, dir); len(left) != 0 {
			t.Errorf("%s leaves %v", name, left)
		}
	}
}

func TestReadOnlyFolder(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "ovenward.db"))
	copied := filepath.Join(t.TempDir(), "copy.db")
	must(0, s.Backup(t.Context(), copied))(t)
	dir := t.TempDir()
	if os.Geteuid() != 0 {
		must(0, os.Chmod(dir, 0o500))(t)
	} else { // to whom modes mean nothing
		dir = small(t, 1<<20)
		must(0, syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""))(t)
	}
	_, restore := store.Restore(t.Context(), copied, filepath.Join(dir, "ovenward.db"), restored)
	_, daily := s.BackupDaily(t.Context(), dir, restored)
	for name, err := range map[string]error{"backup": s.Backup(t.Context(), filepath.Join(dir, "b.db")), "daily": daily, "restore": restore} {
		if e, ok := errors.AsType[*record.Error](err); !ok || e.Kind != record.ErrStorage || !strings.Contains(e.Message, "check its rights") {
			t.Errorf("%s: %v, want what to check", name, err)
		}
	}
}

// Looking at a database neither needs nor disturbs the program that uses it, and
// a sound one has no faults.
func TestLook(t *testing.T) {
	path := filepath.Join(t.TempDir(), "ovenward.db")
	s := open(t, path)
	day := planned(t, s)
	look := must(store.Look(t.Context(), path))(t)
	must(look.Running(t.Context(), day))(t)
	if err := look.DeleteDay(t.Context(), day); err == nil {
		t.Error("it can be written")
	}
	if at := must(look.Newest(t.Context()))(t); at.Before(clock(t, "05:00")) { // when the plan was saved
		t.Errorf("newest at %v", at)
	}
	must(0, look.Close())(t)
	must(0, s.Close())(t)
	if _, faults, err := store.Examine(t.Context(), path); err != nil || len(faults) > 0 {
		t.Errorf("%v, %v", faults, err)
	}
	if _, err := store.Look(context.Background(), filepath.Join(t.TempDir(), "none.db")); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("%v, want ErrNotFound", err)
	}
}
