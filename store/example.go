package store

import (
	"context"
	"database/sql"
)

// ClearExample removes everything marked as an example. What the baker's own
// days, standing orders and breads need of it stays, as their own.
func (s *Store) ClearExample(ctx context.Context) (err error) {
	defer wrap(&err, "clear example")
	return s.inTx(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `
			DELETE FROM day WHERE example;
			UPDATE bread SET example = 0 WHERE example AND id IN (SELECT bread FROM ordered UNION SELECT bread FROM standing);
			DELETE FROM bread WHERE example;
			UPDATE base SET example = 0 WHERE example AND id IN (SELECT base FROM bread WHERE base IS NOT NULL);
			DELETE FROM base WHERE example;
			UPDATE kitchen SET example = 0 WHERE EXISTS (SELECT 1 FROM day) OR EXISTS (SELECT 1 FROM standing);
			DELETE FROM kitchen WHERE example`)
		if err != nil {
			return err
		}
		return sweep(ctx, tx)
	})
}

// KeepExample makes everything marked as an example the baker's own.
func (s *Store) KeepExample(ctx context.Context) (err error) {
	defer wrap(&err, "keep example")
	return s.inTx(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `
			UPDATE kitchen SET example = 0;
			UPDATE base SET example = 0;
			UPDATE bread SET example = 0;
			UPDATE day SET example = 0`)
		return err
	})
}
