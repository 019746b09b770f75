package schedule

import (
	"slices"
	"time"
)

// AtWork reports whether the baker is at work, and not away, all the time from
// from to to. Hours and absences are local times of from's zone: when clocks
// change in the night, a shift until 06:00 ends when the clock on the wall says
// so. A time of day that happens twice begins a shift the first time and ends
// it the second; one that is skipped is the moment of the change.
func (b Baker) AtWork(from, to time.Time) bool {
	if b.away(from, to) {
		return false
	}
	for at := from; ; {
		end := b.shiftEnd(at)
		if !end.Before(to) {
			return true
		}
		if !end.After(at) {
			return false
		}
		at = end
	}
}

// away says whether the baker is said to be away at any moment between two. Who is
// away is so whatever the hours are.
func (b Baker) away(from, to time.Time) bool {
	return slices.ContainsFunc(b.Away, func(a Span) bool {
		begin, end, ok := a.in(from.Location())
		return ok && begin.Before(to) && end.After(from)
	})
}

// shiftEnd is the latest end of the shifts, and of what is stayed beyond them, that
// t lies in, zero for none.
func (b Baker) shiftEnd(t time.Time) time.Time {
	var last time.Time
	for _, h := range b.Hours {
		for _, ago := range []int{1, 0} { // yesterday's may pass midnight
			y, m, d := t.Date()
			if !h.on(time.Date(y, m, d-ago, 0, 0, 0, 0, time.UTC).Weekday()) {
				continue
			}
			begin := clockOn(y, m, d-ago, h.From, t.Location(), false)
			if h.To <= h.From {
				d++
			}
			end := clockOn(y, m, d-ago, h.To, t.Location(), true)
			if !t.Before(begin) && t.Before(end) && end.After(last) {
				last = end
			}
		}
	}
	for _, s := range b.Stays {
		from, to, ok := s.in(t.Location())
		if ok && !t.Before(from) && t.Before(to) && to.After(last) {
			last = to
		}
	}
	return last
}

// clockOn is the moment a clock in loc says c on a date: of two such moments
// the first or, with last, the second; of none the change that skips it.
func clockOn(y int, m time.Month, d int, c Clock, loc *time.Location, last bool) time.Time {
	t := time.Date(y, m, d, 0, int(c), 0, 0, loc)
	want := time.Date(y, m, d, 0, int(c), 0, 0, time.UTC)
	_, offset := t.Zone()
	begin, end := t.ZoneBounds()
	switch said := t.Add(time.Duration(offset) * time.Second); {
	case said.After(want):
		return begin.In(loc)
	case said.Before(want):
		return end.In(loc)
	}
	if last && !end.IsZero() {
		_, next := end.In(loc).Zone()
		if again := t.Add(time.Duration(offset-next) * time.Second); !again.Before(end) && next < offset {
			return again
		}
	}
	if !last && !begin.IsZero() {
		_, prev := begin.Add(-1).In(loc).Zone()
		if first := t.Add(time.Duration(offset-prev) * time.Second); first.Before(begin) && prev > offset {
			return first
		}
	}
	return t
}
