package schedule

import "time"

// Step is how far a call that nobody answers has risen. It follows from the
// time alone and never falls.
type Step int

// The steps. With D the time a call is due, F its too far and S = F - D:
const (
	Ahead    Step = iota // before D
	Calling              // from D: rings, seldom
	Pressing             // from D + min(5 min, S/4): every minute, on every screen
	Choosing             // from D + S/2: fills the screen with what can be done and what it costs
	LastCall             // from F - what the hands take - 2 min: now or lost
	Lost                 // from F: the sound ends; what became of the dough is to be said
)

const (
	quarter  = 5 * time.Minute  // most that a call waits before it presses
	reaction = 2 * time.Minute  // to wash hands and walk there
	echo     = 3 * time.Minute  // within which the sound ends after too far
	hearing  = 30 * time.Minute // how long a call without a too far is heard
	dulled   = 30 * time.Minute // after which ringing every minute helps nobody
)

// Step tells how far the call has risen at a moment.
func (a Alert) Step(at time.Time) Step {
	for s := Lost; s > Ahead; s-- {
		if from := a.from(s); !from.IsZero() && !at.Before(from) {
			return s
		}
	}
	return Ahead
}

// from is when a step begins, zero for never. A heads-up only ever calls, and
// without a too far nothing is lost.
func (a Alert) from(s Step) time.Time {
	switch {
	case s == Calling:
		return a.Due
	case s == Ahead || a.Class == HeadsUp || a.TooFar.IsZero() && s > Pressing:
		return time.Time{}
	}
	slack, at := a.slack(), a.Due
	switch s {
	case Pressing:
		at = a.Due.Add(a.quarter())
	case Choosing:
		at = a.Due.Add(slack / 2)
	case LastCall:
		at = a.latestBegin().Add(-reaction)
	case Lost:
		at = a.TooFar
	}
	if at.Before(a.Due) {
		return a.Due
	}
	return at
}

func (a Alert) slack() time.Duration { return max(a.TooFar.Sub(a.Due), 0) }

// quarter is the share of the slack a call leaves alone: before it presses, and
// after "on it".
func (a Alert) quarter() time.Duration {
	if a.TooFar.IsZero() {
		return quarter
	}
	return min(quarter, a.slack()/4)
}

// latestBegin is when the hands must begin at the latest.
func (a Alert) latestBegin() time.Time { return a.TooFar.Add(-a.takes()) }

func (a Alert) takes() time.Duration { return time.Duration(float64(a.Takes) * float64(time.Minute)) }

// ClassAt is how urgent the call is at a moment: its own class, until what is
// left is hardly more than the hands take.
func (a Alert) ClassAt(at time.Time) AlertClass {
	if a.Step(at) >= LastCall {
		return NowOrLost
	}
	return a.Class
}
