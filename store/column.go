package store

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"time"
)

// instant is a time as a column: Unix milliseconds, NULL for the zero time. When
// read it is in its location, UTC if none is given.
type instant struct {
	time *time.Time
	in   *time.Location
}

// Scan implements sql.Scanner.
func (i instant) Scan(v any) error {
	switch v := v.(type) {
	case nil:
		*i.time = time.Time{}
	case int64:
		in := i.in
		if in == nil {
			in = time.UTC
		}
		*i.time = time.UnixMilli(v).In(in)
	default:
		return fmt.Errorf("%T is not an instant", v)
	}
	return nil
}

func ms(t time.Time) sql.NullInt64 { return sql.NullInt64{Int64: t.UnixMilli(), Valid: !t.IsZero()} }

// document is a value as a column: JSON, NULL left alone.
type document struct{ to any }

// Scan implements sql.Scanner.
func (d document) Scan(v any) error {
	switch v := v.(type) {
	case nil:
		return nil
	case string:
		return json.Unmarshal([]byte(v), d.to)
	default:
		return fmt.Errorf("%T is not a document", v)
	}
}

func text(v any) (string, error) {
	b, err := json.Marshal(v)
	return string(b), err
}
