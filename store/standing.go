package store

import (
	"context"
	"database/sql"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// StandingOrders gives all standing orders, by time of the clock and name of the
// bread.
func (s *Store) StandingOrders(ctx context.Context) (all []record.Standing, err error) {
	defer wrap(&err, "standing orders")
	return collect(ctx, s.r, scanStanding, `SELECT standing.body, name, retired, standing.updated FROM standing JOIN bread ON bread.id = bread
		ORDER BY standing.body ->> 'at', name, standing.id`)
}

// SaveStanding adds or replaces a standing order. It must be sound
// (record.ErrInvalid) and its bread there (record.ErrNotFound).
func (s *Store) SaveStanding(ctx context.Context, o schedule.Standing, now time.Time) (err error) {
	defer wrap(&err, "save standing order %q", o.ID)
	return s.inTx(ctx, func(tx *sql.Tx) error {
		if err := saveStanding(ctx, tx, o, now); err != nil {
			return err
		}
		return sweep(ctx, tx)
	})
}

// DeleteStanding removes a standing order (record.ErrNotFound). Days made from it
// stay.
func (s *Store) DeleteStanding(ctx context.Context, id string) (err error) {
	defer wrap(&err, "delete standing order %q", id)
	return s.inTx(ctx, func(tx *sql.Tx) error {
		res, err := tx.ExecContext(ctx, "DELETE FROM standing WHERE id = ?", id)
		if err != nil {
			return err
		}
		if err := some(res, "this standing order"); err != nil {
			return err
		}
		return sweep(ctx, tx)
	})
}

func scanStanding(rows *sql.Rows) (o record.Standing, err error) {
	err = rows.Scan(document{&o.Standing}, &o.Name, &o.Retired, instant{time: &o.Saved})
	return o, err
}

func saveStanding(ctx context.Context, tx *sql.Tx, o schedule.Standing, now time.Time) error {
	if fs := o.Validate(); len(fs) > 0 || o.ID == "" {
		return refuse(record.ErrInvalid, "the standing order cannot be kept: %v", fs)
	}
	body, err := text(o)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO standing (id, bread, body, updated) VALUES (?, ?, ?, ?)
		ON CONFLICT DO UPDATE SET bread = excluded.bread, body = excluded.body, updated = excluded.updated`, o.ID, o.Bread, body, ms(now))
	if missing(err) {
		return refuse(record.ErrNotFound, "the bread %q of this standing order is not in the library", o.Bread)
	}
	return err
}
