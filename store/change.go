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
				if err := c.keep(ctx, old, a); err != nil {
					return err
				}
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

// same reports whether a call of the plan before is the one now wanted: it
// trembles only, or was rung or answered and is not wanted distinctly later.
func (c change) same(old record.Alert, a schedule.Alert) bool {
	answered := c.now
	switch old.State {
	case record.Scheduled:
		return old.Stays(a, c.now)
	case record.Rung, record.Missed, record.Past:
		return !a.Due.After(c.now.Add(settle))
	case record.Shelved:
		if old.Reason == record.Waiting { // a plan that heeds it calls anew
			return !a.Due.After(old.Due.Add(settle))
		}
		answered = old.Heard.Shelved
	case record.Acked, record.Done:
	default:
		return false
	}
	if old.Due.After(answered) {
		answered = old.Due
	}
	return !a.Due.After(answered.Add(settle))
}

// keep brings a call that stays up to date: a dough in the cold goes too far
// later, and is then not past it any more.
func (c change) keep(ctx context.Context, old record.Alert, a schedule.Alert) error {
	if old.State == record.Done {
		return nil
	}
	due := old.Due
	old.Alert = a
	old.Due = due
	if (old.State == record.Past || old.State == record.Missed) && a.TooFar.After(c.now) {
		enter(&old, record.Rung, "", c.now)
	}
	return saveAlert(ctx, c.tx, &old, "")
}

// suppress takes a call back for a reason. One that is done stays done; one that
// was suppressed keeps its reason.
func (c change) suppress(ctx context.Context, a record.Alert, why record.Reason) error {
	if why == "" || a.State == record.Done || a.State == record.Suppressed {
		return nil
	}
	_, err := c.tx.ExecContext(ctx, `UPDATE alert SET state = 'suppressed', reason = ?, tap = '', next = NULL, changed = ? WHERE id = ?`, why, ms(c.now), a.ID)
	return err
}

func (c change) insert(ctx context.Context, a record.Alert) error {
	_, err := c.tx.ExecContext(ctx, `INSERT INTO alert (day, version, task, kind, name, stage, class, baker, place, takes, due, next, too_far, was, state, changed)
		VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?11, ?12, ?13, 'scheduled', ?14)`,
		c.day, c.version, a.Task, a.Kind, a.Name, a.Stage, a.Class, a.Baker, a.Place, a.Takes, ms(a.Due), ms(a.TooFar), ms(a.Was), ms(c.now))
	return err
}
