package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"ovenward/store/record"
)

// sentKept is for how many days a key is kept after it was sent.
const sentKept = 30

// BeginDay adds a day as CreateDay does, once for a key: where it was sent before,
// id is the day it began then, which may be gone by now, and begun is false.
// Without a key ("") a day is begun every time.
func (s *Store) BeginDay(ctx context.Context, key string, d record.Day, now time.Time) (id int64, begun bool, err error) {
	defer wrap(&err, "begin day %q", d.Name)
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		if id, err = sentFor(ctx, tx, key); id != 0 || err != nil {
			return err
		}
		begun = true
		if id, err = insertDay(ctx, tx, d, now); err != nil || key == "" {
			return err
		}
		return keepSent(ctx, tx, key, id, now)
	})
	return id, begun && err == nil, err
}

// Sent tells whether a key came before.
func (s *Store) Sent(ctx context.Context, key string) (sent bool, err error) {
	defer wrap(&err, "key that was sent")
	err = s.r.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM sent WHERE key = ?)", key).Scan(&sent)
	return sent, err
}

// TakeOrder saves a day to which the order sent under a key was added, and keeps
// the key. One that came before is refused (record.ErrInvalid).
func (s *Store) TakeOrder(ctx context.Context, key string, d record.Day, now time.Time) (err error) {
	defer wrap(&err, "take order for day %d", d.ID)
	return s.inTx(ctx, func(tx *sql.Tx) error {
		if day, err := sentFor(ctx, tx, key); err != nil {
			return err
		} else if day != 0 {
			return refuse(record.ErrInvalid, "the order %s was taken before", key)
		}
		if err := saveDay(ctx, tx, d, now); err != nil {
			return err
		}
		return keepSent(ctx, tx, key, d.ID, now)
	})
}

// ReturnOrder saves a day from which an order that was taken is gone again, and
// forgets its key.
func (s *Store) ReturnOrder(ctx context.Context, key string, d record.Day) (err error) {
	defer wrap(&err, "return order for day %d", d.ID)
	return s.inTx(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "DELETE FROM sent WHERE key = ?", key); err != nil {
			return err
		}
		return saveDay(ctx, tx, d, s.now())
	})
}

// ForgetSent forgets keys that nobody will send again, and gives how many.
func (s *Store) ForgetSent(ctx context.Context, now time.Time) (n int, err error) {
	defer wrap(&err, "forget what was sent")
	res, err := s.w.ExecContext(ctx, "DELETE FROM sent WHERE at < ?", ms(now.AddDate(0, 0, -sentKept)))
	if err != nil {
		return 0, err
	}
	all, err := res.RowsAffected()
	return int(all), err
}

// sentFor gives the day a key was sent for, 0 for none.
func sentFor(ctx context.Context, tx *sql.Tx, key string) (day int64, err error) {
	err = tx.QueryRowContext(ctx, "SELECT day FROM sent WHERE key = ?", key).Scan(&day)
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return day, err
}

func keepSent(ctx context.Context, tx *sql.Tx, key string, day int64, now time.Time) error {
	_, err := tx.ExecContext(ctx, "INSERT INTO sent (key, day, at) VALUES (?, ?, ?)", key, day, ms(now))
	return err
}
