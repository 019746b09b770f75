package view

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"ovenward/schedule/unit"
)

// clock is the time of day, "04:05".
func clock(t time.Time) string { return t.Format("15:04") }

// sameDay reports whether two instants are on one calendar day of a's zone.
func sameDay(a, b time.Time) bool {
	y, m, d := a.Date()
	y2, m2, d2 := b.In(a.Location()).Date()
	return y == y2 && m == m2 && d == d2
}

// Clock is the time of day, with the weekday where it is another day than the
// one spoken of: "04:05", "Fri 22:30".
func Clock(t, day time.Time) string {
	if sameDay(t, day) {
		return clock(t)
	}
	return t.Format("Mon") + "\u00a0" + clock(t)
}

// span is "06:20–06:30".
func span(from, to time.Time) string { return clock(from) + "–" + clock(to) }

// signed is a shift in minutes as a chip: "+15 min", "−1 h 05".
func signed(d time.Duration) string {
	m := unit.Minutes(math.Abs(math.Round(d.Minutes())))
	if d < 0 {
		return "−" + m.String()
	}
	return "+" + m.String()
}

// fromNow says where an instant lies from now: "in 12 min", "7 min late".
func fromNow(t, now time.Time) string {
	d := t.Sub(now).Round(time.Minute)
	switch {
	case d > 0:
		return "in " + unit.Minutes(d.Minutes()).String()
	case d < 0:
		return unit.Minutes(-d.Minutes()).String() + " late"
	}
	return "now"
}

// stamp is an instant for a machine, in UTC.
func stamp(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05Z") }

// date is "Saturday 28 November 2026".
func date(t time.Time) string { return t.Format("Monday 2 January 2006") }

// list joins with commas and "and".
func list(items []string) string {
	switch n := len(items); n {
	case 0:
		return ""
	case 1:
		return items[0]
	default:
		return strings.Join(items[:n-1], ", ") + " and " + items[n-1]
	}
}

// count is "1 piece", "24 pieces".
func count(n int, one string) string {
	if n == 1 {
		return "1\u00a0" + one
	}
	return fmt.Sprintf("%d\u00a0%ss", n, one)
}

// upper makes the first letter a capital.
func upper(s string) string {
	if s == "" {
		return s
	}
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(s[:n]) + s[n:]
}

// lower makes the first letter small.
func lower(s string) string {
	if s == "" {
		return s
	}
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToLower(s[:n]) + s[n:]
}

// Sentence makes a message of the program one: capital, full stop.
func Sentence(s string) string {
	s = upper(s)
	if !strings.HasSuffix(s, ".") && !strings.HasSuffix(s, "?") {
		s += "."
	}
	return s
}
