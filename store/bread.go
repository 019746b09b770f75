package store

import (
	"context"
	"database/sql"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// Breads gives all breads by name.
func (s *Store) Breads(ctx context.Context) (all []schedule.Bread, err error) {
	defer wrap(&err, "breads")
	return collect(ctx, s.r, scanBread, "SELECT body FROM bread WHERE NOT retired ORDER BY name, id")
}

// Bread gives one bread (record.ErrNotFound).
func (s *Store) Bread(ctx context.Context, id string) (b schedule.Bread, err error) {
	defer wrap(&err, "bread %q", id)
	err = s.r.QueryRowContext(ctx, "SELECT body FROM bread WHERE id = ? AND NOT retired", id).Scan(document{&b})
	return b, orGone(err, "this bread")
}

// SaveBread adds or replaces a bread, whose base must be there
// (record.ErrNotFound). An example becomes the baker's own.
func (s *Store) SaveBread(ctx context.Context, b schedule.Bread) (err error) {
	defer wrap(&err, "save bread %q", b.ID)
	return saveBread(ctx, s.w, b, false, s.now())
}

// DeleteBread removes a bread unless it is promised for now or later
// (record.ErrInUse). Days that are over keep it.
func (s *Store) DeleteBread(ctx context.Context, id string, now time.Time) (err error) {
	defer wrap(&err, "delete bread %q", id)
	return s.inTx(ctx, func(tx *sql.Tx) error {
		days, err := collect(ctx, tx, scanText, `SELECT DISTINCT trim(name || ' ' || date) FROM day JOIN ordered ON day = day.id
			WHERE bread = ? AND (promised IS NULL OR promised >= ?) ORDER BY date`, id, ms(now))
		if err != nil {
			return err
		}
		if len(days) > 0 {
			return refuse(record.ErrInUse, "this bread is ordered for %s; take it off first", list(days))
		}
		return retire(ctx, tx, "bread", id)
	})
}

func scanBread(rows *sql.Rows) (b schedule.Bread, err error) {
	err = rows.Scan(document{&b})
	return b, err
}

func saveBread(ctx context.Context, db execer, b schedule.Bread, example bool, now time.Time) error {
	if !schedule.IsSlug(b.ID) {
		return refuse(record.ErrInvalid, "the bread has no short name that can stand in an address: %q", b.ID)
	}
	body, err := text(b)
	if err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, `INSERT INTO bread (id, name, base, body, example, updated) VALUES (?, ?, nullif(?, ''), ?, ?, ?)
		ON CONFLICT DO UPDATE SET name = excluded.name, base = excluded.base, body = excluded.body, example = excluded.example, retired = 0, updated = excluded.updated`,
		b.ID, b.Name, b.Base, body, example, ms(now))
	if missing(err) {
		return refuse(record.ErrNotFound, "the base dough %q of this bread is not in the library", b.Base)
	}
	return err
}
