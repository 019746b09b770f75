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

// undo takes back a tap, with all that was said with the same touch.
func undo(ctx context.Context, tx *sql.Tx, t record.Tap) error {
	said, err := taps(ctx, tx, t.Day)
	if err != nil {
		return err
	}
	back, err := takenBack(said, t)
	if err != nil {
		return err
	}
	gone := map[string]bool{}
	for _, o := range back {
		u := t
		u.ID, u.Of = t.ID+o.ID[len(t.Of):], o.ID
		if o.ID != t.Of {
			u.Task = o.Task
		}
		if err := insertTap(ctx, tx, u); err != nil {
			return err
		}
		gone[o.ID] = true
	}
	base, err := baseOf(ctx, tx, t.Day, t.Version)
	if err != nil {
		return err
	}
	for _, x := range said {
		if x.Undone || x.Kind == record.Undo {
			gone[x.ID] = true
		}
	}
	b := backward{tx: tx, undo: t, base: base, said: said, void: gone}
	for _, o := range back {
		if err := b.calls(ctx, o); err != nil {
			return err
		}
		if err := b.plan(ctx, o); err != nil {
			return err
		}
	}
	return nil
}

// takenBack is what an undo takes back, the tap it names first. It refuses one
// that is not of the day, taken back already or too old.
func takenBack(said []record.Tap, t record.Tap) (back []record.Tap, err error) {
	for _, o := range said {
		switch {
		case o.ID == t.Of && (o.Undone || o.Kind == record.Undo):
			return nil, refuse(record.ErrInvalid, "this has been taken back already")
		case o.ID == t.Of && o.Left(t.Recorded) < 0:
			return nil, refuse(record.ErrTooLate, "this can no longer be taken back: it was tapped more than %d minutes ago", int(record.UndoFor.Minutes()))
		case o.ID == t.Of:
			back = append(back, o)
		}
	}
	if len(back) == 0 {
		return nil, refuse(record.ErrNotFound, "nothing like that was said on this day, so it cannot be taken back")
	}
	for _, o := range said {
		if !o.Undone && back[0].With(o) {
			back = append(back, o)
		}
	}
	return back, nil
}

// backward undoes what taps have done.
type backward struct {
	tx   *sql.Tx
	undo record.Tap
	base int             // plan the day was last planned anew in
	said []record.Tap    // of the day, in order of arrival
	void map[string]bool // those that count no more, and undos
}

// calls gives the calls that a tap has moved what they would have without it,
// after all else that was said and rung. In which order taps are taken back makes
// no difference.
func (b *backward) calls(ctx context.Context, o record.Tap) error {
	if o.Version < b.base {
		return nil // its calls are no more
	}
	all, err := alerts(ctx, b.tx, "WHERE alert.day = ?1 AND (task = ?2 OR EXISTS (SELECT 1 FROM alert_log l WHERE l.alert = alert.id AND l.tap = ?3)) ORDER BY alert.id", o.Day, o.Task, o.ID)
	if err != nil {
		return err
	}
	for i := range all {
		if err := b.call(ctx, &all[i], o); err != nil {
			return err
		}
	}
	return nil
}

func (b *backward) call(ctx context.Context, a *record.Alert, o record.Tap) error {
	last, err := b.last(ctx, a.ID)
	if err != nil || last.To == a.State && a.State != record.Shelved {
		return err
	}
	by := b.tap(last.Tap)
	enter(a, last.To, last.Reason, b.undo.Recorded)
	h := &a.Heard
	if o.Kind == record.Snooze && h.Snoozes > 0 {
		h.Snoozes--
	}
	switch {
	case a.State != record.Acked:
		h.Acked = time.Time{}
	case h.Acked.IsZero(): // it was put off meanwhile
		h.Acked = b.undo.Recorded
	}
	h.Shelved, a.Decision = time.Time{}, ""
	if a.State == record.Shelved {
		h.Shelved = shelf(by)
	}
	if decides(by.Kind) {
		a.Decision = by.Kind
	}
	if err := saveAlert(ctx, b.tx, a, b.undo.ID); err != nil {
		return err
	}
	return b.again(ctx, a, last)
}

// last is the last step in the life of a call that counts.
func (b *backward) last(ctx context.Context, call int64) (last record.Transition, err error) {
	log, err := alertLog(ctx, b.tx, "alert.id = ?", call)
	for _, x := range log {
		if x.Reason != record.Again && !b.void[x.Tap] {
			last = x
		}
	}
	return last, err
}

// tap is the tap of an ID, the zero one for none.
func (b *backward) tap(id string) (t record.Tap) {
	if i := slices.IndexFunc(b.said, func(x record.Tap) bool { return x.ID == id }); i >= 0 {
		t = b.said[i]
	}
	return t
}

// again lets a call hear what was said of its task since its last step that counts:
// that may not have moved it then, and does now.
func (b *backward) again(ctx context.Context, a *record.Alert, last record.Transition) error {
	since := slices.IndexFunc(b.said, func(x record.Tap) bool { return x.ID == last.Tap })
	for i, x := range b.said {
		if x.Task != a.Task || b.void[x.ID] || i <= since || since < 0 && x.Recorded.Before(last.At) {
			continue
		}
		_, err := move(ctx, b.tx, x, b.undo.Recorded, "alert.id = ?", a.ID)
		if _, refused := errors.AsType[*record.Error](err); err != nil && !refused { // put off for longer than it now may be
			return err
		}
	}
	return nil
}

// plan brings back the plan that a choice has replaced, if the tap took one.
func (b *backward) plan(ctx context.Context, o record.Tap) error {
	if o.Kind != record.Accepted {
		return nil
	}
	for _, x := range b.said {
		if x.Kind == record.Accepted && x.Version > o.Version && !b.void[x.ID] {
			return refuse(record.ErrInvalid, "another plan was taken after this one; take that back first")
		}
	}
	if o.Version < b.base {
		return refuse(record.ErrInvalid, "the day has been planned anew since; the plan before cannot come back")
	}
	var p schedule.Plan
	var from schedule.Day
	err := b.tx.QueryRowContext(ctx, "SELECT body, made_from FROM plan WHERE day = ? AND version = ?", o.Day, o.Version).Scan(document{&p}, document{&from})
	if err != nil {
		return fmt.Errorf("plan %d: %w", o.Version, err)
	}
	_, err = repair(ctx, b.tx, b.undo, b.base, from, p, schedule.AlertsFrom(&p, b.undo.Recorded))
	return err
}
