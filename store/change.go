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

func (c change) apply(ctx context.Context, p schedule.Plan, alerts []schedule.Alert) error {
	former, err := c.former(ctx)
	if err != nil {
		return err
	}
	tasks := map[string]schedule.Task{}
	for _, t := range p.Tasks {
		tasks[t.ID] = t
	}
	wanted := map[call]bool{}
	for _, a := range alerts {
		r := record.Alert{Alert: a, Name: tasks[a.Task].Name, Stage: tasks[a.Task].Kind}
		wanted[callOf(r)] = true
		old, there := former[callOf(r)]
		if there && c.same(old, a) {
			continue
		}
		if there && !old.Due.Equal(a.Due) {
			r.Was = old.Due
		}
		if err := c.insert(ctx, r); err != nil {
			return err
		}
		if there {
			if err := c.suppress(ctx, old, record.Moved); err != nil {
				return err
			}
		}
	}
	for key, old := range former {
		if wanted[key] {
			continue
		}
		if err := c.suppress(ctx, old, record.Dropped); err != nil {
			return err
		}
	}
	return nil
}

// former gives the newest call of each kind.
func (c change) former(ctx context.Context) (map[call]record.Alert, error) {
	all, err := alerts(ctx, c.tx, "WHERE alert.day = ? ORDER BY alert.id", c.day)
	newest := map[call]record.Alert{}
	for _, a := range all {
		newest[callOf(a)] = a
	}
	return newest, err
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

// suppress takes a call back that nobody has answered. One that is done stays
// done; one that was suppressed keeps its reason.
func (c change) suppress(ctx context.Context, a record.Alert, why record.Reason) error {
	_, err := c.tx.ExecContext(ctx, `UPDATE alert SET state = 'suppressed', reason = ?, tap = '', changed = ?
		WHERE id = ? AND state NOT IN ('done', 'suppressed')`, why, ms(c.now), a.ID)
	return err
}

func (c change) insert(ctx context.Context, a record.Alert) error {
	_, err := c.tx.ExecContext(ctx, `INSERT INTO alert (day, version, task, kind, name, stage, class, baker, due, too_far, was, state, changed)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 'scheduled', ?)`,
		c.day, c.version, a.Task, a.Kind, a.Name, a.Stage, a.Class, a.Baker, ms(a.Due), ms(a.TooFar), ms(a.Was), ms(c.now))
	return err
}
