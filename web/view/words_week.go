package view

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
)

// WeekModel is seven days at a glance.
type WeekModel struct {
	From, Today time.Time // dates
	Days        []WeekDay
}

// WeekDay is one date of the week.
type WeekDay struct {
	Date    time.Time
	Entries []WeekEntry
	Waiting []string              // standing orders that are in no day yet
	Own     string                // name of the baker's own day they could be added to
	Moved   []*schedule.WallError // times that are not one moment on this date
}

// WeekEntry is one day.
type WeekEntry struct {
	Day    record.Day
	Plan   *schedule.Plan // nil before the first
	Pieces []Pieces
}

// Pieces is so many of a bread.
type Pieces struct {
	Name string
	N    int
}

func (p Pieces) String() string { return fmt.Sprintf("%d\u00a0%s", p.N, p.Name) }

// PieceWords adds up what is ordered, bread by bread, the most first.
func PieceWords(orders []schedule.Order, names map[string]string) (all []Pieces) {
	for _, o := range orders {
		all = addPieces(all, Pieces{orElse(names[o.Bread], o.Bread), o.Pieces})
	}
	return all
}

func addPieces(all []Pieces, p Pieces) []Pieces {
	i := slices.IndexFunc(all, func(q Pieces) bool { return q.Name == p.Name })
	if i < 0 {
		return append(all, p)
	}
	all[i].N += p.N
	return all
}

// WaitingWords are standing orders on one date: "24 Plain bun, out by 07:30".
func WaitingWords(orders []schedule.Order, names map[string]string) (all []string) {
	for _, o := range orders {
		by := "out by "
		if o.Out == "" {
			by = "cooled by "
		}
		s := fmt.Sprintf("%d %s, %s%s", o.Pieces, orElse(names[o.Bread], o.Bread), by, clockOf(o.Promise()))
		if o.For != "" {
			s += ", for " + o.For
		}
		all = append(all, s)
	}
	return all
}

// clockOf is the time of the clock of a local time.
func clockOf(w schedule.Wall) string {
	if len(w) < len("2026-11-28T08:00") {
		return string(w)
	}
	return string(w[11:16])
}

// hands is when work begins: "Fri 22:10" where that is the day before.
func (e WeekEntry) hands() string {
	if e.Plan == nil {
		return "–"
	}
	at := e.Plan.Outcome.WorkStart
	if at.Format(time.DateOnly) == e.Day.Date {
		return clock(at)
	}
	return at.Format("Mon") + "\u00a0" + clock(at)
}

// oven is how long ovens are on.
func (e WeekEntry) oven() string {
	if e.Plan == nil {
		return "–"
	}
	return e.Plan.OvenTime().String()
}

// promises are how many there are, and when.
func (e WeekEntry) promises() string {
	var walls []string
	for _, o := range e.Day.Orders {
		if w := o.Promise(); w != "" {
			walls = append(walls, string(w))
		}
	}
	if len(walls) == 0 {
		return "none"
	}
	slices.Sort(walls)
	first, last := clockOf(schedule.Wall(walls[0])), clockOf(schedule.Wall(walls[len(walls)-1]))
	if first == last {
		return count(len(walls), "order") + ", " + first
	}
	return count(len(walls), "order") + ", " + first + "–" + last
}

// late reports whether a day's plan keeps its promises not.
func (e WeekEntry) late() bool { return e.Plan != nil && !e.Plan.Outcome.Kept }

// state is how a day stands, in few words.
func (e WeekEntry) state() string {
	switch {
	case e.Plan == nil:
		return "○ not planned"
	case e.Plan.Outcome.LateTotal > 0:
		return "! " + e.Plan.Outcome.LateTotal.String() + " late in all"
	case !e.Plan.Outcome.Kept:
		return "! cannot be kept as wished"
	}
	return "✓ planned, in time"
}

// inAll are the week's pieces by bread and its oven time.
func (m WeekModel) inAll() (pieces []Pieces, oven unit.Minutes) {
	for _, d := range m.Days {
		for _, e := range d.Entries {
			for _, p := range e.Pieces {
				pieces = addPieces(pieces, p)
			}
			if e.Plan != nil {
				oven += e.Plan.OvenTime()
			}
		}
	}
	return pieces, oven
}

// pieceList is "24 Plain bun, 6 Slipway".
func pieceList(all []Pieces) string {
	words := make([]string, len(all))
	for i, p := range all {
		words[i] = p.String()
	}
	return strings.Join(words, ", ")
}

// weekAt is the address of the week from a date on.
func weekAt(page string, from time.Time) string { return page + "?from=" + from.Format(time.DateOnly) }

// weekTitle is "23 to 29 November 2026".
func weekTitle(from time.Time) string {
	to := from.AddDate(0, 0, 6)
	layout := "2"
	if from.Month() != to.Month() {
		layout = "2 January"
	}
	if from.Year() != to.Year() {
		layout += " 2006"
	}
	return from.Format(layout) + " to " + to.Format("2 January 2006")
}

// entryName names a day unless its date does.
func entryName(d WeekDay, e WeekEntry) string {
	if e.Day.Name == DateName(d.Date) {
		return "The day"
	}
	return e.Day.Name
}
