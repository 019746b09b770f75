package store

import (
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"syscall"

	"github.com/mattn/go-sqlite3"

	"ovenward/store/record"
)

// refuse words a failure a person can do something about.
func refuse(kind error, message string, args ...any) error {
	return &record.Error{Kind: kind, Message: fmt.Sprintf(message, args...)}
}

// wrap, deferred, gives an error the call it came from, and a failure of the
// database a meaning.
func wrap(err *error, call string, args ...any) {
	if *err != nil {
		*err = fmt.Errorf("store: "+call+": %w", append(args, translate(*err))...)
	}
}

// list names a few things in a sentence.
func list(names []string) string {
	const most = 3
	if more := len(names) - most; more > 0 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), more)
	}
	return strings.Join(names, ", ")
}

// remedies says what a person can do when the storage fails.
var remedies = map[sqlite3.ErrNo]string{
	sqlite3.ErrFull:     "the disk is full; make room and try again",
	sqlite3.ErrReadonly: "the database cannot be written; check the rights of its folder",
	sqlite3.ErrPerm:     "the database cannot be written; check the rights of its folder",
	sqlite3.ErrCantOpen: "the database cannot be opened; check its folder",
	sqlite3.ErrIoErr:    "the disk has failed to read or write; check it and restore a backup if need be",
	sqlite3.ErrCorrupt:  "the database is damaged; restore a backup",
	sqlite3.ErrNotADB:   "the file is not a database; restore a backup",
	sqlite3.ErrBusy:     "another program holds the database; try again",
	sqlite3.ErrTooBig:   "this is too large to be kept",
}

func translate(err error) error {
	if _, ok := errors.AsType[*record.Error](err); ok {
		return err
	}
	if e, ok := errors.AsType[sqlite3.Error](err); ok {
		if noRoom(e) {
			e.Code = sqlite3.ErrFull
		}
		if remedy, ok := remedies[e.Code]; ok {
			kind := record.ErrStorage
			if e.Code == sqlite3.ErrCorrupt || e.Code == sqlite3.ErrNotADB {
				kind = record.ErrDamaged
			}
			return fmt.Errorf("%w (%w)", refuse(kind, "%s", remedy), err)
		}
	}
	for _, d := range failures {
		if errors.Is(err, d.is) {
			return fmt.Errorf("%w (%w)", refuse(record.ErrStorage, "%s", d.remedy), err)
		}
	}
	return err
}

// noRoom reports what SQLite calls a disk that fails, where it found no room for
// a file it writes beside the database.
func noRoom(e sqlite3.Error) bool {
	return e.Code == sqlite3.ErrIoErr && (e.SystemErrno == syscall.ENOSPC || e.SystemErrno == syscall.EDQUOT)
}

// failures are those of files we write ourselves.
var failures = []struct {
	is     error
	remedy string
}{
	{syscall.ENOSPC, remedies[sqlite3.ErrFull]},
	{syscall.EDQUOT, remedies[sqlite3.ErrFull]},
	{syscall.EROFS, "the folder cannot be written; check its rights, or choose another"},
	{syscall.ENOTDIR, "a file stands where the folder should be; move it, or choose another folder"},
	{syscall.EISDIR, "a folder stands where the file should be; move it, or choose another"},
	{fs.ErrPermission, "the file or its folder may not be read or written; check its rights, or choose another"},
}

// gone says that what was asked for is not there.
func gone(what string) error { return refuse(record.ErrNotFound, "%s is not there any more", what) }

// orGone gives the absence of a row that meaning.
func orGone(err error, what string) error {
	if errors.Is(err, sql.ErrNoRows) {
		return gone(what)
	}
	return err
}

// some fails if a statement has changed nothing.
func some(res sql.Result, what string) error {
	n, err := res.RowsAffected()
	if err == nil && n == 0 {
		err = gone(what)
	}
	return err
}

// missing reports a reference to a row that is not there.
func missing(err error) bool {
	e, ok := errors.AsType[sqlite3.Error](err)
	return ok && e.ExtendedCode == sqlite3.ErrConstraintForeignKey
}
