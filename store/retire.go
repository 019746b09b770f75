package store

import (
	"context"
	"database/sql"
	"fmt"
	"strings"
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

func scanText(rows *sql.Rows) (s string, err error) {
	err = rows.Scan(&s)
	return s, err
}

// list names a few things in a sentence.
func list(names []string) string {
	const most = 3
	if more := len(names) - most; more > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), more)
	}
	return strings.Join(names, ", ")
}
