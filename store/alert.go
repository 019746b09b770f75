package store

import (
	"context"
	"database/sql"
	"time"

	"ovenward/store/record"
)

const alertColumns = `alert.id, alert.day, alert.version, task, kind, alert.name, stage, class, baker, place, takes, due, too_far, was,
	rung, last, rings, next, acked, shelved, snoozes, decision, state, reason, changed, zone`

// Alerts gives every call a day ever had, by time.
func (s *Store) Alerts(ctx context.Context, day int64) (all []record.Alert, err error) {
	defer wrap(&err, "alerts of day %d", day)
	return alerts(ctx, s.r, "WHERE alert.day = ? ORDER BY due, alert.id", day)
}

// AlertLog gives every transition and ring of a day's calls in the order they
// happened.
func (s *Store) AlertLog(ctx context.Context, day int64) (all []record.Transition, err error) {
	defer wrap(&err, "alert log of day %d", day)
	return alertLog(ctx, s.r, "day = ?", day)
}

func alertLog(ctx context.Context, q querier, where string, args ...any) ([]record.Transition, error) {
	return collect(ctx, q, func(rows *sql.Rows) (t record.Transition, err error) {
		err = rows.Scan(&t.Alert, instant{time: &t.At}, &t.From, &t.To, &t.Reason, &t.Tap)
		return t, err
	}, "SELECT alert, at, old, new, alert_log.reason, alert_log.tap FROM alert_log JOIN alert ON alert.id = alert WHERE "+where+" ORDER BY seq", args...)
}

func alerts(ctx context.Context, q querier, where string, args ...any) ([]record.Alert, error) {
	return collect(ctx, q, scanAlert, "SELECT "+alertColumns+" FROM alert JOIN day ON day.id = alert.day "+where, args...)
}

func scanAlert(rows *sql.Rows) (a record.Alert, err error) {
	var in string
	h := &a.Heard
	times := []*time.Time{&a.Due, &a.TooFar, &a.Was, &a.Rung, &h.Last, &a.Next, &h.Acked, &h.Shelved, &a.Changed}
	err = rows.Scan(&a.ID, &a.Day, &a.Version, &a.Task, &a.Kind, &a.Name, &a.Stage, &a.Class, &a.Baker, &a.Place, &a.Takes,
		instant{time: &a.Due}, instant{time: &a.TooFar}, instant{time: &a.Was},
		instant{time: &a.Rung}, instant{time: &h.Last}, &a.Rings, instant{time: &a.Next},
		instant{time: &h.Acked}, instant{time: &h.Shelved}, &h.Snoozes, &a.Decision, &a.State, &a.Reason, instant{time: &a.Changed}, &in)
	if err != nil {
		return a, err
	}
	loc, err := zone(in)
	if err != nil {
		return a, err
	}
	for _, t := range times {
		if !t.IsZero() {
			*t = t.In(loc)
		}
	}
	return a, nil
}

// enter brings a call into a state.
func enter(a *record.Alert, to record.AlertState, why record.Reason, at time.Time) {
	a.State, a.Reason, a.Changed = to, why, at
}

// saveAlert keeps what became of a call and reckons when it rings next. tap is
// the ID of the tap that brought it into its state, "" for the clock or a plan;
// one that stays in its state keeps its tap.
func saveAlert(ctx context.Context, tx *sql.Tx, a *record.Alert, tap string) error {
	a.Next = time.Time{}
	if a.State != record.Done && a.State != record.Suppressed {
		a.Next, _ = a.Alert.Next(a.Heard)
	}
	h := a.Heard
	_, err := tx.ExecContext(ctx, `UPDATE alert SET class = ?, baker = ?, place = ?, takes = ?, too_far = ?,
		rung = ?, last = ?, rings = ?, next = ?, acked = ?, shelved = ?, snoozes = ?, decision = ?,
		tap = iif(state = ?, tap, ?), state = ?, reason = ?, changed = ? WHERE id = ?`,
		a.Class, a.Baker, a.Place, a.Takes, ms(a.TooFar),
		ms(a.Rung), ms(h.Last), a.Rings, ms(a.Next), ms(h.Acked), ms(h.Shelved), h.Snoozes, a.Decision,
		a.State, tap, a.State, a.Reason, ms(a.Changed), a.ID)
	return err
}
