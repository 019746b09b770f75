package store

import (
	"context"
	"database/sql"
	"errors"
)

// Setting gives what is set for key, "" if nothing is.
func (s *Store) Setting(ctx context.Context, key string) (value string, err error) {
	defer wrap(&err, "setting %q", key)
	err = s.r.QueryRowContext(ctx, "SELECT value FROM setting WHERE key = ?", key).Scan(&value)
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return value, err
}

// SetSetting sets key; "" unsets it.
func (s *Store) SetSetting(ctx context.Context, key, value string) (err error) {
	defer wrap(&err, "set setting %q", key)
	if value == "" {
		_, err = s.w.ExecContext(ctx, "DELETE FROM setting WHERE key = ?", key)
		return err
	}
	_, err = s.w.ExecContext(ctx, "INSERT INTO setting (key, value) VALUES (?, ?) ON CONFLICT DO UPDATE SET value = excluded.value", key, value)
	return err
}
