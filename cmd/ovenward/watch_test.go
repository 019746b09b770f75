package main

import (
	"bytes"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ovenward/store"
)

// pageSize is SQLite's, unless a database says otherwise.
const pageSize = 4096

// Whichever page of the database is overwritten: the program starts if there is
// anything it can read, every page says that something is damaged and what to do,
// and what fails is an answer. Where it does not start, it says why.
func TestServeDamagedPage(t *testing.T) {
	t.Parallel()
	whole, err := os.ReadFile(filepath.Join(stored(t), databaseName))
	if err != nil {
		t.Fatal(err)
	}
	kept, shown, refused := 0, 0, 0
	for at := pageSize; at < len(whole); at += pageSize {
		dir := t.TempDir()
		file := filepath.Join(dir, databaseName)
		write(t, file, string(bytes.Join([][]byte{whole[:at], bytes.Repeat([]byte("flour, "), pageSize)[:pageSize], whole[at+pageSize:]}, nil)))
		_, faults, err := store.Examine(t.Context(), file)
		if err == nil && len(faults) == 0 {
			continue // a page nobody uses
		}
		kept++
		r := tryStart(dir)
		if r.base == "" {
			r.wait(t)
			if refused++; !strings.Contains(r.errs.String(), "the database is damaged; restore a backup") {
				t.Errorf("page %d: refused with %q", at/pageSize+1, r.errs)
			}
			continue
		}
		status, page := http.StatusOK, ""
		for end := time.Now().Add(patience); !strings.Contains(page, "ovenward restore FILE") && time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
			_, page = get(t, r.base+"/settings")
		}
		for _, path := range []string{"/days/1/now", "/days/1/sheet", "/days/1", "/days", "/breads", "/kitchen", "/settings"} {
			if status, page = get(t, r.base+path); !strings.Contains(page, "The database is damaged.") || !strings.Contains(page, "ovenward doctor") {
				t.Errorf("page %d: %s (%d) does not say what to do: %.300s", at/pageSize+1, path, status, page)
			}
			if path == "/days/1/now" && status == http.StatusOK {
				shown++
			}
		}
		r.wait(t)
		if !strings.Contains(r.errs.String(), "the database is damaged; what can still be read is shown") {
			t.Errorf("page %d: the log says %s", at/pageSize+1, r.errs)
		}
	}
	t.Logf("of %d pages the start is refused over %d, and the page Now can do without %d", kept, refused, shown)
	if shown < kept/2 || refused > kept/10 {
		t.Errorf("of %d pages the start is refused over %d, and the page Now can do without %d only", kept, refused, shown)
	}
}

// A sound database is not called damaged.
func TestServeSound(t *testing.T) {
	t.Parallel()
	st, err := store.Open(t.Context(), filepath.Join(stored(t), databaseName), clock)
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	if faults, err := st.Damages(t.Context()); err != nil || len(faults) > 0 {
		t.Errorf("%q, %v", faults, err)
	}
}
