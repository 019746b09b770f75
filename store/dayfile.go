package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// ImportDay takes in a day from a file and gives its ID.
//
// A kitchen that is the baker's own stays; only a missing or an example one is
// replaced. A bread or base that is already there under the same ID is used if
// it is equal; otherwise the imported one gets a free ID ("bun-2"), so that
// nothing of the baker's is overwritten. Only an example keeps its fixed now.
func (s *Store) ImportDay(ctx context.Context, d schedule.Day) (id int64, err error) {
	defer wrap(&err, "import day %q", d.Name)
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		now := s.now()
		if err := importKitchen(ctx, tx, d, now); err != nil {
			return err
		}
		renamed, err := importBreads(ctx, tx, d, now)
		if err != nil {
			return err
		}
		r := record.Day{Name: d.Name, Zone: d.Zone, Example: d.Example, Settings: d.Settings, Orders: slices.Clone(d.Orders)}
		if d.Example {
			r.Now = d.Now
		}
		r.Date = now.UTC().Format(time.DateOnly) // counts only for a day without orders
		for i, o := range r.Orders {
			if to, ok := renamed[o.Bread]; ok {
				r.Orders[i].Bread = to
			}
		}
		id, err = insertDay(ctx, tx, r, now)
		return err
	})
	return id, err
}

func importKitchen(ctx context.Context, tx *sql.Tx, d schedule.Day, now time.Time) error {
	switch _, own, err := kitchen(ctx, tx); {
	case err != nil:
		return err
	case own:
		return nil
	}
	return saveKitchen(ctx, tx, d.Kitchen, d.Example, now)
}

// importBreads gives the new ID of each bread that had to be renamed.
func importBreads(ctx context.Context, tx *sql.Tx, d schedule.Day, now time.Time) (renamed map[string]string, err error) {
	bases := map[string]string{}
	for _, b := range d.Bases {
		old := b.ID
		if b.ID, err = place(ctx, tx, "base", old, func(id string) (string, error) { b.ID = id; return text(b) }); err != nil {
			return nil, err
		}
		bases[old] = b.ID
		if err := keep(ctx, tx, "base", b.ID, d.Example, func(example bool) error { return saveBase(ctx, tx, b, example, now) }); err != nil {
			return nil, err
		}
	}
	renamed = map[string]string{}
	for _, b := range d.Breads {
		old := b.ID
		if to, ok := bases[b.Base]; ok {
			b.Base = to
		}
		if b.ID, err = place(ctx, tx, "bread", old, func(id string) (string, error) { b.ID = id; return text(b) }); err != nil {
			return nil, err
		}
		renamed[old] = b.ID
		if err := keep(ctx, tx, "bread", b.ID, d.Example, func(example bool) error { return saveBread(ctx, tx, b, example, now) }); err != nil {
			return nil, err
		}
	}
	return renamed, nil
}

// place finds the ID for an imported document: the first of id, id-2, id-3, ...
// that is free or holds the very same.
func place(ctx context.Context, tx *sql.Tx, table, id string, as func(id string) (string, error)) (string, error) {
	for n, try := 1, id; ; try = fmt.Sprintf("%s-%d", id, n) {
		n++
		body, err := as(try)
		if err != nil {
			return "", err
		}
		var there string
		err = tx.QueryRowContext(ctx, "SELECT body FROM "+table+" WHERE id = ?", try).Scan(&there)
		if errors.Is(err, sql.ErrNoRows) || err == nil && there == body {
			return try, nil
		}
		if err != nil {
			return "", err
		}
	}
}

// keep saves an imported document. What is the baker's own stays so.
func keep(ctx context.Context, tx *sql.Tx, table, id string, example bool, save func(example bool) error) error {
	var own bool
	err := tx.QueryRowContext(ctx, "SELECT NOT example FROM "+table+" WHERE id = ?", id).Scan(&own)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return err
	}
	return save(example && !own)
}
