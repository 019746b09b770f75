package store_test

import (
	"crypto/sha256"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store"
	"ovenward/store/record"
)

func open(t *testing.T, path string) *store.Store {
	t.Helper()
	s := must(store.Open(t.Context(), path, time.Now))(t)
	t.Cleanup(func() { s.Close() })
	return s
}

func TestOpenIsPrivateAndLasts(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "my data", "50% #1?")
	path := filepath.Join(folder, "ovenward.db")
	s := open(t, path)
	must(0, s.SaveBread(t.Context(), sampleBread("loaf", "")))(t)
	for name, want := range map[string]os.FileMode{folder: 0o700, path: 0o600, path + "-wal": 0o600, path + "-shm": 0o600, path + ".lock": 0o600} {
		if info, err := os.Stat(name); err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: %v, %v; want mode %v", name, info, err, want)
		}
	}
	must(0, s.Close())(t)
	if names := entries(t, folder); !cmp.Equal(names, []string{"ovenward.db", "ovenward.db.lock"}) {
		t.Errorf("closing leaves %v", names)
	}
	if got := must(open(t, path).Breads(t.Context()))(t); !cmp.Equal(got, []schedule.Bread{sampleBread("loaf", "")}) {
		t.Errorf("opened again: %+v", got)
	}
}

func TestOpenNarrowsAnOpenFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "ovenward.db")
	must(0, open(t, path).Close())(t)
	must(0, os.Chmod(path, 0o644))(t)
	open(t, path)
	if info := must(os.Stat(path))(t); info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, want 0600", info.Mode())
	}
}

func TestOpenTwice(t *testing.T) {
	path := filepath.Join(t.TempDir(), "ovenward.db")
	s := open(t, path)
	_, err := store.Open(t.Context(), path, time.Now)
	e, ok := errors.AsType[*record.Error](err)
	if !ok || e.Kind != record.ErrTaken || !strings.Contains(e.Message, fmt.Sprintf("process %d", os.Getpid())) {
		t.Errorf("second: %v", err)
	}
	must(s.Breads(t.Context()))(t) // the first is unharmed
	must(0, s.Close())(t)
	open(t, path)
}

// What is not ours, or newer, is refused with its reason and stays as it is,
// byte for byte, with nothing left beside it.
func TestOpenRefusesUntouched(t *testing.T) {
	for _, tt := range []struct {
		name string
		make func(t *testing.T, path string)
		want error
		says string
	}{
		{"newer", func(t *testing.T, path string) {
			must(0, open(t, path).Close())(t)
			sqlite(t, path, "PRAGMA journal_mode = WAL; CREATE TABLE future (x); PRAGMA user_version = 99")
		}, record.ErrNewer, "format 99"},
		{"newer in its log only, after a crash", func(t *testing.T, path string) {
			other := filepath.Join(t.TempDir(), "running.db")
			must(0, open(t, other).Close())(t)
			db := must(sql.Open("sqlite3", "file:"+other+"?_journal_mode=WAL"))(t)
			defer db.Close()
			must(db.Exec("PRAGMA user_version = 98"))(t)
			crash(t, other, path)
		}, record.ErrNewer, "format 98"},
		{"another program's", func(t *testing.T, path string) {
			sqlite(t, path, "CREATE TABLE contact (name TEXT)")
		}, record.ErrForeign, "another program"},
		{"text", func(t *testing.T, path string) {
			must(0, os.WriteFile(path, []byte(strings.Repeat("flour, water, salt\n", 20)), 0o600))(t)
		}, record.ErrForeign, "not a database"},
		{"short text", func(t *testing.T, path string) {
			must(0, os.WriteFile(path, []byte("SQLite"), 0o600))(t)
		}, record.ErrForeign, "not a database"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "ovenward.db")
			tt.make(t, path)
			os.Remove(path + ".lock")
			before, beside := sum(t, path), entries(t, filepath.Dir(path))
			_, err := store.Open(t.Context(), path, time.Now)
			if e, ok := errors.AsType[*record.Error](err); !ok || e.Kind != tt.want || !strings.Contains(e.Message, tt.says) {
				t.Errorf("%v, want %v with %q", err, tt.want, tt.says)
			}
			if sum(t, path) != before {
				t.Error("the file has changed")
			}
			os.Remove(path + ".lock")
			if after := entries(t, filepath.Dir(path)); !strings.Contains(tt.name, "crash") && !cmp.Equal(beside, after) {
				t.Errorf("beside it there was %v, now %v", beside, after)
			}
		})
	}
}

// Whatever the program was doing when it died, what it had answered is there.
// Copying the files while they are in use is what a crash leaves behind.
func TestAnsweredIsOnDisk(t *testing.T) {
	folder := t.TempDir()
	s := open(t, filepath.Join(folder, "running.db"))
	day := planned(t, s)
	for i := range 5 {
		tap := record.Tap{ID: fmt.Sprint(i), Day: day, Version: 1, Task: "A.1", Kind: record.Ack, At: clock(t, "06:00"), Recorded: clock(t, "06:00")}
		must(s.Tap(t.Context(), tap))(t)
		after := filepath.Join(folder, fmt.Sprintf("crashed-%d.db", i))
		crash(t, filepath.Join(folder, "running.db"), after)
		if got := must(open(t, after).Taps(t.Context(), day))(t); len(got) != i+1 {
			t.Errorf("after tap %d: %d taps", i, len(got))
		}
	}
}

// A file with a sound head and a ruined body fails with what to do about it.
func TestDamaged(t *testing.T) {
	path := filepath.Join(t.TempDir(), "ovenward.db")
	s := open(t, path)
	planned(t, s)
	must(0, s.Close())(t)
	f := must(os.OpenFile(path, os.O_RDWR, 0))(t)
	must(f.WriteAt([]byte(strings.Repeat("flour", 20000)), 4096))(t)
	must(0, f.Close())(t)
	s, err := store.Open(t.Context(), path, time.Now)
	if err == nil {
		defer s.Close()
		_, err = s.Days(t.Context())
	}
	if e, ok := errors.AsType[*record.Error](err); !ok || e.Kind != record.ErrDamaged || !errors.Is(err, record.ErrStorage) || !strings.Contains(e.Message, "restore a backup") {
		t.Errorf("%v, want ErrDamaged with a remedy", err)
	}
}

// Whatever is in the file, it is opened or refused; and if refused as not ours,
// it stays as it is.
func FuzzOpen(f *testing.F) {
	f.Add([]byte("SQLite format 3\x00"))
	f.Add([]byte("SQLite format 3\x00" + strings.Repeat("\x00", 4080)))
	f.Add([]byte(strings.Repeat("\xff", 200)))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, body []byte) {
		path := filepath.Join(t.TempDir(), "ovenward.db")
		must(0, os.WriteFile(path, body, 0o600))(t)
		s, err := store.Open(t.Context(), path, time.Now)
		if err == nil {
			s.Close()
			return
		}
		if (errors.Is(err, record.ErrForeign) || errors.Is(err, record.ErrNewer)) && string(must(os.ReadFile(path))(t)) != string(body) {
			t.Error("refused, but changed")
		}
	})
}

func TestOpenAfterCrashWhileMaking(t *testing.T) {
	path := filepath.Join(t.TempDir(), "ovenward.db")
	sqlite(t, path, "PRAGMA journal_mode = WAL") // the first thing written, before any table
	must(open(t, path).Breads(t.Context()))(t)
}

func TestBackup(t *testing.T) {
	folder := t.TempDir()
	s := open(t, filepath.Join(folder, "ovenward.db"))
	day := planned(t, s)
	to := filepath.Join(folder, "copy of 50%.db")
	must(0, s.Backup(t.Context(), to))(t)
	must(0, s.DeleteDay(t.Context(), day))(t)
	if info := must(os.Stat(to))(t); info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, want 0600", info.Mode())
	}
	before := sum(t, to)
	if err := s.Backup(t.Context(), to); !errors.Is(err, record.ErrInUse) || sum(t, to) != before {
		t.Errorf("over an existing file: %v", err)
	}
	if err := s.Backup(t.Context(), filepath.Join(folder, "nowhere", "b.db")); err == nil {
		t.Error("into a folder that is not there: no error")
	}
	if got := must(open(t, to).Alerts(t.Context(), day))(t); len(got) != 3 {
		t.Errorf("the copy has %d calls, want 3", len(got))
	}
	for _, name := range entries(t, folder) {
		if strings.HasSuffix(name, ".part") {
			t.Errorf("left over: %s", name)
		}
	}
}

func sqlite(t *testing.T, path, statements string) {
	t.Helper()
	db := must(sql.Open("sqlite3", "file:"+path))(t)
	must(db.Exec(statements))(t)
	must(0, db.Close())(t)
}

// crash copies a database in use as it would be found after a crash.
func crash(t *testing.T, from, to string) {
	t.Helper()
	for _, side := range []string{"", "-wal"} {
		must(0, os.WriteFile(to+side, must(os.ReadFile(from+side))(t), 0o600))(t)
	}
}

func sum(t *testing.T, path string) string {
	t.Helper()
	f := must(os.Open(path))(t)
	defer f.Close()
	h := sha256.New()
	must(io.Copy(h, f))(t)
	return fmt.Sprintf("%x", h.Sum(nil))
}

func entries(t *testing.T, folder string) (names []string) {
	t.Helper()
	for _, e := range must(os.ReadDir(folder))(t) {
		names = append(names, e.Name())
	}
	return names
}
