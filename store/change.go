package store

import (
	"context"
	"database/sql"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// settle is how much later a call must be wanted to ring again. Below it, the
// forecast has only trembled.
const settle = 3 * time.Minute

// change is the passing from a day's former plan to another.
type change struct {
	tx      *sql.Tx
	day     int64
	version int
	now     time.Time
}

// call tells calls of different plans apart. Task IDs are given anew with the
// batches, so the same ID may come to mean another dough.
type call struct {
	task  string
	kind  schedule.AlertKind
	name  string
	stage schedule.StageKind
}

func callOf(a record.Alert) call { return call{a.Task, a.Kind, a.Name, a.Stage} }

func (c change) apply(ctx context.Context, p schedule.Plan, wanted []schedule.Alert) error {
	former, err := alerts(ctx, c.tx, "WHERE alert.day = ? ORDER BY alert.id", c.day)
	if err != nil {
		return err
	}
	newest := map[call]record.Alert{}
	for _, a := range former {
		newest[callOf(a)] = a
	}
	tasks := map[string]schedule.Task{}
	for _, t := range p.Tasks {
		tasks[t.ID] = t
	}
	why := map[int64]record.Reason{} // those to suppress
	for _, a := range former {
		why[a.ID] = record.Dropped
	}
	for _, a := range wanted {
		r := record.Alert{Alert: a, Name: tasks[a.Task].Name, Stage: tasks[a.Task].Kind}
		if old, there := newest[callOf(r)]; there {
			if c.same(old, a) {
				delete(why, old.ID)
				continue
			}
			why[old.ID] = record.Moved
			if !old.Due.Equal(a.Due) {
				r.Was = old.Due
			}
		}
		if err := c.insert(ctx, r); err != nil {
			return err
		}
	}
	for _, a := range former {
		if err := c.suppress(ctx, a, why[a.ID]); err != nil {
			return err
		}
	}
	return nil
}

// same reports whether the call that was rung or answered is the one now wanted.
func (c change) same(old record.Alert, a schedule.Alert) bool {
	switch old.State {
	case record.Rung, record.Missed:
		return !a.Due.After(c.now.Add(settle))
	case record.Acked, record.Done:
		answered := old.Due
		if c.now.After(answered) {
			answered = c.now
		}
		return !a.Due.After(answered.Add(settle))
	}
	return false
}

// suppress takes a call back for a reason. One that is done stays done; one that
// was suppressed keeps its reason.
func (c change) suppress(ctx context.Context, a record.Alert, why record.Reason) error {
	if why == "" || a.State == record.Done || a.State == record.Suppressed {
		return nil
	}
	_, err := c.tx.ExecContext(ctx, `UPDATE alert SET state = 'suppressed', reason = ?, tap = '', changed = ? WHERE id = ?`, why, ms(c.now), a.ID)
	return err
}

func (c change) insert(ctx context.Context, a record.Alert) error {
	_, err := c.tx.ExecContext(ctx, `INSERT INTO alert (day, version, task, kind, name, stage, class, baker, due, too_far, was, state, changed)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 'scheduled', ?)`,
		c.day, c.version, a.Task, a.Kind, a.Name, a.Stage, a.Class, a.Baker, ms(a.Due), ms(a.TooFar), ms(a.Was), ms(c.now))
	return err
}
