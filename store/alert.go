package store

import (
	"context"
	"database/sql"
	"slices"
	"time"

	"ovenward/store/record"
)

const alertColumns = `alert.id, alert.day, alert.version, task, kind, alert.name, stage, class, baker, due, too_far, was, rung, state, reason, changed`

// ClaimDue takes every scheduled call that is due by now as rung, or as missed
// if its too far has passed, and gives it to this caller only: however often and
// from wherever it is asked, and whatever clocks do, no call is given twice. It
// gives them by time. Calls of a day with a fixed now are never due.
func (s *Store) ClaimDue(ctx context.Context, now time.Time) (all []record.Alert, err error) {
	defer wrap(&err, "claim due alerts")
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		all, err = collect(ctx, tx, scanAlert, `UPDATE alert
			SET state = CASE WHEN too_far <= ?1 THEN 'missed' ELSE 'due' END, rung = ?1, changed = ?1, tap = ''
			WHERE state = 'scheduled' AND due <= ?1 AND day IN (SELECT id FROM day WHERE now = '')
			RETURNING `+alertColumns+`, (SELECT zone FROM day WHERE day.id = alert.day)`, ms(now))
		return err
	})
	slices.SortFunc(all, func(a, b record.Alert) int {
		if c := a.Due.Compare(b.Due); c != 0 {
			return c
		}
		return int(a.ID - b.ID)
	})
	return all, err
}

// NextDue tells when the next call falls due, which may be in the past, and
// whether there is one.
func (s *Store) NextDue(ctx context.Context) (at time.Time, ok bool, err error) {
	defer wrap(&err, "next due alert")
	err = s.r.QueryRowContext(ctx, `SELECT min(due) FROM alert
		WHERE state = 'scheduled' AND day IN (SELECT id FROM day WHERE now = '')`).Scan(instant{time: &at})
	return at, !at.IsZero(), err
}

// ActiveAlerts gives the calls of a day that want something of the baker now:
// rung, acknowledged or missed, and not done; by time.
func (s *Store) ActiveAlerts(ctx context.Context, day int64) (all []record.Alert, err error) {
	defer wrap(&err, "active alerts of day %d", day)
	return alerts(ctx, s.r, "WHERE alert.day = ? AND state IN ('due', 'acked', 'missed') ORDER BY due, alert.id", day)
}

// Alerts gives every call a day ever had, by time.
func (s *Store) Alerts(ctx context.Context, day int64) (all []record.Alert, err error) {
	defer wrap(&err, "alerts of day %d", day)
	return alerts(ctx, s.r, "WHERE alert.day = ? ORDER BY due, alert.id", day)
}

// AlertLog gives every transition of a day's calls in the order they happened.
func (s *Store) AlertLog(ctx context.Context, day int64) (all []record.Transition, err error) {
	defer wrap(&err, "alert log of day %d", day)
	return collect(ctx, s.r, func(rows *sql.Rows) (t record.Transition, err error) {
		err = rows.Scan(&t.Alert, instant{time: &t.At}, &t.From, &t.To, &t.Reason, &t.Tap)
		return t, err
	}, `SELECT alert, at, old, new, alert_log.reason, alert_log.tap FROM alert_log JOIN alert ON alert.id = alert
		WHERE day = ? ORDER BY seq`, day)
}

func alerts(ctx context.Context, q querier, where string, args ...any) ([]record.Alert, error) {
	return collect(ctx, q, scanAlert, "SELECT "+alertColumns+", zone FROM alert JOIN day ON day.id = alert.day "+where, args...)
}

func scanAlert(rows *sql.Rows) (a record.Alert, err error) {
	var in string
	err = rows.Scan(&a.ID, &a.Day, &a.Version, &a.Task, &a.Kind, &a.Name, &a.Stage, &a.Class, &a.Baker,
		instant{time: &a.Due}, instant{time: &a.TooFar}, instant{time: &a.Was}, instant{time: &a.Rung}, &a.State, &a.Reason, instant{time: &a.Changed}, &in)
	if err != nil {
		return a, err
	}
	loc, err := zone(in)
	if err != nil {
		return a, err
	}
	for _, t := range []*time.Time{&a.Due, &a.TooFar, &a.Was, &a.Rung, &a.Changed} {
		if !t.IsZero() {
			*t = t.In(loc)
		}
	}
	return a, nil
}
