package store

import (
	"context"
	"database/sql"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// along is how soon another call must be to ring again for it to ring along with
// one that rings now: one sound instead of two.
const along = 20 * time.Second

// ClaimDue takes every ring that is due by now and gives it to this caller only:
// however often and from wherever it is asked, and whatever clocks do, no ring is
// given twice. A call that rings first comes as rung, or as missed if its too far
// has passed; one that nobody has answered by its too far comes as past; one put
// off is rung again; one that somebody is on stays so. Rings that were slept
// through are one. It gives the calls by time. Calls of a day with a fixed now
// never ring.
func (s *Store) ClaimDue(ctx context.Context, now time.Time) (all []record.Alert, err error) {
	defer wrap(&err, "claim due alerts")
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		due, err := alerts(ctx, tx, "WHERE next <= ?1 AND (next <= ?2 OR rings > 0) AND day.now = '' ORDER BY due, alert.id", ms(now.Add(along)), ms(now))
		if err != nil || !slices.ContainsFunc(due, func(a record.Alert) bool { return !a.Next.After(now) }) {
			return err
		}
		for i := range due {
			if err := ring(ctx, tx, &due[i], now); err != nil {
				return err
			}
		}
		all, err = hushHeadsUps(ctx, tx, due, now)
		return err
	})
	return all, err
}

// NextDue tells when the next ring is due, which may be in the past, and whether
// there is one.
func (s *Store) NextDue(ctx context.Context) (at time.Time, ok bool, err error) {
	defer wrap(&err, "next due alert")
	err = s.r.QueryRowContext(ctx, "SELECT min(next) FROM alert JOIN day ON day.id = alert.day WHERE next IS NOT NULL AND day.now = ''").Scan(instant{time: &at})
	return at, !at.IsZero(), err
}

// ring counts one ring of a call.
func ring(ctx context.Context, tx *sql.Tx, a *record.Alert, now time.Time) error {
	now = now.In(a.Due.Location())
	a.Heard.Last = a.Next // one that rings along has had the ring it was to come to
	if now.After(a.Next) {
		a.Heard.Last = now
	}
	if a.Rings++; a.Rung.IsZero() {
		a.Rung = now
	}
	late := !a.TooFar.IsZero() && !a.TooFar.After(now)
	switch {
	case a.State == record.Scheduled && late:
		enter(a, record.Missed, "", now)
	case late && (a.State == record.Rung || a.State == record.Shelved):
		enter(a, record.Past, "", now)
	case a.State == record.Scheduled || a.State == record.Shelved:
		enter(a, record.Rung, "", now)
	}
	return saveAlert(ctx, tx, a, "")
}

// hushHeadsUps ends the heads-ups of tasks that are called themselves, and leaves
// them out of what rings.
func hushHeadsUps(ctx context.Context, tx *sql.Tx, rung []record.Alert, now time.Time) ([]record.Alert, error) {
	called := func(a record.Alert) bool {
		return slices.ContainsFunc(rung, func(b record.Alert) bool {
			return b.Day == a.Day && b.Task == a.Task && b.Kind == schedule.CallStart
		})
	}
	for _, b := range rung {
		if b.Kind != schedule.CallStart || b.Rings > 1 {
			continue
		}
		_, err := tx.ExecContext(ctx, `UPDATE alert SET state = 'suppressed', reason = ?, tap = '', next = NULL, changed = ?
			WHERE day = ? AND task = ? AND kind = ? AND state IN ('scheduled', 'due', 'acked')`, record.Called, ms(now), b.Day, b.Task, schedule.CallHeadsUp)
		if err != nil {
			return nil, err
		}
	}
	return slices.DeleteFunc(slices.Clone(rung), func(a record.Alert) bool { return a.Kind == schedule.CallHeadsUp && called(a) }), nil
}
