package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"errors"
	"time"

	"ovenward/store/record"
)

// Passphrase gives the hash of the passphrase for other machines, "" if there is
// none.
func (s *Store) Passphrase(ctx context.Context) (hash string, err error) {
	defer wrap(&err, "passphrase")
	err = s.r.QueryRowContext(ctx, "SELECT hash FROM passphrase").Scan(&hash)
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return hash, err
}

// SetPassphrase keeps the hash of another passphrase, "" for none any more. Who
// came in by the former one is out.
func (s *Store) SetPassphrase(ctx context.Context, hash string, now time.Time) (err error) {
	defer wrap(&err, "set passphrase")
	return s.inTx(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "DELETE FROM session"); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "DELETE FROM passphrase"); err != nil || hash == "" {
			return err
		}
		_, err := tx.ExecContext(ctx, "INSERT INTO passphrase (id, hash, made) VALUES (1, ?, ?)", hash, ms(now))
		return err
	})
}

// BeginSession lets the holder of token in and gives the session's ID; ID and
// Seen of b are not looked at. Only a hash of the token is kept. Sessions that
// have ended are forgotten.
func (s *Store) BeginSession(ctx context.Context, token string, b record.Session) (id int64, err error) {
	defer wrap(&err, "begin session")
	err = s.inTx(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "DELETE FROM session WHERE ends <= ?", ms(b.Began)); err != nil {
			return err
		}
		res, err := tx.ExecContext(ctx, "INSERT INTO session (token, role, name, began, seen, ends) VALUES (?, ?, ?, ?, ?, ?)",
			hashed(token), b.Role, b.Name, ms(b.Began), ms(b.Began), ms(b.Ends))
		if err == nil {
			id, err = res.LastInsertId()
		}
		return err
	})
	return id, err
}

// seenEvery is how exactly it is kept when a session was last seen.
const seenEvery = time.Hour

// Session gives the session of token's holder at now (record.ErrNotFound once it
// has ended), and notes that it was seen.
func (s *Store) Session(ctx context.Context, token string, now time.Time) (b record.Session, err error) {
	defer wrap(&err, "session")
	all, err := sessions(ctx, s.r, "token = ? AND ends > ?", hashed(token), ms(now))
	if err == nil && len(all) == 0 {
		err = gone("this session")
	}
	if err != nil {
		return b, err
	}
	b = all[0]
	if now.Sub(b.Seen) >= seenEvery {
		b.Seen = now
		_, err = s.w.ExecContext(ctx, "UPDATE session SET seen = ? WHERE id = ?", ms(now), b.ID)
	}
	return b, err
}

// Sessions gives those that have not ended at now, the newest first.
func (s *Store) Sessions(ctx context.Context, now time.Time) (all []record.Session, err error) {
	defer wrap(&err, "sessions")
	return sessions(ctx, s.r, "ends > ? ORDER BY id DESC", ms(now))
}

// EndSession ends a session; one that has ended stays so.
func (s *Store) EndSession(ctx context.Context, id int64) (err error) {
	defer wrap(&err, "end session %d", id)
	_, err = s.w.ExecContext(ctx, "DELETE FROM session WHERE id = ?", id)
	return err
}

func sessions(ctx context.Context, q querier, where string, args ...any) ([]record.Session, error) {
	return collect(ctx, q, func(rows *sql.Rows) (b record.Session, err error) {
		err = rows.Scan(&b.ID, &b.Role, &b.Name, instant{time: &b.Began}, instant{time: &b.Seen}, instant{time: &b.Ends})
		return b, err
	}, "SELECT id, role, name, began, seen, ends FROM session WHERE "+where, args...)
}

// hashed is how a token is kept. It is as random as a key, so one round of a
// fast hash is enough.
func hashed(token string) []byte {
	sum := sha256.Sum256([]byte(token))
	return sum[:]
}
