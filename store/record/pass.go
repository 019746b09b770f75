package record

import "time"

// PassKind is what a pass is good for.
type PassKind string

// The kinds of pass.
const (
	CalendarPass PassKind = "calendar" // to read the coming days as a calendar, at a secret address
	DataPass     PassKind = "data"     // to use the data as a baker does
)

// Pass lets another program in; it holds a secret of which only a hash is kept.
type Pass struct {
	ID   int64
	Kind PassKind
	Name string // whose it is: "phone"
	Made time.Time
	Used time.Time // last, to the hour; zero = never
}
