package schedule

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Standing is an order that stands for every week: so many pieces of a bread,
// on some weekdays, by a time of the clock.
type Standing struct {
	ID     string   `json:"id"`
	Bread  string   `json:"bread"` // ID
	Pieces int      `json:"pieces"`
	Days   Weekdays `json:"days"`
	At     Clock    `json:"at"`             // before midnight
	Cool   bool     `json:"cool,omitempty"` // cooled and finished by At; else out of the oven by it
	From   string   `json:"from"`           // the first date it is for, "2026-11-28"
	Until  string   `json:"until,omitempty"`
	For    string   `json:"for,omitempty"`    // who it is for, in the baker's words
	Weight int      `json:"weight,omitempty"` // how much a late minute matters; 0 = 1
	// Except are the dates on which it is otherwise, each once. One that the order
	// does not fall on by its weekday is a delivery more.
	Except []Exception `json:"except,omitempty"`
}

// Exception is what a standing order is on one date.
type Exception struct {
	Date   string `json:"date"`
	Pieces int    `json:"pieces"`       // 0 = none on that date
	At     *Clock `json:"at,omitempty"` // nil = as usual
}

// On gives the order of a date; due is false where there is none. Its promise is
// a time of the clock that [Wall.Settle] must still make one moment.
func (s *Standing) On(date time.Time) (o Order, due bool) {
	day := date.Format(time.DateOnly)
	pieces, at := s.Pieces, s.At
	due = s.Days.Has(date.Weekday()) && day >= s.From && (s.Until == "" || day <= s.Until)
	for _, e := range s.Except {
		if e.Date == day {
			pieces, due = e.Pieces, e.Pieces > 0
			if e.At != nil {
				at = *e.At
			}
		}
	}
	o = Order{Bread: s.Bread, Pieces: pieces, For: s.For, Weight: s.Weight}
	wall := Wall(day + "T" + at.String())
	if s.Cool {
		o.Ready = wall
	} else {
		o.Out = wall
	}
	return o, due
}

// OrdersOn gathers what standing orders ask for on a date, by promise, then as
// given. Times that a change of clocks skips or repeats are settled as
// [Wall.Settle] does; moved are those.
func OrdersOn(all []Standing, date time.Time, loc *time.Location) (orders []Order, moved []*WallError) {
	for i := range all {
		o, due := all[i].On(date)
		if !due {
			continue
		}
		if change := o.Settle(loc); change != nil {
			moved = append(moved, change)
		}
		orders = append(orders, o)
	}
	slices.SortStableFunc(orders, func(a, b Order) int { return strings.Compare(string(a.Promise()), string(b.Promise())) })
	return orders, moved
}

// Settle makes a time of the clock one moment in loc. One that clocks skip is as
// long after the hour before as it says: an hour later on the clock. Of one that
// happens twice it is the first (RFC 5545, 3.3.5, has both rules). moved says that
// it was so; text that is no time is given back as it is.
func (w Wall) Settle(loc *time.Location) (at Wall, moved *WallError) {
	_, err := w.In(loc)
	moved, ok := errors.AsType[*WallError](err)
	switch {
	case !ok:
		return w, nil
	case moved.Gap:
		return WallOf(moved.Choices[1]), moved
	}
	return WallOf(moved.Choices[0]), moved
}

// Validate lists what is wrong with a standing order; fields are named as in its
// JSON.
func (s *Standing) Validate() Faults {
	var fs Faults
	if s.Pieces < 1 || s.Pieces > mostPieces {
		fs.add("pieces", "%d pieces cannot be baked", "give 1 to 10000", s.Pieces)
	}
	if s.Days <= 0 || s.Days > EveryDay {
		fs.add("days", "no weekday is chosen", "tick the days it is for")
	}
	if s.At < 0 || s.At >= minutesPerDay {
		fs.add("at", "%s is not within the day", "give a time from 00:00 to 23:59", s.At)
	}
	if fs.date("from", s.From) && s.Until != "" && fs.date("until", s.Until) && s.Until < s.From {
		fs.add("until", "the last date, %s, is before the first", "give a later one, or none for no end", s.Until)
	}
	if s.Weight < 0 || s.Weight > 1000 {
		fs.add("weight", "a weight of %d cannot be", "leave it out, or give 1 to 1000: how much a late minute matters", s.Weight)
	}
	seen := map[string]bool{}
	for i, e := range s.Except {
		at := fmt.Sprintf("except[%d]", i)
		if fs.date(at+".date", e.Date) && seen[e.Date] {
			fs.add(at+".date", "%s is given twice", "keep one of the two", e.Date)
		}
		seen[e.Date] = true
		if e.Pieces < 0 || e.Pieces > mostPieces {
			fs.add(at+".pieces", "%d pieces cannot be baked", "give 0 for none, or 1 to 10000", e.Pieces)
		}
		if e.At != nil && (*e.At < 0 || *e.At >= minutesPerDay) {
			fs.add(at+".at", "%s is not within the day", "give a time from 00:00 to 23:59, or nothing for the usual one", *e.At)
		}
	}
	return fs
}

// mostPieces is the most of one order.
const mostPieces = 10000

// date adds a fault where text is no date.
func (fs *Faults) date(where, text string) bool {
	_, err := time.Parse(time.DateOnly, text)
	if err != nil {
		fs.add(where, "%q is not a date", "write it as 2026-11-28", text)
	}
	return err == nil
}
