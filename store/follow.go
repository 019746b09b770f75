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
	c, err := courseOf(ctx, tx, t.Day)
	if err != nil {
		return err
	}
	for _, x := range settling(t, c.said) {
		if err := c.settleBefore(ctx, tx, x); err != nil {
			return err
		}
	}
	return c.move(ctx, tx, t.Recorded)
}

// course is a day under way: its newest plan, what was said of it, and every call.
type course struct {
	from  schedule.Day
	plan  schedule.Plan
	tasks map[string]schedule.Task // of the plan, by ID
	said  []schedule.Slip
	calls []record.Alert
}

func courseOf(ctx context.Context, tx *sql.Tx, day int64) (*course, error) {
	c := course{tasks: map[string]schedule.Task{}}
	var version int // no longer the tap's, if that took a plan back
	err := tx.QueryRowContext(ctx, "SELECT day.version, body, made_from FROM plan JOIN day ON day.id = plan.day AND day.version = plan.version WHERE day.id = ?", day).
		Scan(&version, document{&c.plan}, document{&c.from})
	if err != nil {
		return nil, err
	}
	for _, k := range c.plan.Tasks {
		c.tasks[k.ID] = k
	}
	base, err := baseOf(ctx, tx, day, version)
	if err != nil {
		return nil, err
	}
	if c.said, err = log(ctx, tx, day, base, version); err != nil {
		return nil, err
	}
	c.calls, err = alerts(ctx, tx, "WHERE alert.day = ? ORDER BY alert.id", day)
	return &c, err
}

// move gives the calls the times they have after what was said, those that nothing
// moves any more the times of the plan.
func (c *course) move(ctx context.Context, tx *sql.Tx, now time.Time) error {
	latest := map[call]*record.Alert{}
	for i := range c.calls {
		latest[callOf(c.calls[i])] = &c.calls[i]
	}
	planned := map[string]time.Time{}
	for _, a := range schedule.Alerts(&c.plan) {
		planned[a.Task+" "+string(a.Kind)] = a.Due
	}
	for _, next := range schedule.Alerts(schedule.Follow(&c.from, &c.plan, c.said)) {
		k := c.tasks[next.Task]
		a := latest[call{next.Task, next.Kind, k.Name, k.Kind}]
		asPlanned := next.Due.Equal(planned[next.Task+" "+string(next.Kind)])
		if a == nil || asPlanned && a.Reason != record.Moved || !follows(a, next, now) {
			continue
		}
		was := a.Due
		if asPlanned { // what moved it was taken back
			was = time.Time{}
		}
		if err := reschedule(ctx, tx, a, next, was, now); err != nil {
			return err
		}
	}
	return nil
}

// settling are the taps whose works settle the calls of those before: the one just
// said; after an undo all that stand, for what it gave back may be settled by them.
func settling(t record.Tap, said []schedule.Slip) []record.Tap {
	if t.Kind != record.Undo {
		return []record.Tap{t}
	}
	var all []record.Tap
	for _, s := range said {
		all = append(all, record.Tap{ID: s.ID, Task: s.Task, Kind: record.TapKind(s.Kind), Recorded: t.Recorded})
	}
	return all
}

// settleBefore settles the calls of what must be done when a task is begun or done:
// the works before it of the same dough, though nobody said so of them.
func (c *course) settleBefore(ctx context.Context, tx *sql.Tx, t record.Tap) error {
	now := c.tasks[t.Task]
	if t.Kind != record.Started && t.Kind != record.Finished || now.Kind.Rises() {
		return nil
	}
	for i := range c.calls {
		a := &c.calls[i]
		before := c.tasks[a.Task]
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
