package store

import (
	"context"
	"database/sql"
	"strings"

	"ovenward/schedule"
	"ovenward/store/record"
)

// FindBreads gives part of the breads by name, and how many there are in all
// whose name or ID holds the text.
func (s *Store) FindBreads(ctx context.Context, f record.Find) (some []schedule.Bread, all int, err error) {
	defer wrap(&err, "find breads")
	const holding = `FROM bread WHERE NOT retired AND (name LIKE ?1 ESCAPE '\' OR id LIKE ?1 ESCAPE '\')`
	err = s.view(ctx, func(tx *sql.Tx) error {
		if err := tx.QueryRowContext(ctx, "SELECT count(*) "+holding, holds(f.Text)).Scan(&all); err != nil {
			return err
		}
		some, err = collect(ctx, tx, scanBread, "SELECT body "+holding+" ORDER BY name, id LIMIT ?2 OFFSET ?3", holds(f.Text), f.Most, f.Skip)
		return err
	})
	return some, all, err
}

// BreadNames gives all breads by name, to choose from.
func (s *Store) BreadNames(ctx context.Context) (all []record.Name, err error) {
	defer wrap(&err, "names of breads")
	return collect(ctx, s.r, func(rows *sql.Rows) (n record.Name, err error) {
		err = rows.Scan(&n.ID, &n.Name)
		return n, err
	}, "SELECT id, name FROM bread WHERE NOT retired ORDER BY name, id")
}

// FindDays gives part of the days, the newest date first, and how many there are
// in all whose name or date holds the text.
func (s *Store) FindDays(ctx context.Context, f record.Find) (some []record.Day, all int, err error) {
	defer wrap(&err, "find days")
	const holding = `FROM day WHERE name LIKE ?1 ESCAPE '\' OR date LIKE ?1 ESCAPE '\'`
	const part = holding + " ORDER BY date DESC, id DESC LIMIT ?2 OFFSET ?3"
	err = s.view(ctx, func(tx *sql.Tx) error {
		if err := tx.QueryRowContext(ctx, "SELECT count(*) "+holding, holds(f.Text)).Scan(&all); err != nil {
			return err
		}
		some, err = daysWhere(ctx, tx, part, holds(f.Text), f.Most, f.Skip)
		return err
	})
	return some, all, err
}

// DaysFrom gives the days of a date or later, by date; if there are none, the
// last one before.
func (s *Store) DaysFrom(ctx context.Context, date string) (all []record.Day, err error) {
	defer wrap(&err, "days from %s", date)
	err = s.view(ctx, func(tx *sql.Tx) error {
		all, err = daysWhere(ctx, tx, "FROM day WHERE date >= ? ORDER BY date, id", date)
		if err == nil && len(all) == 0 {
			all, err = daysWhere(ctx, tx, "FROM day ORDER BY date DESC, id DESC LIMIT 1")
		}
		return err
	})
	return all, err
}

// daysWhere reads some days with their orders; from is the query after its
// columns.
func daysWhere(ctx context.Context, tx *sql.Tx, from string, args ...any) ([]record.Day, error) {
	all, err := collect(ctx, tx, scanDay, "SELECT "+dayColumns+" "+from, args...)
	if err != nil {
		return nil, err
	}
	by, err := orders(ctx, tx, "WHERE day IN (SELECT id "+from+")", args...)
	for i := range all {
		all[i].Orders = by[all[i].ID]
	}
	return all, err
}

// holds is the pattern for names that hold the text; only A to Z are the same in
// both cases.
func holds(text string) string {
	return "%" + strings.NewReplacer(`\`, `\\`, "%", `\%`, "_", `\_`).Replace(text) + "%"
}
