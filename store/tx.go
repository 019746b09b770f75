package store

import (
	"context"
	"database/sql"
)

// inTx runs f in one writing transaction: all of it or nothing.
func (s *Store) inTx(ctx context.Context, f func(*sql.Tx) error) error { return within(ctx, s.w, f) }

// view runs f on one unchanging picture of the database.
func (s *Store) view(ctx context.Context, f func(*sql.Tx) error) error { return within(ctx, s.r, f) }

func within(ctx context.Context, db *sql.DB, f func(*sql.Tx) error) error {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback() // after Commit it does nothing; after a panic it frees the writer
	if err := f(tx); err != nil {
		return err
	}
	return tx.Commit()
}

// querier is a database or a transaction.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// collect reads every row with scan.
func collect[T any](ctx context.Context, q querier, scan func(*sql.Rows) (T, error), query string, args ...any) ([]T, error) {
	rows, err := q.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var all []T
	for rows.Next() {
		v, err := scan(rows)
		if err != nil {
			return nil, err
		}
		all = append(all, v)
	}
	return all, rows.Err()
}

// scanText reads a row of one text, for collect.
func scanText(rows *sql.Rows) (s string, err error) {
	err = rows.Scan(&s)
	return s, err
}
