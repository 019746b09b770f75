package store

import (
	"context"
	"database/sql"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// Bases gives all base doughs by name.
func (s *Store) Bases(ctx context.Context) (all []schedule.Base, err error) {
	defer wrap(&err, "bases")
	return collect(ctx, s.r, scanBase, "SELECT body FROM base WHERE NOT retired ORDER BY name, id")
}

// Base gives one base dough (record.ErrNotFound).
func (s *Store) Base(ctx context.Context, id string) (b schedule.Base, err error) {
	defer wrap(&err, "base %q", id)
	err = s.r.QueryRowContext(ctx, "SELECT body FROM base WHERE id = ? AND NOT retired", id).Scan(document{&b})
	return b, orGone(err, "this base dough")
}

// SaveBase adds or replaces a base dough. An example becomes the baker's own.
func (s *Store) SaveBase(ctx context.Context, b schedule.Base) (err error) {
	defer wrap(&err, "save base %q", b.ID)
	return saveBase(ctx, s.w, b, false, s.now())
}

// DeleteBase removes a base dough that no bread is made from (record.ErrInUse).
func (s *Store) DeleteBase(ctx context.Context, id string) (err error) {
	defer wrap(&err, "delete base %q", id)
	return s.inTx(ctx, func(tx *sql.Tx) error {
		breads, err := collect(ctx, tx, scanText, "SELECT name FROM bread WHERE base = ? AND NOT retired ORDER BY name", id)
		if err != nil {
			return err
		}
		if len(breads) > 0 {
			return refuse(record.ErrInUse, "this base dough is needed for %s; delete or change those breads first", list(breads))
		}
		return retire(ctx, tx, "base", id)
	})
}

func scanBase(rows *sql.Rows) (b schedule.Base, err error) {
	err = rows.Scan(document{&b})
	return b, err
}

func saveBase(ctx context.Context, db execer, b schedule.Base, example bool, now time.Time) error {
	if !schedule.IsSlug(b.ID) {
		return refuse(record.ErrInvalid, "the base dough has no short name that can stand in an address: %q", b.ID)
	}
	body, err := text(b)
	if err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, `INSERT INTO base (id, name, body, example, updated) VALUES (?, ?, ?, ?, ?)
		ON CONFLICT DO UPDATE SET name = excluded.name, body = excluded.body, example = excluded.example, retired = 0, updated = excluded.updated`,
		b.ID, b.Name, body, example, ms(now))
	return err
}
