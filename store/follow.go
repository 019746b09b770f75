package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// follow moves the calls of what hangs by the clock on what was just said, or
// taken back: bread comes out its bake after it went in. It says of each when it
// was due before.
func follow(ctx context.Context, tx *sql.Tx, t record.Tap) error {
	switch t.Kind {
	case record.Started, record.Finished, record.NotYet, record.Skipped, record.Undo:
	default:
		return nil
	}
	var p schedule.Plan
	var from schedule.Day
	err := tx.QueryRowContext(ctx, "SELECT body, made_from FROM plan WHERE day = ? AND version = ?", t.Day, t.Version).Scan(document{&p}, document{&from})
	if err != nil {
		return err
	}
	base, err := baseOf(ctx, tx, t.Day, t.Version)
	if err != nil {
		return err
	}
	said, err := log(ctx, tx, t.Day, base, t.Version)
	if err != nil {
		return err
	}
	all, err := alerts(ctx, tx, "WHERE alert.day = ? ORDER BY alert.id", t.Day)
	if err != nil {
		return err
	}
	newest := map[call]*record.Alert{}
	for i := range all {
		newest[callOf(all[i])] = &all[i]
	}
	of := map[string]schedule.Task{}
	planned := map[string]time.Time{}
	for _, k := range p.Tasks {
		of[k.ID] = k
	}
	for _, a := range schedule.Alerts(&p) {
		planned[a.Task+" "+string(a.Kind)] = a.Due
	}
	if err := settleBefore(ctx, tx, t, of, all); err != nil {
		return err
	}
	for _, next := range schedule.Alerts(schedule.Follow(&from, &p, said)) {
		k := of[next.Task]
		a := newest[call{next.Task, next.Kind, k.Name, k.Kind}]
		asPlanned := next.Due.Equal(planned[next.Task+" "+string(next.Kind)])
		if a == nil || asPlanned && a.Reason != record.Moved || !follows(a, next, t.Recorded) {
			continue
		}
		was := a.Due
		if asPlanned { // what moved it was taken back
			was = time.Time{}
		}
		if err := reschedule(ctx, tx, a, next, was, t.Recorded); err != nil {
			return err
		}
	}
	return nil
}

// settleBefore settles the calls of what must be done when a task is begun or done:
// the works before it of the same dough, though nobody said so of them.
func settleBefore(ctx context.Context, tx *sql.Tx, t record.Tap, of map[string]schedule.Task, all []record.Alert) error {
	now := of[t.Task]
	if t.Kind != record.Started && t.Kind != record.Finished || now.Kind.Rises() {
		return nil
	}
	for i := range all {
		a := &all[i]
		before := of[a.Task]
		if a.State == record.Done || a.State == record.Suppressed || !before.Start.Before(now.Start) || callOf(*a) != (call{before.ID, a.Kind, before.Name, before.Kind}) || !before.LeadsTo(&now) {
			continue
		}
		enter(a, record.Done, "", t.Recorded)
		if err := saveAlert(ctx, tx, a, t.ID); err != nil {
			return err
		}
	}
	return nil
}

// follows says whether a call goes with what was said: one yet to ring, unless
// it only trembles, and one that has rung and is wanted later.
func follows(a *record.Alert, next schedule.Alert, now time.Time) bool {
	switch a.State {
	case record.Scheduled:
		return !a.Stays(next, now)
	case record.Rung, record.Acked, record.Shelved, record.Missed, record.Past:
		return next.Due.After(now) && !a.Stays(next, now)
	}
	return false
}

// reschedule gives a call another time, as if it had not rung yet.
func reschedule(ctx context.Context, tx *sql.Tx, a *record.Alert, next schedule.Alert, was, now time.Time) error {
	if a.State == record.Scheduled { // the log hears of other states by itself
		_, err := tx.ExecContext(ctx, "INSERT INTO alert_log (alert, at, old, new, reason, tap) VALUES (?, ?, ?, ?, ?, '')",
			a.ID, ms(now), a.State, record.Scheduled, record.Moved)
		if err != nil {
			return err
		}
	}
	moved := record.Alert{Alert: next, ID: a.ID, Was: was}
	enter(&moved, record.Scheduled, record.Moved, now)
	if _, err := tx.ExecContext(ctx, "UPDATE alert SET due = ?, was = ?, tap = '' WHERE id = ?", ms(next.Due), ms(was), a.ID); err != nil {
		return err
	}
	return saveAlert(ctx, tx, &moved, "")
}

// baseOf is the version a plan was repaired from, itself if from none.
func baseOf(ctx context.Context, tx *sql.Tx, day int64, version int) (base int, err error) {
	err = tx.QueryRowContext(ctx, "SELECT base FROM repair WHERE day = ? AND version = ?", day, version).Scan(&base)
	if errors.Is(err, sql.ErrNoRows) {
		return version, nil
	}
	return base, err
}
