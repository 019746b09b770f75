package store

import (
	"context"
	"database/sql"
)

// retire takes a bread or base out of sight, and sweeps.
func retire(ctx context.Context, tx *sql.Tx, table, id string) error {
	res, err := tx.ExecContext(ctx, "UPDATE "+table+" SET retired = 1 WHERE id = ? AND NOT retired", id)
	if err != nil {
		return err
	}
	if err := some(res, "this "+table); err != nil {
		return err
	}
	return sweep(ctx, tx)
}

// sweep deletes retired breads that no day and no standing order has, then retired
// bases that no bread has.
func sweep(ctx context.Context, tx *sql.Tx) error {
	_, err := tx.ExecContext(ctx, `
		DELETE FROM bread WHERE retired AND id NOT IN (SELECT bread FROM ordered UNION SELECT bread FROM standing);
		DELETE FROM base WHERE retired AND id NOT IN (SELECT base FROM bread WHERE base IS NOT NULL)`)
	return err
}
