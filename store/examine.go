package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"

	"ovenward/migrations"
	"ovenward/store/record"
)

// Examine looks a database through for damage and says what it finds, a phrase
// each; nothing means it is sound. Of format it says which it is; what is newer
// or not ours is refused as by Open.
func Examine(ctx context.Context, path string) (format int, faults []string, err error) {
	defer wrap(&err, "examine %s", path)
	steps, err := readSteps(migrations.FS)
	if err != nil {
		return 0, nil, err
	}
	db, format, err := lookAt(ctx, path, len(steps))
	if err != nil {
		return format, nil, err
	}
	defer db.Close()
	faults, err = examine(ctx, db, steps[:format])
	return format, faults, err
}

// mostFaults is how many faults of a kind are worth reading.
const mostFaults = 5

// examine asks SQLite for damage and lost references, and compares the schema
// with the one the steps make: no file from elsewhere may bring a trigger or a
// view of its own.
func examine(ctx context.Context, db *sql.DB, steps []step) ([]string, error) {
	faults, err := damages(ctx, db)
	if err != nil || len(faults) > 0 {
		return faults, err // nothing else it says could be trusted
	}
	faults, err = collect(ctx, db, scanText, fmt.Sprintf(`SELECT 'row ' || coalesce(rowid, '?') || ' of ' || "table" || ' refers to a row of ' || parent || ' that is not there'
		FROM pragma_foreign_key_check LIMIT %d`, mostFaults))
	if err != nil {
		return nil, err
	}
	strange, err := strangers(ctx, db, steps)
	return append(faults, strange...), err
}

// damages asks SQLite for what cannot be read, or not be trusted.
func damages(ctx context.Context, q querier) ([]string, error) {
	faults, err := collect(ctx, q, scanText, fmt.Sprintf("PRAGMA integrity_check(%d)", mostFaults))
	if err != nil || slices.Equal(faults, []string{"ok"}) {
		return nil, err
	}
	for i, f := range faults {
		faults[i] = "damaged: " + strings.Join(strings.Fields(f), " ")
	}
	return faults, nil
}

// Damages reads the whole database and says what is damaged in it, a phrase each;
// nothing means that every page is sound. Whoever reads or writes meanwhile is not
// kept waiting. Three years take a tenth of a second of processor.
func (s *Store) Damages(ctx context.Context) (faults []string, err error) {
	defer wrap(&err, "damages")
	faults, err = damages(ctx, s.r)
	if e := translate(err); errors.Is(e, record.ErrDamaged) { // so much so that SQLite gives up
		return []string{e.Error()}, nil
	}
	return faults, err
}

// strangers compares what is declared in a database with what the steps declare.
func strangers(ctx context.Context, db *sql.DB, steps []step) ([]string, error) {
	model, err := sql.Open("sqlite3", ":memory:")
	if err != nil {
		return nil, err
	}
	defer model.Close()
	model.SetMaxOpenConns(1)
	for _, s := range steps {
		if _, err := model.ExecContext(ctx, s.body); err != nil {
			return nil, fmt.Errorf("migration %s: %w", s.name, err)
		}
	}
	want, err := declared(ctx, model)
	if err != nil {
		return nil, err
	}
	got, err := declared(ctx, db)
	if err != nil {
		return nil, err
	}
	var faults []string
	for _, g := range got {
		if !slices.Contains(want, g) {
			faults = append(faults, fmt.Sprintf("the %s %q is not as ovenward makes it", g.kind, g.name))
		}
	}
	for _, w := range want {
		if !slices.ContainsFunc(got, func(d declaration) bool { return d.kind == w.kind && d.name == w.name }) {
			faults = append(faults, fmt.Sprintf("the %s %q is missing", w.kind, w.name))
		}
	}
	return faults[:min(len(faults), mostFaults)], nil
}

// declaration is an entry of the schema.
type declaration struct{ kind, name, sql string }

func declared(ctx context.Context, db *sql.DB) ([]declaration, error) {
	return collect(ctx, db, func(rows *sql.Rows) (d declaration, err error) {
		err = rows.Scan(&d.kind, &d.name, &d.sql)
		return d, err
	}, "SELECT type, name, coalesce(sql, '') FROM sqlite_schema WHERE name NOT LIKE 'sqlite_%' ORDER BY type, name")
}

// unsound words faults as a refusal.
func unsound(path string, faults []string) error {
	return refuse(record.ErrInvalid, "%s is not sound (%s); choose another backup", path, strings.Join(faults, "; "))
}
