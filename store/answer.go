package store

import (
	"context"
	"database/sql"
	"fmt"
	"strings"
	"time"

	"ovenward/store/record"
)

// answers says which calls of its task a kind of tap moves, and where to.
var answers = map[record.TapKind]struct {
	where string
	to    record.AlertState
	why   record.Reason
}{
	record.Ack:      {"state IN ('due', 'shelved', 'missed', 'past')", record.Acked, ""},
	record.Started:  {"state NOT IN ('done', 'suppressed') AND kind <> 'unload'", record.Done, ""},
	record.Finished: {"state NOT IN ('done', 'suppressed')", record.Done, ""},
	record.PutCold:  {"state NOT IN ('done', 'suppressed') AND kind = 'fridge'", record.Done, ""},
	record.TakenOut: {"state NOT IN ('done', 'suppressed') AND kind = 'take-out'", record.Done, ""},
	record.Pressed:  {"state NOT IN ('done', 'suppressed') AND kind = 'press'", record.Done, ""},
	record.Ready:    {"state IN ('due', 'shelved', 'missed', 'past')", record.Acked, ""},
	record.Over:     {"state IN ('due', 'shelved', 'missed', 'past')", record.Acked, ""},
	record.Skipped:  {"state NOT IN ('done', 'suppressed')", record.Done, ""},
	record.NotYet:   {"state IN ('due', 'acked', 'shelved', 'missed', 'past')", record.Shelved, record.Waiting},
	record.Snooze:   {"state IN ('due', 'acked')", record.Shelved, ""},
	record.GoOn:     {"state IN ('missed', 'past')", record.Acked, ""},
	record.Reshape:  {"state IN ('missed', 'past')", record.Suppressed, record.Decided},
	record.Discard:  {"state IN ('missed', 'past')", record.Suppressed, record.Decided},
	record.Lost:     {"state NOT IN ('done', 'suppressed')", record.Suppressed, record.Decided},
	record.WasFine:  {"state IN ('missed', 'past')", record.Done, ""},
}

// leastWait is after how many minutes a dough that needs some more is called
// again.
const leastWait = 5

// decides tells the taps that say what is to become of a dough past too far.
func decides(k record.TapKind) bool {
	return k == record.GoOn || k == record.Reshape || k == record.Discard || k == record.WasFine
}

// answer moves the calls a tap answers.
func answer(ctx context.Context, tx *sql.Tx, t record.Tap) error {
	n, err := move(ctx, tx, t, t.Recorded, "alert.day = ? AND task = ?", t.Day, t.Task)
	if err == nil && n == 0 && (t.Kind == record.Snooze || decides(t.Kind)) {
		return refuse(record.ErrInvalid, "this has been answered already, or does not ring yet")
	}
	return err
}

// move moves those of some calls that a tap answers, at a time, and says how many
// they are.
func move(ctx context.Context, tx *sql.Tx, t record.Tap, at time.Time, where string, args ...any) (n int, err error) {
	to, ok := answers[t.Kind]
	if !ok {
		return 0, nil
	}
	calls, err := alerts(ctx, tx, "WHERE "+where+" AND "+to.where, args...)
	if err != nil {
		return 0, err
	}
	for i := range calls {
		a := &calls[i]
		enter(a, to.to, to.why, at)
		if err := heed(a, t); err != nil {
			return 0, err
		}
		if err := saveAlert(ctx, tx, a, t.ID); err != nil {
			return 0, err
		}
	}
	return len(calls), nil
}

// heed notes of a tap what the next ring follows from.
func heed(a *record.Alert, t record.Tap) error {
	h := &a.Heard
	switch {
	case t.Kind == record.Snooze:
		if err := allowed(a, t); err != nil {
			return err
		}
		h.Shelved, h.Acked = shelf(t), time.Time{}
		h.Snoozes++
	case t.Kind == record.NotYet: // whatever becomes of the plan, the dough is not forgotten
		h.Shelved, h.Acked = shelf(t), time.Time{}
	case a.State == record.Acked:
		h.Acked, h.Shelved, h.Snoozes = t.Recorded, time.Time{}, 0
	}
	if decides(t.Kind) {
		a.Decision = t.Kind
	}
	return nil
}

// shelf is until when a tap puts a call off.
func shelf(t record.Tap) time.Time {
	m := t.Minutes
	if t.Kind == record.NotYet {
		m = max(m, leastWait)
	}
	return t.Recorded.Add(time.Duration(m) * time.Minute)
}

// allowed refuses to put a call off for longer than the dough allows.
func allowed(a *record.Alert, t record.Tap) error {
	offers := a.Snoozes(a.Heard, t.Recorded)
	var words []string
	for _, m := range offers {
		if int(m) == t.Minutes {
			return nil
		}
		words = append(words, fmt.Sprint(int(m)))
	}
	if len(offers) == 0 {
		return refuse(record.ErrInvalid, "this cannot be put off any more")
	}
	return refuse(record.ErrInvalid, "this can be put off by %s minutes, not by %d", strings.Join(words, " or "), t.Minutes)
}
