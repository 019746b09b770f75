package schedule

import "time"

// Heard is what has become of a call, as far as its next ring depends on it.
type Heard struct {
	Last    time.Time // of its rings; zero = none yet
	Acked   time.Time // when somebody was on it; zero = nobody is
	Shelved time.Time // silent until then
	Snoozes int       // in a row
}

// onItLeast keeps a call with hardly any slack from ringing back at once.
const onItLeast = 20 * time.Second

// Next tells when a call rings after all it has rung, and whether it ever does.
// The moments are the same whenever it is asked, so what was slept through is
// skipped, not made up for, and a clock set back rings nothing again.
//
// Somebody on it makes it ring once more after min(5 min, S/4) and, if that is
// sooner than too far, at too far.
func (a Alert) Next(h Heard) (at time.Time, ok bool) {
	switch {
	case h.Last.IsZero():
		return a.Due, true
	case a.Class == HeadsUp:
		return at, false
	case !h.Acked.IsZero():
		return a.remind(h)
	case h.Shelved.After(h.Last):
		return h.Shelved, true
	}
	end := a.silence()
	for at = a.Due; at.Before(end); at = a.again(at) {
		if at.After(h.Last) {
			return at, true
		}
	}
	return time.Time{}, false
}

func (a Alert) remind(h Heard) (time.Time, bool) {
	once := h.Acked.Add(max(a.quarter(), onItLeast))
	switch {
	case once.After(h.Last):
		return once, true
	case a.TooFar.After(once) && a.TooFar.After(h.Last):
		return a.TooFar, true
	}
	return time.Time{}, false
}

// silence is when an unanswered call falls silent.
func (a Alert) silence() time.Time {
	if a.TooFar.IsZero() {
		return a.Due.Add(hearing)
	}
	return a.from(Lost).Add(echo)
}

// again is the ring that follows one at a moment: after the pause of its step,
// but with every new step.
func (a Alert) again(at time.Time) time.Time {
	step := a.Step(at)
	next := at.Add(a.pause(step, at))
	for s := step + 1; s <= Lost; s++ {
		if from := a.from(s); from.After(at) && from.Before(next) {
			next = from
		}
	}
	return next
}

// pause is how long an unanswered call is quiet after a ring.
func (a Alert) pause(step Step, at time.Time) time.Duration {
	since := at.Sub(a.Due)
	switch urgent := a.ClassAt(at) == NowOrLost; {
	case step == Lost:
		return time.Minute
	case urgent:
		from := a.from(LastCall)
		if a.Class == NowOrLost || from.IsZero() {
			from = a.Due
		}
		if at.Before(from.Add(3 * time.Minute)) {
			return 15 * time.Second
		}
		since = at.Sub(from)
	case step == Calling && since < 20*time.Second:
		return 20*time.Second - since
	case step == Calling && since < time.Minute:
		return time.Minute - since
	case step == Calling:
		return 2 * time.Minute
	default:
		since = at.Sub(a.from(step))
	}
	if since >= dulled {
		return 5 * time.Minute
	}
	return time.Minute
}
