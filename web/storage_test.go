//go:build linux

package web_test

import (
	"context"
	"database/sql"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/static"
	"ovenward/store"
	"ovenward/web"
	"ovenward/web/webtest"
)

// A store that fails while it is written to: the page says why and what helps,
// what was typed stays, nothing of it is kept by halves, and once the fault is
// mended the very same is sent again and kept.
func TestStorageFails(t *testing.T) { // not parallel: a limit on files is of the whole process
	for _, tt := range []struct {
		name string
		dir  func(t *testing.T) string
		ail  func(t *testing.T, database string) (heal func())
		says string
	}{
		{"disk full", smallDisk, fillDisk, "The disk is full; make room and try again"},
		{"disk that does not take it", ownFolder, limitFiles, "The disk has failed to read or write"},
		{"held by another program", ownFolder, holdDatabase, "Another program holds the database; try again"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			database := filepath.Join(tt.dir(t), "ovenward.db")
			s := siteAt(t, database)
			typed := url.Values{"name": {`Market "<b>day</b>" & fair`}, "date": {"2026-12-05"}, "zone": {"Europe/Dublin"}}
			before := s.all()
			heal := tt.ail(t, database)
			w := s.post("/days", typed)
			heal()
			page := webtest.Parse(t, w.Body)
			if text := page.Text(nil); w.Code != http.StatusInternalServerError || !strings.Contains(text, tt.says) {
				t.Errorf("%d: %s", w.Code, text)
			}
			if diff := cmp.Diff(before, s.all()); diff != "" {
				t.Errorf("something of it was kept (-want +got):\n%s", diff)
			}
			again := page.Form("/days")
			if diff := cmp.Diff(typed, again); diff != "" {
				t.Errorf("what was typed (-want +got):\n%s", diff)
			}
			if w := s.post("/days", again); w.Code != http.StatusSeeOther {
				t.Errorf("sent again: %d", w.Code)
			}
			if days := s.all().Days; len(days) != 1 || days[0].Name != typed.Get("name") {
				t.Errorf("kept in the end: %+v", days)
			}
		})
	}
}

// A program that is stopped amid a request has not promised anything: whoever
// still hears it is told so, page or tap, and nothing of it is kept.
func TestStoppedAmid(t *testing.T) {
	s := siteAt(t, filepath.Join(ownFolder(t), "ovenward.db"))
	ctx, stop := context.WithCancel(t.Context())
	stop()
	before := s.all()
	for _, r := range []*http.Request{
		httptest.NewRequest(http.MethodGet, "/days", nil),
		httptest.NewRequest(http.MethodPost, "/days", strings.NewReader(url.Values{"name": {"Market"}, "date": {"2026-12-05"}, "zone": {"Europe/Dublin"}}.Encode())),
	} {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		w := s.do(r.WithContext(ctx))
		if text := webtest.Parse(t, w.Body).Text(nil); w.Code != http.StatusServiceUnavailable || !strings.Contains(text, "being stopped") {
			t.Errorf("%s %s: %d %s", r.Method, r.URL, w.Code, text)
		}
	}
	if diff := cmp.Diff(before, s.all()); diff != "" {
		t.Errorf("something of it was kept (-want +got):\n%s", diff)
	}
}

func siteAt(t *testing.T, database string) *site {
	t.Helper()
	st, err := store.Open(t.Context(), database, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { st.Close() })
	s := &site{t: t, store: st, hub: &hub{}, now: time.Date(2026, 11, 27, 16, 0, 0, 0, time.UTC)}
	s.h, err = web.New(web.Config{Store: st, Hub: s.hub, Static: static.FS, Now: func() time.Time { return s.now }})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func ownFolder(t *testing.T) string { return t.TempDir() }

// smallDisk is a disk of its own, of two megabytes.
func smallDisk(t *testing.T) string {
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=2m"); err != nil {
		t.Skipf("a small disk can only be mounted by root: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	return dir
}

// fillDisk leaves no room where the database is.
func fillDisk(t *testing.T, database string) (heal func()) {
	ballast, err := os.Create(filepath.Join(filepath.Dir(database), "ballast"))
	if err != nil {
		t.Fatal(err)
	}
	for err == nil {
		_, err = ballast.Write(make([]byte, 4096))
	}
	if !errors.Is(err, syscall.ENOSPC) {
		t.Fatal(err)
	}
	return func() {
		if err := errors.Join(ballast.Close(), os.Remove(ballast.Name())); err != nil {
			t.Fatal(err)
		}
	}
}

// limitFiles keeps the database's log from growing: writing to it fails as on a
// disk that is broken.
func limitFiles(t *testing.T, database string) (heal func()) {
	log, err := os.Stat(database + "-wal")
	if err != nil {
		t.Fatal(err)
	}
	var was syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &was); err != nil {
		t.Fatal(err)
	}
	set := func(l syscall.Rlimit) {
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &l); err != nil {
			t.Fatal(err)
		}
	}
	set(syscall.Rlimit{Cur: uint64(log.Size()), Max: was.Max})
	return func() { set(was) }
}

// holdDatabase writes to the database from elsewhere and does not come to an
// end.
func holdDatabase(t *testing.T, database string) (heal func()) {
	other, err := sql.Open("sqlite3", "file:"+database+"?_txlock=immediate")
	if err != nil {
		t.Fatal(err)
	}
	tx, err := other.Begin()
	if err != nil {
		t.Fatal(err)
	}
	return func() {
		if err := errors.Join(tx.Rollback(), other.Close()); err != nil {
			t.Fatal(err)
		}
	}
}
