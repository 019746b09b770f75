package record

import "time"

// Role is what somebody who came in from another machine may do.
type Role string

// The roles.
const (
	Baker  Role = "baker"  // everything
	Helper Role = "helper" // see everything, and say "on it"
)

// Session is a browser on another machine that has come in.
type Session struct {
	ID    int64
	Role  Role
	Name  string // what kind of device it is: "Firefox on Android"
	Began time.Time
	Seen  time.Time // last, to the hour
	Ends  time.Time
}
