package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// step is one migration.
type step struct{ name, body string }

// readSteps reads 0001_*.sql, 0002_*.sql, ... and insists on there being no gap.
func readSteps(files fs.FS) ([]step, error) {
	names, err := fs.Glob(files, "*.sql")
	if err != nil {
		return nil, err
	}
	steps := make([]step, len(names))
	for i, name := range names {
		if want := fmt.Sprintf("%04d_", i+1); !strings.HasPrefix(name, want) {
			return nil, fmt.Errorf("migration %s: its name should begin with %s", name, want)
		}
		body, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		steps[i] = step{name, string(body)}
	}
	return steps, nil
}

// migrate brings the database to the newest step, each in a transaction of its
// own. An existing database is first copied to folder.
func migrate(ctx context.Context, db *sql.DB, steps []step, folder string) (err error) {
	conn, err := db.Conn(ctx)
	if err != nil {
		return err
	}
	defer conn.Close()
	var version int
	if err := conn.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil {
		return err
	}
	if version >= len(steps) {
		return nil
	}
	if version > 0 {
		if err := backupBefore(ctx, conn, folder, len(steps)); err != nil {
			return fmt.Errorf("backup before migration: %w", err)
		}
	}
	// With foreign keys on, rebuilding a parent table deletes its children; and
	// inside a transaction they cannot be switched.
	if _, err := conn.ExecContext(ctx, "PRAGMA foreign_keys = OFF"); err != nil {
		return err
	}
	defer func() {
		_, on := conn.ExecContext(context.WithoutCancel(ctx), "PRAGMA foreign_keys = ON")
		err = errors.Join(err, on)
	}()
	for n, s := range steps[version:] {
		if err := s.run(ctx, conn, version+n+1); err != nil {
			return fmt.Errorf("migration %s: %w", s.name, err)
		}
	}
	return nil
}

func (s step) run(ctx context.Context, conn *sql.Conn, version int) error {
	tx, err := conn.BeginTx(ctx, nil) // immediate, by the writer's DSN
	if err != nil {
		return err
	}
	defer tx.Rollback()
	if _, err := tx.ExecContext(ctx, s.body); err != nil {
		return err
	}
	if err := checkReferences(ctx, tx); err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA user_version = %d", version)); err != nil {
		return err
	}
	return tx.Commit()
}

func checkReferences(ctx context.Context, tx *sql.Tx) error {
	var table, parent string
	err := tx.QueryRowContext(ctx, `SELECT "table", parent FROM pragma_foreign_key_check LIMIT 1`).Scan(&table, &parent)
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err == nil {
		err = fmt.Errorf("rows of %s would refer to missing rows of %s", table, parent)
	}
	return err
}

const backupsKept = 3

// backupBefore copies the database to backup-before-vN.db and keeps the newest
// few of such copies.
func backupBefore(ctx context.Context, conn *sql.Conn, folder string, version int) error {
	path := filepath.Join(folder, fmt.Sprintf("backup-before-v%03d.db", version))
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err // left by a migration that failed
	}
	if err := vacuumInto(ctx, conn, path); err != nil {
		return err
	}
	return keepNewest(folder, "backup-before-v*.db")
}

// keepNewest removes all but the newest few of the copies whose names, in order
// of age, match a pattern.
func keepNewest(folder, pattern string) error {
	copies, err := filepath.Glob(filepath.Join(folder, pattern))
	if err != nil {
		return err
	}
	slices.Sort(copies)
	for _, old := range copies[:max(0, len(copies)-backupsKept)] {
		if err := os.Remove(old); err != nil {
			return err
		}
	}
	return nil
}
