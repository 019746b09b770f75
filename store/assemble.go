package store

import (
	"context"
	"database/sql"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// Day assembles everything a plan is made from: the day's orders, the breads and
// bases they need in the order they are first needed, the kitchen. Its now is
// the day's own or, by default, the given one, to the minute. People's hours are as
// they were said to be on the day.
func (s *Store) Day(ctx context.Context, id int64, now time.Time) (d schedule.Day, err error) {
	defer wrap(&err, "assemble day %d", id)
	err = s.view(ctx, func(tx *sql.Tx) error {
		r, err := day(ctx, tx, id)
		if err != nil {
			return err
		}
		d, err = assemble(ctx, tx, r, now)
		return err
	})
	return d, err
}

func assemble(ctx context.Context, tx *sql.Tx, r record.Day, now time.Time) (schedule.Day, error) {
	d := schedule.Day{
		Format: schedule.DayFormat, Name: r.Name, Example: r.Example, Zone: r.Zone,
		Now: r.Now, Settings: r.Settings, Orders: r.Orders,
	}
	loc, err := zone(r.Zone)
	if err != nil {
		return d, err
	}
	if d.Now == "" {
		d.Now = schedule.WallOf(now.In(loc))
	}
	if d.Kitchen, _, err = kitchen(ctx, tx); err != nil {
		return d, err
	}
	said, err := personal(ctx, tx, r.ID)
	if err != nil {
		return d, err
	}
	d.Kitchen.Bakers = schedule.People(d.Kitchen.Bakers, said, loc)
	if bench, ok := d.Kitchen.Place(""); ok && r.Room != nil {
		bench.Curve = slices.Clone(r.Room)
	}
	for _, o := range r.Orders {
		if err := addBread(ctx, tx, &d, o.Bread); err != nil {
			return d, err
		}
	}
	if err := dress(ctx, tx, &d); err != nil {
		return d, err
	}
	known, err := book(ctx, tx)
	if err != nil {
		return d, err
	}
	d.Learn(known, morning(r.Date, loc, now))
	return d, nil
}

// morning is a date as an instant, now for none.
func morning(date string, loc *time.Location, now time.Time) time.Time {
	if t, err := time.ParseInLocation(time.DateOnly, date, loc); err == nil {
		return t
	}
	return now
}

// addBread adds a bread and its base if the day does not have them yet. Those
// deleted since are found too.
func addBread(ctx context.Context, tx *sql.Tx, d *schedule.Day, id string) error {
	if _, ok := d.Bread(id); ok {
		return nil
	}
	var b schedule.Bread
	if err := tx.QueryRowContext(ctx, "SELECT body FROM bread WHERE id = ?", id).Scan(document{&b}); err != nil {
		return err
	}
	d.Breads = append(d.Breads, b)
	if _, ok := d.Base(b.Base); ok || b.Base == "" {
		return nil
	}
	var base schedule.Base
	if err := tx.QueryRowContext(ctx, "SELECT body FROM base WHERE id = ?", b.Base).Scan(document{&base}); err != nil {
		return err
	}
	d.Bases = append(d.Bases, base)
	return nil
}
