package store

import (
	"context"
	"database/sql"
	"errors"

	"ovenward/store/record"
)

// Comings gives the dates from one on whose day was made from standing orders, by
// date; "" is from the first on.
func (s *Store) Comings(ctx context.Context, from string) (all []record.Coming, err error) {
	defer wrap(&err, "days made from standing orders")
	err = s.view(ctx, func(tx *sql.Tx) error {
		all, err = comings(ctx, tx, "date >= ?", from)
		return err
	})
	return all, err
}

// MakeDay adds a day made from the standing orders of its date, once: id is 0
// where that date's day was made before. With again, one that the baker has
// deleted since is made anew. Else as CreateDay.
func (s *Store) MakeDay(ctx context.Context, d record.Day, again bool) (id int64, err error) {
	defer wrap(&err, "make day %s", d.Date)
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		was, err := comingOn(ctx, tx, d.Date)
		if err == nil && (was.Day != 0 || !again) {
			return nil
		}
		if err != nil && !errors.Is(err, record.ErrNotFound) {
			return err
		}
		if id, err = insertDay(ctx, tx, d, s.now()); err != nil {
			return err
		}
		return keepComing(ctx, tx, record.Coming{Date: d.Date, Day: id, Name: d.Name, Zone: d.Zone, Orders: d.Orders})
	})
	return id, err
}

// JoinDay saves a day of the baker's own to which the standing orders of its date
// were added, and keeps in mind that they were.
func (s *Store) JoinDay(ctx context.Context, d record.Day, c record.Coming) (err error) {
	defer wrap(&err, "join day %d", d.ID)
	return s.inTx(ctx, func(tx *sql.Tx) error {
		if err := saveDay(ctx, tx, d, s.now()); err != nil {
			return err
		}
		c.Day = d.ID
		return keepComing(ctx, tx, c)
	})
}

// RenewDay brings a day back into line with the standing orders of its date, if
// the baker has not touched it: it gets c's orders or, without any, is deleted and
// forgotten. done is false where it was touched, or is gone.
func (s *Store) RenewDay(ctx context.Context, c record.Coming) (done bool, err error) {
	defer wrap(&err, "renew day %s", c.Date)
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		was, err := comingOn(ctx, tx, c.Date)
		if errors.Is(err, record.ErrNotFound) {
			return nil
		}
		if err != nil || was.Day == 0 || was.Touched {
			return err
		}
		done = true
		if len(c.Orders) == 0 {
			if _, err := tx.ExecContext(ctx, "DELETE FROM coming WHERE date = ?; DELETE FROM day WHERE id = ?", c.Date, was.Day); err != nil {
				return err
			}
			return sweep(ctx, tx)
		}
		d, err := day(ctx, tx, was.Day)
		if err != nil {
			return err
		}
		d.Orders, was.Orders = c.Orders, c.Orders
		if err := saveDay(ctx, tx, d, s.now()); err != nil {
			return err
		}
		return keepComing(ctx, tx, was)
	})
	return done && err == nil, err
}

func comings(ctx context.Context, tx *sql.Tx, where string, args ...any) ([]record.Coming, error) {
	all, err := collect(ctx, tx, scanComing, `SELECT date, coalesce(day, 0), name, zone, orders, EXISTS (SELECT 1 FROM tap WHERE tap.day = coming.day)
		FROM coming WHERE `+where+" ORDER BY date", args...)
	if err != nil {
		return nil, err
	}
	days, err := daysWhere(ctx, tx, "FROM day WHERE id IN (SELECT day FROM coming WHERE "+where+")", args...)
	if err != nil {
		return nil, err
	}
	for i := range all {
		for _, d := range days {
			if d.ID == all[i].Day {
				all[i].Touched = all[i].Touched || all[i].Unlike(d)
			}
		}
	}
	return all, nil
}

// comingOn is that of a date (record.ErrNotFound).
func comingOn(ctx context.Context, tx *sql.Tx, date string) (record.Coming, error) {
	all, err := comings(ctx, tx, "date = ?", date)
	if err == nil && len(all) == 0 {
		err = gone("this day")
	}
	if err != nil {
		return record.Coming{}, err
	}
	return all[0], nil
}

func scanComing(rows *sql.Rows) (c record.Coming, err error) {
	err = rows.Scan(&c.Date, &c.Day, &c.Name, &c.Zone, document{&c.Orders}, &c.Touched)
	return c, err
}

func keepComing(ctx context.Context, tx *sql.Tx, c record.Coming) error {
	orders, err := text(c.Orders)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, "INSERT OR REPLACE INTO coming (date, day, name, zone, orders) VALUES (?, nullif(?, 0), ?, ?, ?)", c.Date, c.Day, c.Name, c.Zone, orders)
	return err
}
