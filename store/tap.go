package store

import (
	"context"
	"database/sql"
	"errors"
	"math"
	"regexp"

	"ovenward/store/record"
)

// Tap keeps a tap and moves the calls it answers. When it returns nil, the tap
// is on disk. A tap whose ID is there already is not stored again and no error.
// It fails with record.ErrReplaced if the plan it was made on is not the newest,
// with record.ErrTooLate for an undo after record.UndoFor, with
// record.ErrNotFound for one of an unknown tap or another day's, and with
// record.ErrInvalid.
func (s *Store) Tap(ctx context.Context, t record.Tap) (stored bool, err error) {
	return s.Say(ctx, t, nil)
}

func keepTap(ctx context.Context, tx *sql.Tx, t record.Tap) (stored bool, err error) {
	if err := validTap(t); err != nil {
		return false, err
	}
	if there, err := tapThere(ctx, tx, t); there || err != nil {
		return false, err
	}
	if err := onNewestPlan(ctx, tx, t); err != nil {
		return false, err
	}
	if t.Kind == record.Undo {
		return true, undo(ctx, tx, t)
	}
	for _, x := range touch(t) {
		if err := insertTap(ctx, tx, x); err != nil {
			return false, err
		}
		if err := answer(ctx, tx, x); err != nil {
			return false, err
		}
	}
	return true, nil
}

// touch is all that is said with a tap, itself first: what is lost with a dough.
func touch(t record.Tap) []record.Tap {
	all := []record.Tap{t}
	for _, task := range t.Also {
		also := t
		also.ID, also.Kind, also.Task = t.ID+"-"+task, record.Lost, task
		all = append(all, also)
	}
	return all
}

// Taps gives the taps of a day in the order they came in.
func (s *Store) Taps(ctx context.Context, day int64) (all []record.Tap, err error) {
	defer wrap(&err, "taps of day %d", day)
	return taps(ctx, s.r, day)
}

func taps(ctx context.Context, q querier, day int64) ([]record.Tap, error) {
	return collect(ctx, q, scanTap, `SELECT id, day, version, task, kind, coalesce(undoes, ''), at, recorded, minutes, value,
		EXISTS (SELECT 1 FROM tap u WHERE u.undoes = tap.id) FROM tap WHERE day = ? ORDER BY seq`, day)
}

func scanTap(rows *sql.Rows) (t record.Tap, err error) {
	err = rows.Scan(&t.ID, &t.Day, &t.Version, &t.Task, &t.Kind, &t.Of, instant{time: &t.At}, instant{time: &t.Recorded}, &t.Minutes, &t.Value, &t.Undone)
	return t, err
}

var tapKind = regexp.MustCompile(`^[a-z][a-z-]{0,30}$`)

func validTap(t record.Tap) error {
	switch {
	case t.ID == "" || len(t.ID) > 64:
		return refuse(record.ErrInvalid, "a tap needs an ID of at most 64 letters")
	case !tapKind.MatchString(string(t.Kind)):
		return refuse(record.ErrInvalid, "%q is not a kind of tap", t.Kind)
	case t.At.IsZero() || t.Recorded.IsZero():
		return refuse(record.ErrInvalid, "a tap needs its time")
	case math.IsNaN(t.Value) || math.IsInf(t.Value, 0):
		return refuse(record.ErrInvalid, "what was measured is not a number")
	case (t.Kind == record.Undo) != (t.Of != ""):
		return refuse(record.ErrInvalid, "an undo, and nothing else, names the tap it takes back")
	}
	return nil
}

func tapThere(ctx context.Context, tx *sql.Tx, t record.Tap) (bool, error) {
	var same bool
	err := tx.QueryRowContext(ctx, "SELECT day = ? AND task = ? AND kind = ? FROM tap WHERE id = ?", t.Day, t.Task, t.Kind, t.ID).Scan(&same)
	if errors.Is(err, sql.ErrNoRows) {
		return false, nil
	}
	if err == nil && !same {
		err = refuse(record.ErrInvalid, "another tap already has the ID %s", t.ID)
	}
	return true, err
}

func onNewestPlan(ctx context.Context, tx *sql.Tx, t record.Tap) error {
	var newest int
	if err := tx.QueryRowContext(ctx, "SELECT version FROM day WHERE id = ?", t.Day).Scan(&newest); err != nil {
		return orGone(err, "this day")
	}
	if newest == 0 {
		return refuse(record.ErrNotFound, "this day has no plan yet")
	}
	if t.Version != newest {
		return refuse(record.ErrReplaced, "the plan has changed meanwhile; look at the new one and tap again")
	}
	return nil
}

func insertTap(ctx context.Context, tx *sql.Tx, t record.Tap) error {
	_, err := tx.ExecContext(ctx, "INSERT INTO tap (id, day, version, task, kind, undoes, at, recorded, minutes, value) VALUES (?, ?, ?, ?, ?, nullif(?, ''), ?, ?, ?, ?)",
		t.ID, t.Day, t.Version, t.Task, t.Kind, t.Of, ms(t.At), ms(t.Recorded), t.Minutes, t.Value)
	return err
}
