package store

import (
	"context"
	"database/sql"

	"ovenward/schedule"
	"ovenward/store/record"
)

func orders(ctx context.Context, q querier, day int64) ([]schedule.Order, error) {
	return collect(ctx, q, scanOrder, "SELECT bread, pieces, out_by, cool_by, customer, weight FROM ordered WHERE day = ? ORDER BY line", day)
}

func scanOrder(rows *sql.Rows) (o schedule.Order, err error) {
	err = rows.Scan(&o.Bread, &o.Pieces, &o.Out, &o.Ready, &o.For, &o.Weight)
	return o, err
}

// saveOrders replaces the orders of a day.
func saveOrders(ctx context.Context, tx *sql.Tx, d record.Day) error {
	loc, err := zone(d.Zone)
	if err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, "DELETE FROM ordered WHERE day = ?", d.ID); err != nil {
		return err
	}
	for i, o := range d.Orders {
		promised, err := promise(i, o, loc)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, "INSERT INTO ordered (day, line, bread, pieces, out_by, cool_by, promised, customer, weight) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
			d.ID, i, o.Bread, o.Pieces, string(o.Out), string(o.Ready), ms(promised), o.For, o.Weight)
		if missing(err) {
			return refuse(record.ErrNotFound, "order %d: the bread %q is not in the library", i+1, o.Bread)
		}
		if err != nil {
			return err
		}
	}
	return nil
}
