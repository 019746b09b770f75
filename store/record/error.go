package record

import (
	"errors"
	"fmt"
)

// The kinds of refusal.
var (
	ErrNotFound = errors.New("not found")
	ErrInvalid  = errors.New("invalid")            // what was given cannot be kept
	ErrInUse    = errors.New("in use")             // something else needs it
	ErrReplaced = errors.New("plan replaced")      // a tap on a plan that is no longer the newest
	ErrTooLate  = errors.New("too late")           // to undo
	ErrNewer    = errors.New("database is newer")  // than the program; untouched
	ErrForeign  = errors.New("not our database")   // untouched
	ErrTaken    = errors.New("database in use")    // by another running program
	ErrStorage  = errors.New("storage has failed") // disk full, damaged, not writable
	ErrDamaged  = fmt.Errorf("%w: database is damaged", ErrStorage)
)

// Error is a failure a person can do something about.
type Error struct {
	Kind    error  // one of the above
	Message string // a sentence for that person
}

func (e *Error) Error() string { return e.Message }

// Unwrap gives the kind, for errors.Is.
func (e *Error) Unwrap() error { return e.Kind }
