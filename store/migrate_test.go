package store // the runner is not exported: steps of our own are its only test

import (
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/migrations"
)

var twoSteps = []step{
	{"0001_a.sql", `CREATE TABLE parent (id INTEGER PRIMARY KEY, name TEXT) STRICT;
		CREATE TABLE child (parent INTEGER NOT NULL REFERENCES parent ON DELETE CASCADE) STRICT;
		INSERT INTO parent VALUES (1, 'dough'); INSERT INTO child VALUES (1)`},
	{"0002_b.sql", `CREATE TABLE new_parent (id INTEGER PRIMARY KEY, name TEXT, kind TEXT) STRICT;
		INSERT INTO new_parent SELECT id, name, 'lean' FROM parent;
		DROP TABLE parent; ALTER TABLE new_parent RENAME TO parent`},
}

// Rebuilding a parent table with foreign keys on would delete the children
// (https://www.sqlite.org/lang_altertable.html#otheralter, step 1).
func TestMigrateRebuildKeepsChildren(t *testing.T) {
	db, folder := writer(t)
	for _, steps := range [][]step{twoSteps[:1], twoSteps, twoSteps} {
		if err := migrate(t.Context(), db, steps, folder); err != nil {
			t.Fatal(err)
		}
	}
	if got := query(t, db, "SELECT count(*) || (SELECT kind FROM parent) FROM child"); got != "1lean" {
		t.Errorf("children and kind: %q, want 1lean", got)
	}
	if got := query(t, db, "PRAGMA user_version"); got != "2" {
		t.Errorf("version %s, want 2", got)
	}
	if _, err := db.Exec("INSERT INTO child VALUES (99)"); err == nil {
		t.Error("foreign keys stay off after migrating")
	}
}

func TestMigrateFailsWhole(t *testing.T) {
	for name, body := range map[string]string{
		"syntax":          "CREATE TABLE extra (x INTEGER) STRICT; CREATE TABEL y",
		"orphans":         "CREATE TABLE extra (x INTEGER) STRICT; DELETE FROM parent",
		"wrong data type": "CREATE TABLE extra (x INTEGER) STRICT; INSERT INTO extra VALUES ('many')",
	} {
		t.Run(name, func(t *testing.T) {
			db, folder := writer(t)
			if err := migrate(t.Context(), db, twoSteps, folder); err != nil {
				t.Fatal(err)
			}
			before := schema(t, db)
			err := migrate(t.Context(), db, append(twoSteps[:2:2], step{"0003_bad.sql", body}), folder)
			if err == nil || !strings.Contains(err.Error(), "0003_bad.sql") {
				t.Fatalf("error %v, want one that names the file", err)
			}
			if diff := cmp.Diff(before, schema(t, db)); diff != "" {
				t.Errorf("something of it stayed (-want +got):\n%s", diff)
			}
			if got := query(t, db, "PRAGMA user_version"); got != "2" {
				t.Errorf("version %s, want 2", got)
			}
			if _, err := db.Exec("INSERT INTO child VALUES (99)"); err == nil {
				t.Error("foreign keys stay off after a failure")
			}
		})
	}
}

func TestMigrateBacksUpBeforehand(t *testing.T) {
	db, folder := writer(t)
	var steps []step
	for _, name := range []string{"a", "b", "c", "d", "e", "f"} {
		steps = append(steps, step{name, "CREATE TABLE " + name + " (x INTEGER) STRICT"})
		if err := migrate(t.Context(), db, steps, folder); err != nil {
			t.Fatal(err)
		}
	}
	got, _ := filepath.Glob(filepath.Join(folder, "backup*"))
	want := []string{"backup-before-v004.db", "backup-before-v005.db", "backup-before-v006.db"}
	for i := range want {
		want[i] = filepath.Join(folder, want[i])
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Fatalf("(-want +got):\n%s", diff)
	}
	old, err := openWriter(got[2])
	if err != nil {
		t.Fatal(err)
	}
	defer old.Close()
	if v := query(t, old, "PRAGMA user_version"); v != "5" {
		t.Errorf("the copy made before version 6 is of version %s, want 5", v)
	}
}

// Every form the database ever had leads to the same schema as a new one, with
// what was in it.
func TestMigrateEveryFormer(t *testing.T) {
	steps, err := readSteps(migrations.FS)
	if err != nil {
		t.Fatal(err)
	}
	fresh, folder := writer(t)
	if err := migrate(t.Context(), fresh, steps, folder); err != nil {
		t.Fatal(err)
	}
	dumps, _ := filepath.Glob("testdata/v*.sql")
	if len(dumps) != len(steps) {
		t.Errorf("%d dumps for %d steps", len(dumps), len(steps))
	}
	for _, dump := range dumps {
		t.Run(filepath.Base(dump), func(t *testing.T) {
			db, folder := writer(t)
			body, err := os.ReadFile(dump)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := db.Exec("PRAGMA foreign_keys = OFF;" + string(body) + "PRAGMA foreign_keys = ON"); err != nil {
				t.Fatal(err)
			}
			if err := migrate(t.Context(), db, steps, folder); err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(schema(t, fresh), schema(t, db)); diff != "" {
				t.Errorf("schema (-fresh +migrated):\n%s", diff)
			}
			s := &Store{w: db, r: db, now: time.Now}
			day, err := s.Day(t.Context(), 1, time.UnixMilli(1_795_842_000_000))
			if err != nil || len(day.Orders) != 2 || len(day.Breads) != 2 || len(day.Bases) != 1 || day.Kitchen.Ovens[0].Name != "deck" {
				t.Errorf("the day came back as %+v, %v", day, err)
			}
			if err := s.SaveBread(t.Context(), day.Breads[0]); err != nil {
				t.Error(err)
			}
		})
	}
}

func TestReadStepsInsistsOnOrder(t *testing.T) {
	for _, names := range [][]string{{"0002_b.sql"}, {"0001_a.sql", "0003_c.sql"}, {"1_a.sql"}, {"0001_a.sql", "0001_b.sql"}} {
		files := fstest.MapFS{}
		for _, name := range names {
			files[name] = &fstest.MapFile{}
		}
		if steps, err := readSteps(files); err == nil {
			t.Errorf("%v gives %v", names, steps)
		}
	}
}

// An answered tap must survive a power cut, so the writer syncs at each commit
// (https://www.sqlite.org/pragma.html#pragma_synchronous: FULL is 2).
func TestConnections(t *testing.T) {
	db, folder := writer(t)
	readers, err := openReaders(filepath.Join(folder, "test.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer readers.Close()
	for _, tt := range []struct {
		db           *sql.DB
		pragma, want string
	}{
		{db, "synchronous", "2"}, {db, "journal_mode", "wal"}, {db, "foreign_keys", "1"}, {db, "busy_timeout", "5000"}, {db, "query_only", "0"},
		{readers, "query_only", "1"}, {readers, "foreign_keys", "1"}, {readers, "busy_timeout", "5000"},
	} {
		if got := query(t, tt.db, "PRAGMA "+tt.pragma); got != tt.want {
			t.Errorf("%s = %s, want %s", tt.pragma, got, tt.want)
		}
	}
	if _, err := readers.Exec("CREATE TABLE x (y INTEGER) STRICT"); err == nil {
		t.Error("a reader has written")
	}
}

func writer(t *testing.T) (db *sql.DB, folder string) {
	t.Helper()
	folder = t.TempDir()
	db, err := openWriter(filepath.Join(folder, "test.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db, folder
}

func query(t *testing.T, db *sql.DB, q string) (s string) {
	t.Helper()
	if err := db.QueryRow(q).Scan(&s); err != nil {
		t.Fatal(err)
	}
	return s
}

func schema(t *testing.T, db *sql.DB) []string {
	t.Helper()
	all, err := collect(context.Background(), db, scanText, "SELECT type || ' ' || name || ' ' || coalesce(sql, '') FROM sqlite_schema WHERE name NOT LIKE 'sqlite_stat%' ORDER BY type, name")
	if err != nil {
		t.Fatal(err)
	}
	return all
}
