package schedule

import (
	"fmt"
	"slices"
	"time"
)

// DayFormat names the version of the day file this package reads and writes.
const DayFormat = "ovenward-day/1"

// Day is everything a plan is made from. Two equal days give equal plans.
type Day struct {
	Format   string   `json:"format"` // DayFormat
	Name     string   `json:"name"`
	Example  bool     `json:"example,omitempty"` // invented, shown as such
	Zone     string   `json:"zone"`              // IANA name, "Europe/Dublin"
	Now      Wall     `json:"now"`               // nothing is planned before it
	Settings Settings `json:"settings,omitzero"`
	Kitchen  Kitchen  `json:"kitchen"`
	Bases    []Base   `json:"bases,omitempty"`
	Breads   []Bread  `json:"breads"`
	Orders   []Order  `json:"orders"`
	// Learned is what earlier days taught about doughs here.
	Learned []Learned `json:"learned,omitempty"`
}

// LearnedOf is what is known of a dough; ok is false for nothing.
func (d *Day) LearnedOf(id string) (l Learned, ok bool) {
	for _, l := range d.Learned {
		if l.Dough == id {
			return l, true
		}
	}
	return Learned{Dough: id, Pace: Pace{Speed: 1}}, false
}

// Settings steer the planner. The zero value is the usual.
type Settings struct {
	Steps int    `json:"steps,omitempty"` // search steps; 0 = by size of the day
	Seed  uint64 `json:"seed,omitempty"`  // of the search
	Slack int    `json:"slack,omitempty"` // minutes dough may lie between two works at the bench; 0 = 15
	// Reserve is the minutes kept in hand before every promise, since a forecast
	// has a spread; used up, minute by minute, where that is cheaper than what
	// else it takes. 0 = 15, below 0 = none.
	Reserve int `json:"reserve,omitempty"`
}

// Location loads the day's zone.
func (d *Day) Location() (*time.Location, error) {
	if d.Zone == "" {
		return nil, fmt.Errorf("no time zone given")
	}
	return time.LoadLocation(d.Zone)
}

// Bread finds a bread by ID.
func (d *Day) Bread(id string) (*Bread, bool) {
	for i := range d.Breads {
		if d.Breads[i].ID == id {
			return &d.Breads[i], true
		}
	}
	return nil, false
}

// Base finds a base dough by ID.
func (d *Day) Base(id string) (*Base, bool) {
	for i := range d.Bases {
		if d.Bases[i].ID == id {
			return &d.Bases[i], true
		}
	}
	return nil, false
}

// Place finds a place by name; "" is the bench, the first room.
func (k *Kitchen) Place(name string) (*Place, bool) {
	for i := range k.Places {
		if p := &k.Places[i]; p.Name == name || name == "" && p.Kind == Room {
			return p, true
		}
	}
	return nil, false
}

// fridge is the first cold place, nil for none.
func (k *Kitchen) fridge() *Place {
	if i := slices.IndexFunc(k.Places, func(p Place) bool { return p.Kind == Cold }); i >= 0 {
		return &k.Places[i]
	}
	return nil
}
