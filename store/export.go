package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"io"
	"iter"
	"time"

	"ovenward/schedule"
	"ovenward/store/bundle"
	"ovenward/store/record"
)

// Export writes everything that is remembered, as it is at one moment, but for
// who may come in from other machines. A failure may come in the middle of the
// file.
func (s *Store) Export(ctx context.Context, w io.Writer, now time.Time) (err error) {
	defer wrap(&err, "export")
	return s.view(ctx, func(tx *sql.Tx) error {
		b, err := withoutDays(ctx, tx)
		if err != nil {
			return err
		}
		b.Made = now.UTC()
		return bundle.EncodeDays(w, b, daysOf(ctx, tx))
	})
}

// Digest gives what an export would hold, to be compared with.
func (s *Store) Digest(ctx context.Context) (d *bundle.Digest, err error) {
	defer wrap(&err, "digest")
	err = s.view(ctx, func(tx *sql.Tx) error {
		b, err := withoutDays(ctx, tx)
		if err != nil {
			return err
		}
		if d, err = b.Digest(); err != nil {
			return err
		}
		for day, err := range daysOf(ctx, tx) {
			if err == nil {
				err = d.AddDay(day)
			}
			if err != nil {
				return err
			}
		}
		return nil
	})
	return d, err
}

// withoutDays is everything but the days.
func withoutDays(ctx context.Context, tx *sql.Tx) (*bundle.Bundle, error) {
	b := &bundle.Bundle{}
	err := exportLibrary(ctx, tx, b)
	if err != nil {
		return nil, err
	}
	if b.Learned, err = lessons(ctx, tx); err != nil {
		return nil, err
	}
	read, err := readings(ctx, tx)
	for _, r := range read {
		b.Readings = append(b.Readings, bundle.Reading(r))
	}
	if err != nil {
		return nil, err
	}
	return b, exportStanding(ctx, tx, b)
}

// daysOf gives the days one by one, up to the first failure.
func daysOf(ctx context.Context, tx *sql.Tx) iter.Seq2[bundle.Day, error] {
	return func(yield func(bundle.Day, error) bool) {
		days, err := collect(ctx, tx, scanDay, "SELECT "+dayColumns+" FROM day ORDER BY id")
		by, errOrders := orders(ctx, tx, "")
		if err := cmp.Or(err, errOrders); err != nil {
			yield(bundle.Day{}, err)
			return
		}
		for _, d := range days {
			d.Orders = by[d.ID]
			kept, err := exportDay(ctx, tx, d)
			if !yield(kept, err) || err != nil {
				return
			}
		}
	}
}

func exportLibrary(ctx context.Context, tx *sql.Tx, b *bundle.Bundle) (err error) {
	var k bundle.Kitchen
	switch err := tx.QueryRowContext(ctx, "SELECT body, example FROM kitchen").Scan(document{&k.Kitchen}, &k.Example); {
	case err == nil:
		b.Kitchen = &k
	case !errors.Is(err, sql.ErrNoRows):
		return err
	}
	b.Bases, err = collect(ctx, tx, func(rows *sql.Rows) (v bundle.Base, err error) {
		err = rows.Scan(document{&v.Base}, &v.Example, &v.Retired)
		return v, err
	}, "SELECT body, example, retired FROM base ORDER BY id")
	if err != nil {
		return err
	}
	b.Breads, err = collect(ctx, tx, func(rows *sql.Rows) (v bundle.Bread, err error) {
		err = rows.Scan(document{&v.Bread}, &v.Example, &v.Retired)
		return v, err
	}, "SELECT body, example, retired FROM bread ORDER BY id")
	if err != nil {
		return err
	}
	if b.Foods, err = library(ctx, tx); err != nil {
		return err
	}
	b.Settings, err = collect(ctx, tx, func(rows *sql.Rows) (v bundle.Setting, err error) {
		err = rows.Scan(&v.Key, &v.Value)
		return v, err
	}, "SELECT key, value FROM setting ORDER BY key")
	return err
}

func exportStanding(ctx context.Context, tx *sql.Tx, b *bundle.Bundle) (err error) {
	b.Standing, err = collect(ctx, tx, func(rows *sql.Rows) (o schedule.Standing, err error) {
		err = rows.Scan(document{&o})
		return o, err
	}, "SELECT body FROM standing ORDER BY id")
	if err != nil {
		return err
	}
	b.Comings, err = collect(ctx, tx, func(rows *sql.Rows) (c bundle.Coming, err error) {
		err = rows.Scan(&c.Date, &c.Day, &c.Name, &c.Zone, document{&c.Orders})
		return c, err
	}, "SELECT date, coalesce(day, 0), name, zone, orders FROM coming ORDER BY date")
	return err
}

// exportDay gives a day with all that happened in it.
func exportDay(ctx context.Context, tx *sql.Tx, r record.Day) (d bundle.Day, err error) {
	d.Day = r
	if d.Plans, err = plans(ctx, tx, r.ID, "ORDER BY version"); err != nil {
		return d, err
	}
	if d.Taps, err = taps(ctx, tx, r.ID); err != nil {
		return d, err
	}
	if d.Alerts, err = alerts(ctx, tx, "WHERE alert.day = ? ORDER BY alert.id", r.ID); err != nil {
		return d, err
	}
	if d.Log, err = alertLog(ctx, tx, "day = ?", r.ID); err != nil {
		return d, err
	}
	d.Slips, err = collect(ctx, tx, func(rows *sql.Rows) (s schedule.Slip, err error) {
		err = rows.Scan(document{&s})
		schedule.Relocate(&s, time.UTC)
		return s, err
	}, "SELECT body FROM slip JOIN tap ON tap.id = slip.tap WHERE day = ? ORDER BY seq", r.ID)
	if err != nil {
		return d, err
	}
	d.Repairs, err = collect(ctx, tx, func(rows *sql.Rows) (r bundle.Repair, err error) {
		err = rows.Scan(&r.Version, &r.Base, &r.Key)
		return r, err
	}, "SELECT version, base, accept FROM repair WHERE day = ? ORDER BY version", r.ID)
	return d, err
}

// lessons are what was learned, also what is forgotten. A day that is gone is 0.
func lessons(ctx context.Context, tx *sql.Tx) ([]bundle.Lesson, error) {
	return collect(ctx, tx, func(rows *sql.Rows) (l bundle.Lesson, err error) {
		o := &l.Lesson.Observation
		err = rows.Scan(&l.Slip, &l.Observation.Day, &l.Task, instant{time: &l.At}, &o.Bread, &l.Dough, &l.Name, &o.Day,
			&o.Regime, &o.Kind, &o.Predicted, &o.Observed, &o.SD, &o.Allowed, &o.Speed, &l.Forgotten)
		return l, err
	}, `SELECT tap, iif(day IN (SELECT id FROM day), day, 0), task, at, bread, dough, name, number, regime, kind, predicted, observed, sd, allowed, speed, forgotten
		FROM observation ORDER BY at, tap`)
}
