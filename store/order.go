package store

import (
	"context"
	"database/sql"

	"ovenward/schedule"
	"ovenward/store/record"
)

// orders gives the orders of some days, by day.
func orders(ctx context.Context, q querier, where string, args ...any) (map[int64][]schedule.Order, error) {
	type line struct {
		day int64
		schedule.Order
	}
	lines, err := collect(ctx, q, func(rows *sql.Rows) (l line, err error) {
		err = rows.Scan(&l.day, &l.Bread, &l.Pieces, &l.Out, &l.Ready, &l.For, &l.Weight)
		return l, err
	}, "SELECT day, bread, pieces, out_by, cool_by, customer, weight FROM ordered "+where+" ORDER BY day, line", args...)
	by := map[int64][]schedule.Order{}
	for _, l := range lines {
		by[l.day] = append(by[l.day], l.Order)
	}
	return by, err
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
