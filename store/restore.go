//go:build unix

package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"ovenward/migrations"
	"ovenward/store/record"
)

// Restore puts a backup, the file from, in the place of the database at path and
// gives the name under which the database before is kept beside it, "" if there
// was none. The backup is only read: a copy of it is made, looked through
// (record.ErrNotFound, ErrForeign, ErrNewer, ErrInvalid) and only then put in place, in one
// step. Nothing is done while a program uses the database (record.ErrTaken).
func Restore(ctx context.Context, from, path string, now time.Time) (kept string, err error) {
	defer wrap(&err, "restore %s", from)
	if path, err = filepath.Abs(path); err != nil {
		return "", err
	}
	if _, err := os.Stat(from); errors.Is(err, fs.ErrNotExist) {
		return "", refuse(record.ErrNotFound, "there is no file %q; name a backup", from)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return "", err
	}
	held, err := lock(path + ".lock")
	if err != nil {
		return "", err
	}
	defer held.Close()
	work, err := os.MkdirTemp(filepath.Dir(path), ".restore-")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(work)
	part := filepath.Join(work, "ovenward.db")
	if err := copyDatabase(from, part); err != nil {
		return "", err
	}
	if err := vet(ctx, from, part); err != nil {
		return "", err
	}
	if kept, err = setAside(ctx, path, now); err != nil {
		return kept, err
	}
	if err := os.Rename(part, path); err != nil {
		return kept, err
	}
	return kept, syncFolder(filepath.Dir(path))
}

// vet refuses a copy that cannot be served, in the name of what it is a copy of.
func vet(ctx context.Context, from, part string) error {
	steps, err := readSteps(migrations.FS)
	if err != nil {
		return err
	}
	if header, err := readHeader(part); err != nil {
		return err
	} else if header == nil {
		return refuse(record.ErrForeign, "%s is empty; choose another backup", from)
	}
	if err := inspect(ctx, part, len(steps)); err != nil {
		if e, ok := errors.AsType[*record.Error](err); ok {
			return refuse(e.Kind, "%s", strings.ReplaceAll(e.Message, part, from))
		}
		return unsound(from, []string{err.Error()})
	}
	db, err := openWriter(part) // folds in the log a crash has left
	if err != nil {
		return err
	}
	defer db.Close()
	var format int
	if err := db.QueryRowContext(ctx, "PRAGMA user_version").Scan(&format); err != nil {
		return unsound(from, []string{err.Error()})
	}
	if format < 1 || format > len(steps) {
		return refuse(record.ErrForeign, "%s holds no days; choose another backup", from)
	}
	faults, err := examine(ctx, db, steps[:format])
	if err != nil {
		faults = []string{err.Error()} // what cannot be read through is damaged
	}
	if len(faults) > 0 {
		return unsound(from, faults)
	}
	return db.Close()
}

// copyDatabase copies a database and the log beside it, if there is one.
func copyDatabase(from, to string) error {
	if err := copyFile(from, to); err != nil {
		return err
	}
	if err := copyFile(from+"-wal", to+"-wal"); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// copyFile makes a private copy of a regular file. It does not wait for a pipe
// to be written.
func copyFile(from, to string) error {
	in, err := os.OpenFile(from, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return err
	}
	defer in.Close()
	if info, err := in.Stat(); err != nil {
		return err
	} else if !info.Mode().IsRegular() {
		return refuse(record.ErrForeign, "%s is not a file; name a backup", from)
	}
	out, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Sync(), out.Close())
}

// setAside keeps the database at path under another name, and leaves no log a
// new one could be taken to be of. A database that SQLite cannot open is kept
// with its log beside it.
func setAside(ctx context.Context, path string, now time.Time) (kept string, err error) {
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		return "", nil
	} else if err != nil {
		return "", err
	}
	if LogSize(path) > 0 {
		if db, err := openWriter(path); err == nil {
			db.ExecContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)")
			db.Close()
		}
	}
	kept = fmt.Sprintf("%s-before-restore-%s.db", path[:len(path)-len(filepath.Ext(path))], now.UTC().Format("20060102T150405Z"))
	if _, err := os.Lstat(kept); !errors.Is(err, fs.ErrNotExist) {
		return "", refuse(record.ErrInUse, "there already is a file %s; try again in a second", kept)
	}
	for _, side := range []string{"-wal", ""} {
		if err := os.Rename(path+side, kept+side); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
	}
	os.Remove(path + "-shm") // an index of the log, made anew
	return kept, nil
}

// syncFolder makes renames in it last.
func syncFolder(folder string) error {
	d, err := os.Open(folder)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
