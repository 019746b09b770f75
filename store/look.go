package store

import (
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"time"

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
	return &Store{w: db, r: db}, nil
}

// lookAt opens a database of format newest at most for reading and gives its
// format.
func lookAt(ctx context.Context, path string, newest int) (_ *sql.DB, version int, err error) {
	if _, err := os.Stat(path); err != nil {
		return nil, 0, refuse(record.ErrNotFound, "there is no database %s; say where it is with -data FOLDER", path)
	}
	if err := inspect(ctx, path, newest); err != nil {
		return nil, 0, err
	}
	db, err := sql.Open("sqlite3", dsn(path, "mode=ro&_busy_timeout=5000&_foreign_keys=on"))
	if err != nil {
		return nil, 0, err
	}
	if err := db.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil {
		db.Close()
		return nil, 0, err
	}
	return db, version, nil
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
