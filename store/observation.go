package store

import (
	"context"
	"database/sql"

	"ovenward/schedule/learn"
	"ovenward/store/record"
)

// Observe keeps what a day's sightings taught and drops what was taken back. One
// that is there already is brought up to date; forgotten stays forgotten.
func (s *Store) Observe(ctx context.Context, day int64, all []record.Observation) (err error) {
	defer wrap(&err, "observations of day %d", day)
	return s.inTx(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "DELETE FROM observation WHERE day = ? AND tap IN (SELECT undoes FROM tap WHERE undoes IS NOT NULL)", day)
		if err != nil {
			return err
		}
		for _, o := range all {
			_, err := tx.ExecContext(ctx, `INSERT INTO observation (tap, day, task, at, bread, dough, name, number, regime, kind, predicted, observed, sd, allowed, speed)
				VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
				ON CONFLICT (tap) DO UPDATE SET predicted = excluded.predicted, observed = excluded.observed, regime = excluded.regime, sd = excluded.sd, allowed = excluded.allowed, speed = excluded.speed`,
				o.Slip, day, o.Task, ms(o.At), o.Bread, o.Dough, o.Name, o.Observation.Day, o.Regime, o.Kind, o.Predicted, o.Observed, o.SD, o.Allowed, o.Speed)
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// Observations gives what doughs have taught and was not forgotten, newest
// first.
func (s *Store) Observations(ctx context.Context) (all []record.Observation, err error) {
	defer wrap(&err, "observations")
	return observations(ctx, s.r)
}

func observations(ctx context.Context, q querier) ([]record.Observation, error) {
	return collect(ctx, q, func(rows *sql.Rows) (o record.Observation, err error) {
		err = rows.Scan(&o.Slip, &o.Day, &o.Task, instant{time: &o.At}, &o.Bread, &o.Dough, &o.Name, &o.Observation.Day, &o.Regime, &o.Kind, &o.Predicted, &o.Observed, &o.SD, &o.Allowed, &o.Speed)
		return o, err
	}, `SELECT tap, day, task, at, bread, dough, name, number, regime, kind, predicted, observed, sd, allowed, speed
		FROM observation WHERE NOT forgotten ORDER BY at DESC, tap`)
}

// Forget sets aside what a dough has taught; "" is all of them.
func (s *Store) Forget(ctx context.Context, dough string) (err error) {
	defer wrap(&err, "forget %q", dough)
	return s.inTx(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "UPDATE observation SET forgotten = 1 WHERE ?1 = '' OR dough = ?1", dough)
		return err
	})
}

// book is what the kitchen has shown.
func book(ctx context.Context, q querier) (b learn.Book, err error) {
	all, err := observations(ctx, q)
	for _, o := range all {
		if e := b.Observe(o.Observation); err == nil {
			err = e
		}
	}
	return b, err
}
