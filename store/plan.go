package store

import (
	"context"
	"database/sql"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// SavePlan accepts a plan for a day, made from the day as given, and brings the
// day's calls in line with it, all at once: calls of former plans that have not
// been answered are suppressed (record.Moved, record.Dropped) and the new ones
// scheduled. A call that rings now, is being worked on or done is the same call
// in the new plan and stays as it is, unless the new plan wants it distinctly
// later. It gives the plan's version, 1 for a day's first.
func (s *Store) SavePlan(ctx context.Context, id int64, from schedule.Day, p schedule.Plan, alerts []schedule.Alert, now time.Time) (version int, err error) {
	defer wrap(&err, "save plan of day %d", id)
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		version, err = savePlan(ctx, tx, id, from, p, alerts, now)
		return err
	})
	return version, err
}

func savePlan(ctx context.Context, tx *sql.Tx, id int64, from schedule.Day, p schedule.Plan, alerts []schedule.Alert, now time.Time) (version int, err error) {
	err = tx.QueryRowContext(ctx, "UPDATE day SET version = version + 1, updated = ? WHERE id = ? RETURNING version", ms(now), id).Scan(&version)
	if err != nil {
		return 0, orGone(err, "this day")
	}
	if err := insertPlan(ctx, tx, record.Plan{Day: id, Version: version, Saved: now, From: from, Plan: p}); err != nil {
		return 0, err
	}
	return version, change{tx, id, version, now}.apply(ctx, p, alerts)
}

func insertPlan(ctx context.Context, tx *sql.Tx, p record.Plan) error {
	from, err := text(p.From)
	if err != nil {
		return err
	}
	body, err := text(p.Plan)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, "INSERT INTO plan (day, version, saved, made_from, body) VALUES (?, ?, ?, ?, ?)", p.Day, p.Version, ms(p.Saved), from, body)
	return err
}

const newestPlan = "ORDER BY version DESC LIMIT 1" // of the plans of a day

// Plan gives the newest plan of a day (record.ErrNotFound before the first).
func (s *Store) Plan(ctx context.Context, day int64) (r record.Plan, err error) {
	defer wrap(&err, "plan of day %d", day)
	return onePlan(ctx, s.r, day, newestPlan)
}

// FormerPlan gives a plan that a day had; of one long past only the last has its
// tasks (record.ErrNotFound for a version there never was).
func (s *Store) FormerPlan(ctx context.Context, day int64, version int) (r record.Plan, err error) {
	defer wrap(&err, "plan %d of day %d", version, day)
	return onePlan(ctx, s.r, day, "AND version = ?", version)
}

// onePlan gives the first of some plans of a day (record.ErrNotFound).
func onePlan(ctx context.Context, q querier, day int64, which string, args ...any) (record.Plan, error) {
	all, err := plans(ctx, q, day, which, args...)
	if err == nil && len(all) == 0 {
		err = refuse(record.ErrNotFound, "this day has no plan yet")
	}
	if err != nil {
		return record.Plan{Day: day}, err
	}
	return all[0], nil
}

// plans gives those plans of a day that which, the rest of the query, says.
func plans(ctx context.Context, q querier, day int64, which string, args ...any) ([]record.Plan, error) {
	return collect(ctx, q, func(rows *sql.Rows) (r record.Plan, err error) {
		r.Day = day
		if err := rows.Scan(&r.Version, instant{time: &r.Saved}, document{&r.From}, document{&r.Plan}); err != nil {
			return r, err
		}
		loc, err := zone(r.Plan.Zone)
		if err == nil {
			schedule.Relocate(&r.Plan, loc)
			r.Saved = r.Saved.In(loc)
		}
		return r, err
	}, "SELECT version, saved, made_from, body FROM plan WHERE day = ? "+which, append([]any{day}, args...)...)
}
