package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"ovenward/store/bundle"
	"ovenward/store/record"
)

// Import takes in everything a bundle holds, all of it or nothing, and gives the
// path of the backup that was made beside the database just before. Of its days it
// holds one at a time.
//
// What is the same by [bundle.Compare] is replaced; what is only here stays or,
// with replace, goes. A day that is here keeps its ID, others get new ones. When
// merged, a bread deleted elsewhere is not deleted here. Of a bundle that was not
// read from a file, references that lead nowhere fail.
func (s *Store) Import(ctx context.Context, b *bundle.Arrival, replace bool, now time.Time) (backup string, err error) {
	defer wrap(&err, "import")
	conn, err := s.w.Conn(ctx) // nobody writes between the backup and the import
	if err != nil {
		return "", err
	}
	defer conn.Close()
	folder := filepath.Dir(s.lock.Name())
	backup = filepath.Join(folder, "backup-before-import-"+now.UTC().Format("20060102-150405.000")+".db")
	if err := vacuumInto(ctx, conn, backup); err != nil {
		return "", err
	}
	tx, err := conn.BeginTx(ctx, nil)
	if err != nil {
		return backup, err
	}
	defer tx.Rollback()
	in := intake{tx: tx, b: b, now: now, days: map[int64]int64{}, renamed: map[string]string{}}
	if err := in.all(ctx, replace); err != nil {
		return backup, err
	}
	if err := tx.Commit(); err != nil {
		return backup, err
	}
	return backup, keepNewest(folder, "backup-before-import-*.db")
}

// intake is a bundle on its way into the database.
type intake struct {
	tx      *sql.Tx
	b       *bundle.Arrival
	now     time.Time
	known   []int64           // by day of the bundle: the same day here, 0 for none
	days    map[int64]int64   // of the bundle, here
	taps    map[string]string // of the day that is coming in, here
	renamed map[string]string // of all days: taps that have another name here
	made    []record.Coming   // here before
}

func (in *intake) all(ctx context.Context, replace bool) error {
	if err := in.clear(ctx, replace); err != nil {
		return err
	}
	if err := in.library(ctx); err != nil {
		return err
	}
	if err := in.allDays(ctx); err != nil {
		return err
	}
	if err := in.learned(ctx); err != nil {
		return err
	}
	if err := in.standing(ctx); err != nil {
		return err
	}
	for _, r := range in.b.Readings {
		if to, ok := in.renamed[r.ID]; ok {
			r.ID = to
		}
		if err := insertReading(ctx, in.tx, record.Reading(r)); err != nil {
			return err
		}
	}
	return sweep(ctx, in.tx)
}

// clear makes room, and finds which days are here already.
func (in *intake) clear(ctx context.Context, replace bool) error {
	all, err := collect(ctx, in.tx, scanDay, "SELECT "+dayColumns+" FROM day ORDER BY id")
	if err != nil {
		return err
	}
	if in.made, err = comings(ctx, in.tx, "TRUE"); err != nil {
		return err
	}
	here := bundle.Bundle{}
	for _, d := range all {
		here.Days = append(here.Days, bundle.Day{Day: d})
	}
	ids := map[string]int64{}
	for i, key := range here.DayKeys() {
		ids[key] = all[i].ID
	}
	for _, key := range in.b.DayKeys() {
		id := ids[key] // 0: a new one
		in.known = append(in.known, id)
		if _, err := in.tx.ExecContext(ctx, "DELETE FROM day WHERE id = ?", id); err != nil {
			return err
		}
	}
	if !replace {
		return nil
	}
	in.made = nil
	_, err = in.tx.ExecContext(ctx, `DELETE FROM coming; DELETE FROM standing; DELETE FROM day; DELETE FROM bread; DELETE FROM base; DELETE FROM kitchen;
		DELETE FROM setting; DELETE FROM food; DELETE FROM observation; DELETE FROM reading`)
	return err
}

func (in *intake) library(ctx context.Context) error {
	if k := in.b.Kitchen; k != nil {
		if err := saveKitchen(ctx, in.tx, k.Kitchen, k.Example, in.now); err != nil {
			return err
		}
	}
	for _, v := range in.b.Bases {
		err := in.keep(ctx, "base", v.ID, v.Retired, func() error { return saveBase(ctx, in.tx, v.Base, v.Example, in.now) })
		if err != nil {
			return err
		}
	}
	for _, v := range in.b.Breads {
		err := in.keep(ctx, "bread", v.ID, v.Retired, func() error { return saveBread(ctx, in.tx, v.Bread, v.Example, in.now) })
		if err != nil {
			return err
		}
	}
	for _, f := range in.b.Foods {
		if err := saveFood(ctx, in.tx, f, in.now); err != nil {
			return err
		}
	}
	for _, v := range in.b.Settings {
		_, err := in.tx.ExecContext(ctx, "INSERT INTO setting (key, value) VALUES (?, ?) ON CONFLICT DO UPDATE SET value = excluded.value", v.Key, v.Value)
		if err != nil {
			return err
		}
	}
	return nil
}

// keep saves a bread or base, retired where it is retired on both sides.
func (in *intake) keep(ctx context.Context, table, id string, retired bool, save func() error) error {
	gone := true
	err := in.tx.QueryRowContext(ctx, "SELECT retired FROM "+table+" WHERE id = ?", id).Scan(&gone)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return err
	}
	if err := save(); err != nil || !retired || !gone {
		return err
	}
	_, err = in.tx.ExecContext(ctx, "UPDATE "+table+" SET retired = 1 WHERE id = ?", id)
	return err
}

func (in *intake) allDays(ctx context.Context) error {
	i := 0
	for d, err := range in.b.AllDays() {
		if err == nil && i == len(in.known) {
			err = fmt.Errorf("more days than before") // the file has been changed since
		}
		if err != nil {
			return err
		}
		in.days[d.ID] = in.known[i]
		i++
		if err := in.day(ctx, &d); err != nil {
			return fmt.Errorf("day %s %s: %w", d.Date, d.Name, err)
		}
	}
	return nil
}

func (in *intake) day(ctx context.Context, d *bundle.Day) error {
	row, err := dayRow(d.Day, in.now)
	if err != nil {
		return err
	}
	row[0], row[6] = d.Date, ms(d.Updated) // as they were
	res, err := in.tx.ExecContext(ctx, `INSERT INTO day (date, name, zone, now, settings, room, updated, example, version, id)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, nullif(?, 0))`, append(row, d.Example, d.Version, in.days[d.ID])...)
	if err != nil {
		return err
	}
	r := d.Day
	if r.ID, err = res.LastInsertId(); err != nil {
		return err
	}
	in.days[d.ID] = r.ID
	if err := saveOrders(ctx, in.tx, r); err != nil {
		return err
	}
	for _, p := range d.Plans {
		p.Day = r.ID
		if err := insertPlan(ctx, in.tx, p); err != nil {
			return err
		}
	}
	return in.running(ctx, r.ID, d)
}

// running takes in what happened on a day.
func (in *intake) running(ctx context.Context, id int64, d *bundle.Day) error {
	in.taps = map[string]string{}
	for _, t := range d.Taps {
		fresh, err := in.free(ctx, "tap", "id", t.ID)
		if err != nil {
			return err
		}
		if in.taps[t.ID] = fresh; fresh != t.ID {
			in.renamed[t.ID] = fresh
		}
		t.ID, t.Day, t.Of = fresh, id, in.taps[t.Of]
		if err := insertTap(ctx, in.tx, t); err != nil {
			return err
		}
	}
	for _, s := range d.Slips {
		s.ID = in.taps[s.ID]
		if err := insertSlip(ctx, in.tx, s); err != nil {
			return err
		}
	}
	for _, r := range d.Repairs {
		key, err := in.free(ctx, "repair", "accept", r.Key)
		if err != nil {
			return err
		}
		if _, err := in.tx.ExecContext(ctx, "INSERT INTO repair (day, version, base, accept) VALUES (?, ?, ?, ?)", id, r.Version, r.Base, key); err != nil {
			return err
		}
	}
	return in.calls(ctx, id, d)
}

// free is a name no row has yet: the given one, unless a day that is told apart
// from this one has it.
func (in *intake) free(ctx context.Context, table, column, name string) (string, error) {
	var there bool
	err := in.tx.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM "+table+" WHERE "+column+" = ?)", name).Scan(&there)
	if there {
		name = rand.Text()
	}
	return name, err
}

// calls takes in calls and their log, which replaces the one the triggers write.
func (in *intake) calls(ctx context.Context, day int64, d *bundle.Day) error {
	cause := map[int64]string{} // the tap that brought a call into its state
	for _, t := range d.Log {
		if t.From != t.To {
			cause[t.Alert] = in.taps[t.Tap]
		}
	}
	ids := map[int64]int64{}
	for _, a := range d.Alerts {
		h := a.Heard
		res, err := in.tx.ExecContext(ctx, `INSERT INTO alert (day, version, task, kind, name, stage, class, baker, place, takes, due, too_far, was,
			rung, last, rings, next, acked, shelved, snoozes, decision, state, reason, tap, changed)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			day, a.Version, a.Task, a.Kind, a.Name, a.Stage, a.Class, a.Baker, a.Place, a.Takes, ms(a.Due), ms(a.TooFar), ms(a.Was),
			ms(a.Rung), ms(h.Last), a.Rings, ms(a.Next), ms(h.Acked), ms(h.Shelved), h.Snoozes, a.Decision, a.State, a.Reason, cause[a.ID], ms(a.Changed))
		if err != nil {
			return err
		}
		if ids[a.ID], err = res.LastInsertId(); err != nil {
			return err
		}
	}
	if _, err := in.tx.ExecContext(ctx, "DELETE FROM alert_log WHERE alert IN (SELECT id FROM alert WHERE day = ?)", day); err != nil {
		return err
	}
	for _, t := range d.Log {
		_, err := in.tx.ExecContext(ctx, "INSERT INTO alert_log (alert, at, old, new, reason, tap) VALUES (?, ?, ?, ?, ?, ?)",
			ids[t.Alert], ms(t.At), t.From, t.To, t.Reason, in.taps[t.Tap])
		if err != nil {
			return err
		}
	}
	return nil
}

func (in *intake) learned(ctx context.Context) error {
	for _, l := range in.b.Learned {
		if to, ok := in.renamed[l.Slip]; ok {
			l.Slip = to
		}
		o := l.Lesson.Observation
		_, err := in.tx.ExecContext(ctx, `INSERT OR REPLACE INTO observation (tap, day, task, at, bread, dough, name, number, regime, kind, predicted, observed, sd, allowed, speed, forgotten)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			l.Slip, in.days[l.Observation.Day], l.Task, ms(l.At), o.Bread, l.Dough, l.Name, o.Day, o.Regime, o.Kind, o.Predicted, o.Observed, o.SD, o.Allowed, o.Speed, l.Forgotten)
		if err != nil {
			return err
		}
	}
	return nil
}

// standing takes in the standing orders, and which days were made from some: those
// of the bundle and, beside them, those here, whose days may just have been put in
// again.
func (in *intake) standing(ctx context.Context) error {
	for _, o := range in.b.Standing {
		if err := saveStanding(ctx, in.tx, o, in.now); err != nil {
			return err
		}
	}
	for _, c := range in.made {
		if err := in.tx.QueryRowContext(ctx, "SELECT coalesce((SELECT id FROM day WHERE id = ?), 0)", c.Day).Scan(&c.Day); err != nil {
			return err
		}
		if err := keepComing(ctx, in.tx, c); err != nil {
			return err
		}
	}
	for _, c := range in.b.Comings {
		err := keepComing(ctx, in.tx, record.Coming{Date: c.Date, Day: in.days[c.Day], Name: c.Name, Zone: c.Zone, Orders: c.Orders})
		if err != nil {
			return err
		}
	}
	return nil
}
