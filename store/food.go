package store

import (
	"context"
	"database/sql"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/store/record"
)

// Foods gives the baker's own foods and corrections by ID.
func (s *Store) Foods(ctx context.Context) (l dough.Library, err error) {
	defer wrap(&err, "foods")
	return library(ctx, s.r)
}

// SaveFood adds or replaces a food of the baker's own; one with the ID of a food
// the program knows corrects it.
func (s *Store) SaveFood(ctx context.Context, f dough.Food) (err error) {
	defer wrap(&err, "save food %q", f.ID)
	return saveFood(ctx, s.w, f, s.now())
}

// DeleteFood takes a food of the baker's own away: what it corrected holds again.
// One that a bread or base needs and that corrects nothing stays
// (record.ErrInUse).
func (s *Store) DeleteFood(ctx context.Context, id string) (err error) {
	defer wrap(&err, "delete food %q", id)
	return s.inTx(ctx, func(tx *sql.Tx) error {
		if _, known := dough.Find(id); !known {
			for deleted, remedy := range [...]string{"; take it out there first", ", deleted since; delete the days that still have it first"} {
				users, err := foodUsers(ctx, tx, id, deleted == 1)
				if err != nil {
					return err
				}
				if len(users) > 0 {
					return refuse(record.ErrInUse, "this food is in %s%s", list(users), remedy)
				}
			}
		}
		res, err := tx.ExecContext(ctx, "DELETE FROM food WHERE id = ?", id)
		if err != nil {
			return err
		}
		return some(res, "this food")
	})
}

// FoodUsers names the breads and bases a food is in without a composition of the
// line's own: those there are, or the deleted ones that days still have.
func (s *Store) FoodUsers(ctx context.Context, food string, deleted bool) (names []string, err error) {
	defer wrap(&err, "users of food %q", food)
	return foodUsers(ctx, s.r, food, deleted)
}

func foodUsers(ctx context.Context, q querier, food string, deleted bool) ([]string, error) {
	const in = ` WHERE retired = ?2 AND EXISTS (SELECT 1 FROM json_each(body, '$.formula.ingredients') AS line
		WHERE line.value ->> 'food' = ?1 AND line.value -> 'own' IS NULL)`
	return collect(ctx, q, scanText, "SELECT name FROM base"+in+" UNION ALL SELECT name FROM bread"+in+" ORDER BY name", food, deleted)
}

func library(ctx context.Context, q querier) (dough.Library, error) {
	return collect(ctx, q, func(rows *sql.Rows) (f dough.Food, err error) {
		err = rows.Scan(document{&f})
		return f, err
	}, "SELECT body FROM food ORDER BY id")
}

func saveFood(ctx context.Context, db execer, f dough.Food, now time.Time) error {
	if !schedule.IsSlug(f.ID) {
		return refuse(record.ErrInvalid, "the food has no short name that can stand in an address: %q", f.ID)
	}
	body, err := text(f)
	if err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, `INSERT INTO food (id, body, updated) VALUES (?, ?, ?)
		ON CONFLICT DO UPDATE SET body = excluded.body, updated = excluded.updated`, f.ID, body, ms(now))
	return err
}

// dress makes the doughs of a day of what the baker's own foods say.
func dress(ctx context.Context, tx *sql.Tx, d *schedule.Day) error {
	l, err := library(ctx, tx)
	schedule.Dress(l, d.Bases, d.Breads)
	return err
}
