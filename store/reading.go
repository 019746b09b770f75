package store

import (
	"context"
	"database/sql"
	"math"

	"ovenward/store/record"
)

// Read keeps a temperature that was read; one whose ID is there already is not
// kept again and no error (record.ErrInvalid).
func (s *Store) Read(ctx context.Context, r record.Reading) (err error) {
	defer wrap(&err, "reading %s", r.ID)
	switch c := float64(r.Celsius); {
	case r.ID == "" || len(r.ID) > 64:
		return refuse(record.ErrInvalid, "a reading needs an ID of at most 64 letters")
	case math.IsNaN(c) || c < -40 || c > 120:
		return refuse(record.ErrInvalid, "%g °C is no temperature of a place where dough waits; give -40 to 120", c)
	case r.At.IsZero() || r.Minute < 0 || r.Minute >= 24*60:
		return refuse(record.ErrInvalid, "a reading needs its time")
	}
	return insertReading(ctx, s.w, r)
}

func insertReading(ctx context.Context, db execer, r record.Reading) error {
	_, err := db.ExecContext(ctx, "INSERT INTO reading (id, place, at, minute, celsius) VALUES (?, ?, ?, ?, ?) ON CONFLICT DO NOTHING",
		r.ID, r.Place, ms(r.At), r.Minute, r.Celsius)
	return err
}

// Readings gives every temperature that was read and not taken back, by time.
func (s *Store) Readings(ctx context.Context) (all []record.Reading, err error) {
	defer wrap(&err, "readings")
	return readings(ctx, s.r)
}

func readings(ctx context.Context, q querier) ([]record.Reading, error) {
	return collect(ctx, q, func(rows *sql.Rows) (r record.Reading, err error) {
		err = rows.Scan(&r.ID, &r.Place, instant{time: &r.At}, &r.Minute, &r.Celsius)
		return r, err
	}, "SELECT id, place, at, minute, celsius FROM reading WHERE NOT EXISTS (SELECT 1 FROM tap WHERE undoes = reading.id) ORDER BY at, id")
}

// ForgetReadings drops what was read in a place.
func (s *Store) ForgetReadings(ctx context.Context, place string) (err error) {
	defer wrap(&err, "forget readings of %q", place)
	_, err = s.w.ExecContext(ctx, "DELETE FROM reading WHERE place = ?", place)
	return err
}
