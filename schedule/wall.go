package schedule

import (
	"errors"
	"fmt"
	"strconv"
	"time"
)

// Wall is a local time as a baker says it: "2026-11-28T08:00". On the night
// clocks go back an hour happens twice; then the offset tells which one is
// meant: "2026-10-25T01:30+01:00".
type Wall string

const wallLayout = "2006-01-02T15:04"

// ErrWall marks text that is not a local time at all.
var ErrWall = errors.New("not a date and time")

// A WallError says why a well-formed local time is not one instant.
type WallError struct {
	Wall    Wall
	Zone    string
	Choices []time.Time // the two instants it may mean, or the two nearest that exist
	Gap     bool        // true: the time is skipped; false: it happens twice
}

func (e *WallError) Error() string {
	a, b := e.Choices[0], e.Choices[1]
	if e.Gap {
		return fmt.Sprintf("%s does not exist in %s: clocks go forward over it; say %s or %s",
			e.Wall, e.Zone, a.Format(wallLayout), b.Format(wallLayout))
	}
	return fmt.Sprintf("%s happens twice in %s, as clocks go back; say %s or %s",
		e.Wall, e.Zone, a.Format(wallLayout+"Z07:00"), b.Format(wallLayout+"Z07:00"))
}

// WallOf writes an instant as the local time of its own zone, with the offset
// only where it is needed to tell two equal hours apart.
func WallOf(t time.Time) Wall {
	w := Wall(t.Format(wallLayout))
	if _, err := w.In(t.Location()); err != nil {
		return Wall(t.Format(wallLayout + "Z07:00"))
	}
	return w
}

// AddDays is the same time of day so many days of the calendar on, without an offset:
// which of two equal hours was meant holds for its own date alone. What is no local
// time stays as it is.
func (w Wall) AddDays(n int) Wall {
	if len(w) < len(wallLayout) {
		return w
	}
	t, err := time.Parse(wallLayout, string(w[:len(wallLayout)]))
	if err != nil {
		return w
	}
	return Wall(t.AddDate(0, 0, n).Format(wallLayout))
}

// In gives the instant w means in loc. The error is ErrWall, or a *WallError
// for a time that a change of clocks skips or repeats.
func (w Wall) In(loc *time.Location) (time.Time, error) {
	if t, err := time.Parse(wallLayout+"Z07:00", string(w)); err == nil {
		return withOffset(w, t, loc)
	}
	naive, err := time.Parse(wallLayout, string(w))
	if err != nil || naive.Format(wallLayout) != string(w) { // Parse takes "T8:00" too
		return time.Time{}, fmt.Errorf("%w: %q; write it as 2026-11-28T08:00", ErrWall, string(w))
	}
	t := time.Date(naive.Year(), naive.Month(), naive.Day(), naive.Hour(), naive.Minute(), 0, 0, loc)
	var same []time.Time
	seen := map[int]bool{}
	var offsets []int
	for _, d := range []time.Duration{-26 * time.Hour, 26 * time.Hour} {
		if _, o := t.Add(d).Zone(); !seen[o] {
			seen[o] = true
			offsets = append(offsets, o)
		}
	}
	for _, o := range offsets {
		c := naive.Add(-time.Duration(o) * time.Second).In(loc)
		if c.Format(wallLayout) == string(w) {
			same = append(same, c)
		}
	}
	switch {
	case len(same) == 1:
		return same[0], nil
	case len(same) == 0 && len(offsets) == 1: // an offset of seconds, long ago
		return t, nil
	case len(same) == 0:
		before := naive.Add(-time.Duration(offsets[1]) * time.Second).In(loc)
		after := naive.Add(-time.Duration(offsets[0]) * time.Second).In(loc)
		return time.Time{}, &WallError{w, loc.String(), []time.Time{before, after}, true}
	default:
		return time.Time{}, &WallError{w, loc.String(), same, false}
	}
}

// withOffset accepts an explicit offset only if the zone really has it then.
func withOffset(w Wall, t time.Time, loc *time.Location) (time.Time, error) {
	local := t.In(loc)
	if local.Format(wallLayout) != t.Format(wallLayout) {
		return time.Time{}, fmt.Errorf("%w: %q has an offset that %s does not have then; leave the offset away", ErrWall, string(w), loc)
	}
	return local, nil
}

// Clock is a time of day in minutes from midnight, "06:30" in files.
type Clock int

// ParseClock reads "06:30"; 24:00 is the end of a day.
func ParseClock(s string) (Clock, error) {
	if len(s) == 5 && s[2] == ':' {
		h, err1 := strconv.ParseUint(s[:2], 10, 8)
		m, err2 := strconv.ParseUint(s[3:], 10, 8)
		if err1 == nil && err2 == nil && m < 60 && h*60+m <= 24*60 {
			return Clock(h*60 + m), nil
		}
	}
	return 0, fmt.Errorf("%q is not a time of day; write it as 06:30", s)
}

func (c Clock) String() string { return fmt.Sprintf("%02d:%02d", int(c)/60, int(c)%60) }

// MarshalText writes "06:30".
func (c Clock) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads "06:30".
func (c *Clock) UnmarshalText(b []byte) error {
	v, err := ParseClock(string(b))
	*c = v
	return err
}
