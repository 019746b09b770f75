package store

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"ovenward/store/record"
)

// Backup writes a complete, compact copy to path while the program runs. A file
// that exists is not overwritten (record.ErrInUse). The copy appears under its
// name only when it is complete.
func (s *Store) Backup(ctx context.Context, path string) (err error) {
	defer wrap(&err, "backup to %s", path)
	return vacuumInto(ctx, s.w, path)
}

// execer is a database, a connection or a transaction.
type execer interface {
	ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error)
}

func vacuumInto(ctx context.Context, db execer, path string) (err error) {
	path = filepath.Clean(path) // as its folder is taken to be
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return refuse(record.ErrInUse, "there already is a file %s; give another name", path)
	}
	// SQLite writes into an empty file and keeps its mode. The name is not to be
	// guessed, so that in a folder of many nobody can have put a link there.
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*.part")
	if errors.Is(err, fs.ErrNotExist) {
		return refuse(record.ErrNotFound, "there is no folder %s; make it, or give another name", filepath.Dir(path))
	} else if err != nil {
		return err
	}
	part := f.Name()
	defer func() {
		f.Close()
		if err != nil {
			os.Remove(part)
		}
	}()
	if _, err := db.ExecContext(ctx, "VACUUM INTO ?", part); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	return os.Rename(part, path)
}
