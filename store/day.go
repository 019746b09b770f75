package store

import (
	"context"
	"database/sql"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

const dayColumns = "id, date, name, zone, now, settings, room, example, version, updated"

// Days gives all days by date, with their orders.
func (s *Store) Days(ctx context.Context) (all []record.Day, err error) {
	defer wrap(&err, "days")
	err = s.view(ctx, func(tx *sql.Tx) error {
		all, err = daysWhere(ctx, tx, "FROM day ORDER BY date, id")
		return err
	})
	return all, err
}

// DayRecord gives one day as it is kept (record.ErrNotFound).
func (s *Store) DayRecord(ctx context.Context, id int64) (d record.Day, err error) {
	defer wrap(&err, "day %d", id)
	err = s.view(ctx, func(tx *sql.Tx) error {
		d, err = day(ctx, tx, id)
		return err
	})
	return d, err
}

// CreateDay adds a day and gives its ID. ID, Version and Updated of d are not
// looked at. Its zone must be known and its promises must each be one instant
// (record.ErrInvalid); its breads must be there (record.ErrNotFound).
func (s *Store) CreateDay(ctx context.Context, d record.Day) (id int64, err error) {
	defer wrap(&err, "create day %q", d.Name)
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		id, err = insertDay(ctx, tx, d, s.now())
		return err
	})
	return id, err
}

// SaveDay replaces name, zone, now, settings, room and orders of a day, with the
// demands of CreateDay. Its plan stays until another is saved.
func (s *Store) SaveDay(ctx context.Context, d record.Day) (err error) {
	defer wrap(&err, "save day %d", d.ID)
	return s.inTx(ctx, func(tx *sql.Tx) error { return saveDay(ctx, tx, d, s.now()) })
}

// DeleteDay removes a day with its plans, calls and taps (record.ErrNotFound).
func (s *Store) DeleteDay(ctx context.Context, id int64) (err error) {
	defer wrap(&err, "delete day %d", id)
	return s.inTx(ctx, func(tx *sql.Tx) error {
		res, err := tx.ExecContext(ctx, "DELETE FROM day WHERE id = ?", id)
		if err != nil {
			return err
		}
		if err := some(res, "this day"); err != nil {
			return err
		}
		return sweep(ctx, tx)
	})
}

func day(ctx context.Context, tx *sql.Tx, id int64) (record.Day, error) {
	all, err := collect(ctx, tx, scanDay, "SELECT "+dayColumns+" FROM day WHERE id = ?", id)
	if err == nil && len(all) == 0 {
		err = gone("this day")
	}
	if err != nil {
		return record.Day{}, err
	}
	by, err := orders(ctx, tx, "WHERE day = ?", id)
	d := all[0]
	d.Orders = by[id]
	return d, err
}

func scanDay(rows *sql.Rows) (d record.Day, err error) {
	err = rows.Scan(&d.ID, &d.Date, &d.Name, &d.Zone, &d.Now, document{&d.Settings}, document{&d.Room}, &d.Example, &d.Version, instant{time: &d.Updated})
	return d, err
}

func insertDay(ctx context.Context, tx *sql.Tx, d record.Day, now time.Time) (int64, error) {
	row, err := dayRow(d, now)
	if err != nil {
		return 0, err
	}
	res, err := tx.ExecContext(ctx, `INSERT INTO day (date, name, zone, now, settings, room, updated, example) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
		append(row, d.Example)...)
	if err != nil {
		return 0, err
	}
	if d.ID, err = res.LastInsertId(); err != nil {
		return 0, err
	}
	return d.ID, saveOrders(ctx, tx, d)
}

func saveDay(ctx context.Context, tx *sql.Tx, d record.Day, now time.Time) error {
	row, err := dayRow(d, now)
	if err != nil {
		return err
	}
	res, err := tx.ExecContext(ctx, `UPDATE day SET date = ?, name = ?, zone = ?, now = ?, settings = ?, room = ?, updated = ? WHERE id = ?`,
		append(row, d.ID)...)
	if err != nil {
		return err
	}
	if err := some(res, "this day"); err != nil {
		return err
	}
	if err := saveOrders(ctx, tx, d); err != nil {
		return err
	}
	return sweep(ctx, tx)
}

// dayRow gives date, name, zone, now, settings, room, updated.
func dayRow(d record.Day, now time.Time) ([]any, error) {
	loc, err := zone(d.Zone)
	if err != nil {
		return nil, err
	}
	if d.Now != "" {
		if _, err := d.Now.In(loc); err != nil {
			return nil, refuse(record.ErrInvalid, "the day's now: %v", err)
		}
	}
	date, err := firstDate(d, loc)
	if err != nil {
		return nil, err
	}
	settings, err := text(d.Settings)
	if err != nil {
		return nil, err
	}
	var room any
	if d.Room != nil {
		if room, err = text(d.Room); err != nil {
			return nil, err
		}
	}
	return []any{date, d.Name, d.Zone, string(d.Now), settings, room, ms(now)}, nil
}

// zone loads a zone by its IANA name; Go would take "" for UTC and "Local" for
// this machine's.
func zone(name string) (*time.Location, error) {
	if name != "" && name != "Local" {
		if loc, err := time.LoadLocation(name); err == nil {
			return loc, nil
		}
	}
	return nil, refuse(record.ErrInvalid, "%q is not a time zone; write one as Europe/Dublin", name)
}

func firstDate(d record.Day, loc *time.Location) (string, error) {
	var first time.Time
	for i, o := range d.Orders {
		t, err := promise(i, o, loc)
		if err != nil {
			return "", err
		}
		if !t.IsZero() && (first.IsZero() || t.Before(first)) {
			first = t
		}
	}
	if !first.IsZero() {
		return first.Format(time.DateOnly), nil
	}
	if _, err := time.Parse(time.DateOnly, d.Date); err != nil {
		return "", refuse(record.ErrInvalid, "%q is not a date; write it as 2026-11-28", d.Date)
	}
	return d.Date, nil
}

// promise gives the instant of line i's promise, zero if there is none yet.
func promise(i int, o schedule.Order, loc *time.Location) (time.Time, error) {
	if o.Promise() == "" {
		return time.Time{}, nil
	}
	t, err := o.Promise().In(loc)
	if err != nil {
		return t, refuse(record.ErrInvalid, "order %d: %v", i+1, err)
	}
	return t, nil
}
