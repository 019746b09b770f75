package store

import (
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"io"
	"io/fs"
	"os"

	"ovenward/store/record"
)

// Where the header of an SQLite file keeps its marks, big-endian
// (https://www.sqlite.org/fileformat2.html#the_database_header).
const (
	magic         = "SQLite format 3\x00"
	pagesAt       = 28
	versionAt     = 60
	applicationAt = 68
	headerSize    = 100

	applicationID = 0x6f76656e // set by the first migration
)

// inspect refuses a file that is newer than the program or not ours. It reads
// the header itself, since even opening a database may write to it.
func inspect(ctx context.Context, path string, newest int) error {
	header, err := readHeader(path)
	if err != nil || header == nil {
		return err
	}
	if string(header[:len(magic)]) != magic {
		return refuse(record.ErrForeign, "%s is not a database; nothing was changed: choose another file or folder, or restore a backup", path)
	}
	m := marks{
		pages:   binary.BigEndian.Uint32(header[pagesAt:]),
		version: binary.BigEndian.Uint32(header[versionAt:]),
		id:      binary.BigEndian.Uint32(header[applicationAt:]),
	}
	if LogSize(path) > 0 {
		// After a crash the truth may still be in the write-ahead log.
		if m, err = readMarks(ctx, path); err != nil {
			return err
		}
	}
	if m.pages <= 1 {
		return nil // no table yet: we crashed while making it
	}
	if m.id != applicationID {
		return refuse(record.ErrForeign, "%s is a database of another program; nothing was changed: choose another file or folder", path)
	}
	if int(m.version) > newest {
		return refuse(record.ErrNewer,
			"the database %s was made by a newer ovenward (format %d, this program knows %d); nothing was changed: use the newer program, or restore a backup",
			path, m.version, newest)
	}
	return nil
}

// readHeader gives nil for a file that does not exist or is empty.
func readHeader(path string) ([]byte, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	header := make([]byte, headerSize)
	switch _, err := io.ReadFull(f, header); {
	case errors.Is(err, io.EOF):
		return nil, nil
	case errors.Is(err, io.ErrUnexpectedEOF):
		return header, nil // too short; the magic tells
	default:
		return header, err
	}
}

// marks are what the header says about the database.
type marks struct{ pages, version, id uint32 }

func readMarks(ctx context.Context, path string) (m marks, err error) {
	db, err := sql.Open("sqlite3", dsn(path, "mode=ro&_query_only=on"))
	if err != nil {
		return m, err
	}
	defer db.Close()
	err = db.QueryRowContext(ctx, "SELECT page_count, user_version, application_id FROM pragma_page_count, pragma_user_version, pragma_application_id").
		Scan(&m.pages, &m.version, &m.id)
	return m, err
}
