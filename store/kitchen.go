package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"ovenward/schedule"
)

// Kitchen gives the kitchen, the zero one if none was entered yet.
func (s *Store) Kitchen(ctx context.Context) (k schedule.Kitchen, err error) {
	defer wrap(&err, "kitchen")
	k, _, err = kitchen(ctx, s.r)
	return k, err
}

// SaveKitchen replaces the kitchen. An example kitchen becomes the baker's own.
func (s *Store) SaveKitchen(ctx context.Context, k schedule.Kitchen) (err error) {
	defer wrap(&err, "save kitchen")
	return saveKitchen(ctx, s.w, k, false)
}

// kitchen also tells whether there is a kitchen that is the baker's own.
func kitchen(ctx context.Context, q querier) (k schedule.Kitchen, own bool, err error) {
	err = q.QueryRowContext(ctx, "SELECT body, NOT example FROM kitchen").Scan(document{&k}, &own)
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return k, own, err
}

func saveKitchen(ctx context.Context, db execer, k schedule.Kitchen, example bool) error {
	body, err := text(k)
	if err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, `INSERT INTO kitchen (id, body, example, updated) VALUES (1, ?, ?, ?)
		ON CONFLICT DO UPDATE SET body = excluded.body, example = excluded.example, updated = excluded.updated`,
		body, example, ms(time.Now()))
	return err
}
