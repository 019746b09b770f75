package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"time"

	_ "github.com/mattn/go-sqlite3"

	"ovenward/migrations"
)

// Store is an open database. It is safe for concurrent use.
type Store struct {
	w, r *sql.DB // one writer, many readers
	lock *os.File
	now  func() time.Time // stamps what is written
}

const readers = 4

// kept is how many statements a connection keeps ready, some more than a page or
// a tap asks: to read them anew costs as much as to run them.
const kept = "_stmt_cache_size=64"

// Open opens the database at path, first making or migrating it as needed; what is
// written is stamped by the clock now. Only one Store can be open on a path at a time (record.ErrTaken). A database made
// by a newer program (record.ErrNewer) or by another one (record.ErrForeign) is
// refused and not touched.
func Open(ctx context.Context, path string, now func() time.Time) (_ *Store, err error) {
	defer wrap(&err, "open %s", path)
	path, err = filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, err
	}
	s := &Store{now: now}
	defer func() {
		if err != nil {
			s.Close()
		}
	}()
	if s.lock, err = lock(path + ".lock"); err != nil {
		return nil, err
	}
	steps, err := readSteps(migrations.FS)
	if err != nil {
		return nil, err
	}
	if err := inspect(ctx, path, len(steps)); err != nil {
		return nil, err
	}
	if err := makePrivate(path); err != nil {
		return nil, err
	}
	if s.w, err = openWriter(path); err != nil {
		return nil, err
	}
	if err := migrate(ctx, s.w, steps, filepath.Dir(path)); err != nil {
		return nil, err
	}
	s.r, err = openReaders(path)
	return s, err
}

// Close lets SQLite tidy up and gives the database free for another program.
func (s *Store) Close() error {
	var errs []error
	if s.r != nil {
		errs = append(errs, s.r.Close())
	}
	if s.w != nil && s.w != s.r { // one that only looks has no writer
		_, err := s.w.Exec("PRAGMA optimize")
		errs = append(errs, err, s.w.Close()) // the last connection folds the WAL into the file
	}
	if s.lock != nil {
		errs = append(errs, s.lock.Close())
	}
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("store: close: %w", err)
	}
	return nil
}

// openWriter gives a pool of one connection. Immediate transactions, because one
// that turns from reading to writing fails at once when another has written
// meanwhile. Full synchronous: an answered tap survives the plug being pulled.
func openWriter(path string) (*sql.DB, error) {
	db, err := sql.Open("sqlite3", dsn(path, "_busy_timeout=5000&_foreign_keys=on&_journal_mode=WAL&_synchronous=FULL&_txlock=immediate&"+kept))
	if err == nil {
		db.SetMaxOpenConns(1)
	}
	return db, err
}

func openReaders(path string) (*sql.DB, error) {
	db, err := sql.Open("sqlite3", dsn(path, "_busy_timeout=5000&_foreign_keys=on&_query_only=on&"+kept))
	if err == nil {
		db.SetMaxOpenConns(readers)
		db.SetMaxIdleConns(readers)
	}
	return db, err
}

// dsn escapes the path, which may hold spaces, # and %.
func dsn(path, query string) string {
	u := url.URL{Scheme: "file", OmitHost: true, Path: path, RawQuery: query}
	return u.String()
}

// makePrivate creates the file, or narrows it, so that only its owner reads it.
// SQLite gives its side files the same mode.
func makePrivate(path string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return err
	}
	return errors.Join(f.Chmod(0o600), f.Close())
}
