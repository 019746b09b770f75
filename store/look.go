package store

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/mattn/go-sqlite3"

	"ovenward/migrations"
	"ovenward/store/record"
)

// Look opens the database at path for reading only, as it is, beside a program
// that may be using it. What writes fails. A database that is not
// there is record.ErrNotFound, an older one record.ErrInvalid, and otherwise
// what Open refuses is refused.
func Look(ctx context.Context, path string) (_ *Store, err error) {
	defer wrap(&err, "look at %s", path)
	if path, err = filepath.Abs(path); err != nil {
		return nil, err
	}
	steps, err := readSteps(migrations.FS)
	if err != nil {
		return nil, err
	}
	db, version, err := lookAt(ctx, path, len(steps))
	if err != nil {
		return nil, err
	}
	if version < len(steps) {
		db.Close()
		return nil, refuse(record.ErrInvalid, "the database is of format %d and this program's is %d; start ovenward once, it keeps a copy and brings it up to date", version, len(steps))
	}
	return &Store{w: db, r: db, now: time.Now}, nil // never written down
}

// lookAt opens a database of format newest at most for reading and gives its
// format. SQLite wants a file of its own beside the database even for reading;
// where none can be made, on a disk that only reads or is full, and no program
// serves it, it is told that nobody writes.
func lookAt(ctx context.Context, path string, newest int) (_ *sql.DB, version int, err error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, 0, refuse(record.ErrNotFound, "there is no database %s; say where it is with -data FOLDER", path)
	} else if err != nil {
		return nil, 0, err
	}
	if err := inspect(ctx, path, newest); err != nil {
		return nil, 0, err
	}
	db, version, err := lookAs(ctx, path, "mode=ro&_busy_timeout=5000&_foreign_keys=on")
	if e, ok := errors.AsType[sqlite3.Error](err); ok && (e.Code == sqlite3.ErrCantOpen || e.Code == sqlite3.ErrReadonly || noRoom(e)) &&
		LogSize(path) == 0 && User(path) == "" {
		return lookAs(ctx, path, "immutable=1&_foreign_keys=on")
	}
	return db, version, err
}

func lookAs(ctx context.Context, path, how string) (_ *sql.DB, version int, err error) {
	db, err := sql.Open("sqlite3", dsn(path, how))
	if err != nil {
		return nil, 0, err
	}
	if err := db.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil {
		db.Close()
		return nil, 0, err
	}
	return db, version, nil
}

// LogSize is how many bytes are in the log beside a database, which a program
// that uses it writes to first and one that was killed leaves behind.
func LogSize(path string) int64 {
	info, err := os.Stat(path + "-wal")
	if err != nil {
		return 0
	}
	return info.Size()
}

// Extent tells how many bytes the database takes, and how many of them are free
// for what is yet to be written.
func (s *Store) Extent(ctx context.Context) (size, free int64, err error) {
	defer wrap(&err, "extent")
	err = s.r.QueryRowContext(ctx, "SELECT page_count * page_size, freelist_count * page_size FROM pragma_page_count, pragma_page_size, pragma_freelist_count").
		Scan(&size, &free)
	return size, free, err
}

// BackupOf writes a complete copy of the database at path to the file to, also
// while a program uses it, as [Store.Backup] does.
func BackupOf(ctx context.Context, path, to string) (err error) {
	defer wrap(&err, "backup of %s", path)
	if path, err = filepath.Abs(path); err != nil {
		return err
	}
	steps, err := readSteps(migrations.FS)
	if err != nil {
		return err
	}
	db, _, err := lookAt(ctx, path, len(steps))
	if err != nil {
		return err
	}
	defer db.Close()
	return vacuumInto(ctx, db, to)
}

// Newest gives the latest moment anything was written, by the clock of then.
func (s *Store) Newest(ctx context.Context) (t time.Time, err error) {
	defer wrap(&err, "newest")
	err = s.r.QueryRowContext(ctx, `SELECT max(at) FROM (SELECT max(recorded) AS at FROM tap
		UNION ALL SELECT max(saved) FROM plan UNION ALL SELECT max(updated) FROM day)`).Scan(instant{time: &t})
	return t, err
}
