package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// Kitchen gives the kitchen, the zero one if none was entered yet.
func (s *Store) Kitchen(ctx context.Context) (k schedule.Kitchen, err error) {
	defer wrap(&err, "kitchen")
	k, _, err = kitchen(ctx, s.r)
	return k, err
}

// SaveKitchen replaces the kitchen. An example kitchen becomes the baker's own.
func (s *Store) SaveKitchen(ctx context.Context, k schedule.Kitchen) (err error) {
	defer wrap(&err, "save kitchen")
	return saveKitchen(ctx, s.w, k, false, s.now())
}

// RenameKitchen replaces the kitchen, and has every bread, base dough and reading
// follow what is called otherwise in it, all or nothing. What was an example of
// them stays one.
func (s *Store) RenameKitchen(ctx context.Context, k schedule.Kitchen, r schedule.Renames) (err error) {
	defer wrap(&err, "rename in the kitchen")
	return s.inTx(ctx, func(tx *sql.Tx) error {
		now := s.now()
		if err := saveKitchen(ctx, tx, k, false, now); err != nil || r.None() {
			return err
		}
		if err := rewrite(ctx, tx, "bread", scanBread, r.Bread, func(b *schedule.Bread) string { return b.ID }, now); err != nil {
			return err
		}
		if err := rewrite(ctx, tx, "base", scanBase, r.Base, func(b *schedule.Base) string { return b.ID }, now); err != nil {
			return err
		}
		names, err := text(r.Places)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, "UPDATE reading SET place = n.value FROM json_each(?) AS n WHERE place = n.key", names)
		return err
	})
}

// Named counts what names each tin, tray and place.
func (s *Store) Named(ctx context.Context) (n record.Named, err error) {
	defer wrap(&err, "what is named")
	n = record.Named{"tins": {}, "trays": {}, "places": {}}
	rows, err := s.r.QueryContext(ctx, `SELECT 'tins', body ->> 'tin' AS used, count(*) FROM bread WHERE NOT retired AND used <> '' GROUP BY used
		UNION ALL SELECT 'trays', body ->> 'tray' AS used, count(*) FROM bread WHERE NOT retired AND used <> '' GROUP BY used
		UNION ALL SELECT 'places', value, count(DISTINCT id) FROM (
			SELECT 'bread ' || bread.id AS id, j.value FROM bread, json_tree(body, '$.method') AS j WHERE j.key = 'place' AND NOT retired
			UNION ALL SELECT 'base ' || base.id, j.value FROM base, json_tree(body, '$.method') AS j WHERE j.key = 'place' AND NOT retired) GROUP BY value`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var list, name string
		var many int
		if err := rows.Scan(&list, &name, &many); err != nil {
			return nil, err
		}
		n[list][name] = many
	}
	return n, rows.Err()
}

// rewrite changes documents of a table, retired ones too: days that are over are
// made of them.
func rewrite[T any](ctx context.Context, tx *sql.Tx, table string, scan func(*sql.Rows) (T, error), change func(*T) bool, id func(*T) string, now time.Time) error {
	all, err := collect(ctx, tx, scan, "SELECT body FROM "+table)
	if err != nil {
		return err
	}
	for i := range all {
		if !change(&all[i]) {
			continue
		}
		body, err := text(all[i])
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "UPDATE "+table+" SET body = ?, updated = ? WHERE id = ?", body, ms(now), id(&all[i])); err != nil {
			return err
		}
	}
	return nil
}

// kitchen also tells whether there is a kitchen that is the baker's own.
func kitchen(ctx context.Context, q querier) (k schedule.Kitchen, own bool, err error) {
	err = q.QueryRowContext(ctx, "SELECT body, NOT example FROM kitchen").Scan(document{&k}, &own)
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return k, own, err
}

func saveKitchen(ctx context.Context, db execer, k schedule.Kitchen, example bool, now time.Time) error {
	body, err := text(k)
	if err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, `INSERT INTO kitchen (id, body, example, updated) VALUES (1, ?, ?, ?)
		ON CONFLICT DO UPDATE SET body = excluded.body, example = excluded.example, updated = excluded.updated`,
		body, example, ms(now))
	return err
}
