package store

import (
	"context"
	"database/sql"
	"time"

	"ovenward/store/record"
)

// mostPasses bounds what has to be looked through in the settings.
const mostPasses = 50

// GivePass lets the holder of a secret in until the pass is ended, and gives its
// ID; ID and Used of p are not looked at. Only a hash of the secret is kept.
func (s *Store) GivePass(ctx context.Context, secret string, p record.Pass) (id int64, err error) {
	defer wrap(&err, "give pass")
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		var n int
		if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM pass").Scan(&n); err != nil {
			return err
		}
		if n >= mostPasses {
			return refuse(record.ErrInvalid, "there are %d of them already; end one that is no longer needed", n)
		}
		res, err := tx.ExecContext(ctx, "INSERT INTO pass (hash, kind, name, made) VALUES (?, ?, ?, ?)", hashed(secret), p.Kind, p.Name, ms(p.Made))
		if err == nil {
			id, err = res.LastInsertId()
		}
		return err
	})
	return id, err
}

// Pass gives what the holder of a secret may do (record.ErrNotFound), and notes
// that it was used.
func (s *Store) Pass(ctx context.Context, secret string, now time.Time) (p record.Pass, err error) {
	defer wrap(&err, "pass")
	all, err := passes(ctx, s.r, "WHERE hash = ?", hashed(secret))
	if err == nil && len(all) == 0 {
		err = gone("this pass")
	}
	if err != nil {
		return p, err
	}
	p = all[0]
	if now.Sub(p.Used) >= seenEvery {
		p.Used = now
		_, err = s.w.ExecContext(ctx, "UPDATE pass SET used = ? WHERE id = ?", ms(now), p.ID)
	}
	return p, err
}

// Passes gives all, the newest first.
func (s *Store) Passes(ctx context.Context) (all []record.Pass, err error) {
	defer wrap(&err, "passes")
	return passes(ctx, s.r, "ORDER BY id DESC")
}

// EndPass ends a pass; one that has ended stays so.
func (s *Store) EndPass(ctx context.Context, id int64) (err error) {
	defer wrap(&err, "end pass %d", id)
	_, err = s.w.ExecContext(ctx, "DELETE FROM pass WHERE id = ?", id)
	return err
}

func passes(ctx context.Context, q querier, where string, args ...any) ([]record.Pass, error) {
	return collect(ctx, q, func(rows *sql.Rows) (p record.Pass, err error) {
		err = rows.Scan(&p.ID, &p.Kind, &p.Name, instant{time: &p.Made}, instant{time: &p.Used})
		return p, err
	}, "SELECT id, kind, name, made, used FROM pass "+where, args...)
}
