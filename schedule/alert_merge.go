package schedule

import (
	"cmp"
	"slices"
	"time"

	"ovenward/schedule/unit"
)

const (
	together = 2 * time.Minute  // calls to one person at one place are one within it
	tremble  = 3 * time.Minute  // a forecast's shift below it means nothing
	atHand   = 10 * time.Minute // a call so near stays where it is
)

// MergeAlerts puts calls to the same person at the same place within two minutes
// of the first together, as one card: by the first one due, and within a card
// least slack first, in the order they are best done. of tells what call a T is.
func MergeAlerts[T any](calls []T, of func(T) Alert) [][]T {
	calls = slices.Clone(calls)
	slices.SortStableFunc(calls, func(a, b T) int { return of(a).Due.Compare(of(b).Due) })
	var cards [][]T
	for _, c := range calls {
		a := of(c)
		i := slices.IndexFunc(cards, func(card []T) bool {
			first := of(card[0])
			return first.Baker == a.Baker && first.Place == a.Place && a.Due.Sub(first.Due) <= together
		})
		if i < 0 {
			cards = append(cards, []T{c})
			continue
		}
		cards[i] = append(cards[i], c)
	}
	for _, card := range cards {
		slices.SortStableFunc(card, func(a, b T) int { return of(a).bySlack(of(b)) })
	}
	return cards
}

// bySlack puts what must begin soonest first, what has no limit last.
func (a Alert) bySlack(b Alert) int {
	if a.TooFar.IsZero() != b.TooFar.IsZero() {
		if a.TooFar.IsZero() {
			return 1
		}
		return -1
	}
	return cmp.Or(a.latestBegin().Compare(b.latestBegin()), a.Due.Compare(b.Due))
}

// Stays reports whether a call, not rung yet, is left alone although a new plan
// has it as next: forecasts tremble, and what is near shall not move about. Bread
// goes by the clock instead: loaded by a call that stayed where it was, it would
// be called out by a plan that loads it later.
func (a Alert) Stays(next Alert, now time.Time) bool {
	return a.Due.Equal(next.Due) || !a.ofBread() && a.Due.Sub(now) < atHand && next.Due.Sub(a.Due).Abs() < tremble
}

// ofBread tells a call to load or unload an oven.
func (a Alert) ofBread() bool {
	return a.Kind == CallUnload || a.Kind == CallStart && a.Place != ""
}

// The most calls, those at once merged, that a person answers well: two in ten
// minutes, six in an hour. After the rates given for process alarms (an operator
// manages one in ten minutes, at most two), ISA-18.2 and EEMUA 191, from memory.
var alertLoads = []struct {
	within unit.Minutes
	most   int
}{{10, 2}, {60, 6}}

// AlertLoad warns of a plan that calls more often than a person answers well: a
// note "alert-load" for the worst ten minutes and for the worst hour, each if
// over its limit, with the number of calls and the minutes.
func AlertLoad(alerts []Alert) []Note {
	var notes []Note
	for _, l := range alertLoads {
		if n, at := Busiest(alerts, l.within); n > l.most {
			notes = append(notes, Note{Code: "alert-load", At: &at, Num: float64(n), By: l.within})
		}
	}
	return notes
}

// Busiest counts the calls, those at once merged, that are due within so many
// minutes where they are most, and tells when the first of those is.
func Busiest(alerts []Alert, within unit.Minutes) (most int, from time.Time) {
	var due []time.Time
	for _, card := range MergeAlerts(alerts, func(a Alert) Alert { return a }) {
		first := slices.MinFunc(card, func(a, b Alert) int { return a.Due.Compare(b.Due) })
		due = append(due, first.Due)
	}
	for i, at := range due {
		n := 0
		for i+n < len(due) && due[i+n].Sub(at) < time.Duration(within)*time.Minute {
			n++
		}
		if n > most {
			most, from = n, at
		}
	}
	return most, from
}
