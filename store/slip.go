package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// Say keeps a tap as Tap does and, in the same breath, what it says of the day
// where that is more than the tap's own words; nil for nothing more. The slip
// gets the tap's ID.
func (s *Store) Say(ctx context.Context, t record.Tap, slip *schedule.Slip) (stored bool, err error) {
	defer wrap(&err, "say %s", t.ID)
	if t.Kind == record.Accepted {
		return false, refuse(record.ErrInvalid, "a plan is taken with its choice, not by a tap alone")
	}
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		stored, err = say(ctx, tx, t, slip)
		return err
	})
	return stored && err == nil, err
}

// SayAll keeps what one touch says of the day, all of it or nothing. What is said
// first has the ID of t, which tells the day, the plan and when it was recorded; the
// rest is named after it. Kinds and times are the slips' own.
func (s *Store) SayAll(ctx context.Context, t record.Tap, all []schedule.Slip) (err error) {
	defer wrap(&err, "say all of %s", t.ID)
	return s.inTx(ctx, func(tx *sql.Tx) error {
		for i, slip := range all {
			one := record.Tap{ID: t.ID, Day: t.Day, Version: t.Version, Kind: record.TapKind(slip.Kind), At: slip.At, Recorded: t.Recorded}
			if i > 0 {
				one.ID = fmt.Sprintf("%s-%d", t.ID, i)
			}
			if _, err := say(ctx, tx, one, &slip); err != nil {
				return err
			}
		}
		return nil
	})
}

func say(ctx context.Context, tx *sql.Tx, t record.Tap, slip *schedule.Slip) (stored bool, err error) {
	if stored, err = keepTap(ctx, tx, t); err != nil || !stored {
		return false, err
	}
	if slip != nil {
		said := *slip
		said.ID = t.ID
		if err := insertSlip(ctx, tx, said); err != nil {
			return false, err
		}
	}
	return true, follow(ctx, tx, t)
}

func insertSlip(ctx context.Context, tx *sql.Tx, s schedule.Slip) error {
	body, err := text(s)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, "INSERT INTO slip (tap, body) VALUES (?, ?)", s.ID, body)
	return err
}

// Running gives a day under way (record.ErrNotFound before its first plan).
// Breads of orders that came in since are in its base.
func (s *Store) Running(ctx context.Context, day int64) (r record.Running, err error) {
	defer wrap(&err, "running of day %d", day)
	err = s.view(ctx, func(tx *sql.Tx) error {
		if r.Plan, err = onePlan(ctx, tx, day, newestPlan); err != nil {
			return err
		}
		base, err := baseOf(ctx, tx, day, r.Version)
		if err != nil {
			return err
		}
		r.Since = base
		err = tx.QueryRowContext(ctx, "SELECT made_from FROM plan WHERE day = ? AND version = ?", day, base).Scan(document{&r.Base})
		if err != nil {
			return err
		}
		r.Keys, err = collect(ctx, tx, scanText, "SELECT accept FROM repair WHERE day = ? AND base = ? AND version <= ?", day, base, r.Version)
		if err != nil {
			return err
		}
		if r.Log, err = log(ctx, tx, day, base, r.Version); err != nil {
			return err
		}
		for _, s := range r.Log {
			if s.New == nil {
				continue
			}
			if err := addBread(ctx, tx, &r.Base, s.New.Bread); err != nil && !errors.Is(err, sql.ErrNoRows) {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return r, err
	}
	loc, err := zone(r.Plan.Plan.Zone)
	if err == nil {
		schedule.Relocate(&r.Log, loc)
	}
	return r, err
}

// log is what happened on plans from base to version, without what was taken
// back.
func log(ctx context.Context, tx *sql.Tx, day int64, base, version int) ([]schedule.Slip, error) {
	return saidWhere(ctx, tx, "day = ? AND version BETWEEN ? AND ?", day, base, version)
}

// personal is what was said of people's hours on a day, whatever has been planned
// since.
func personal(ctx context.Context, tx *sql.Tx, day int64) ([]schedule.Slip, error) {
	all, err := saidWhere(ctx, tx, "day = ? AND body IS NOT NULL", day)
	return slices.DeleteFunc(all, func(s schedule.Slip) bool { return !s.Kind.Personal() }), err
}

// saidWhere is what taps say happened, without what was taken back, in order of
// arrival.
func saidWhere(ctx context.Context, tx *sql.Tx, where string, args ...any) ([]schedule.Slip, error) {
	type said struct {
		slip schedule.Slip
		ok   bool
	}
	all, err := collect(ctx, tx, func(rows *sql.Rows) (s said, err error) {
		var t record.Tap
		var more schedule.Slip
		err = rows.Scan(&t.ID, &t.Task, &t.Kind, instant{time: &t.At}, &t.Minutes, &t.Value, document{&more})
		if s.slip, s.ok = t.Say(); more.Kind != "" {
			s.slip, s.ok = more, true
		}
		return s, err
	}, `SELECT id, task, kind, at, minutes, value, body FROM tap LEFT JOIN slip ON slip.tap = tap.id
		WHERE `+where+` AND NOT EXISTS (SELECT 1 FROM tap u WHERE u.undoes = tap.id) ORDER BY seq`, args...)
	var out []schedule.Slip
	for _, s := range all {
		if s.ok {
			out = append(out, s.slip)
		}
	}
	return out, err
}

// Accept keeps the repair of a plan as the day's newest, with its calls, like
// SavePlan, and the day's orders as they have become. former is the version it
// repairs (record.ErrReplaced if that is not the newest), key a name of the
// client's own: what is accepted twice counts once and gives the same version. It
// is kept as a tap with that ID, so that an undo takes the plan back.
func (s *Store) Accept(ctx context.Context, id int64, key string, former int, from schedule.Day, p schedule.Plan, alerts []schedule.Alert, now time.Time) (version int, err error) {
	defer wrap(&err, "accept %s on day %d", key, id)
	if key == "" || len(key) > 64 {
		return 0, refuse(record.ErrInvalid, "what is accepted needs an ID of at most 64 letters")
	}
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		err := tx.QueryRowContext(ctx, "SELECT version FROM repair WHERE accept = ? AND day = ?", key, id).Scan(&version)
		if !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		taken := record.Tap{ID: key, Day: id, Version: former, Kind: record.Accepted, At: now, Recorded: now}
		if _, err := keepTap(ctx, tx, taken); err != nil {
			return err
		}
		base, err := baseOf(ctx, tx, id, former)
		if err != nil {
			return err
		}
		version, err = repair(ctx, tx, taken, base, from, p, alerts)
		return err
	})
	return version, err
}

// repair makes a plan that a tap asks for the day's newest.
func repair(ctx context.Context, tx *sql.Tx, t record.Tap, base int, from schedule.Day, p schedule.Plan, alerts []schedule.Alert) (version int, err error) {
	if version, err = savePlan(ctx, tx, t.Day, from, p, alerts, t.Recorded); err != nil {
		return 0, err
	}
	if _, err := tx.ExecContext(ctx, "INSERT INTO repair (day, version, base, accept) VALUES (?, ?, ?, ?)", t.Day, version, base, t.ID); err != nil {
		return 0, err
	}
	return version, takeOrders(ctx, tx, t.Day, from.Orders)
}

// takeOrders makes the day's wish what is made now.
func takeOrders(ctx context.Context, tx *sql.Tx, id int64, all []schedule.Order) error {
	d, err := day(ctx, tx, id)
	if err != nil {
		return err
	}
	d.Orders = nil
	for _, o := range all {
		if o.Pieces > 0 {
			d.Orders = append(d.Orders, o)
		}
	}
	return saveOrders(ctx, tx, d)
}
