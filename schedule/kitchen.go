package schedule

import (
	"time"

	"ovenward/schedule/unit"
)

// Kitchen is what a day is made in. Names are unique within each list and are
// how stages and plans refer to places, mixers, ovens and people.
type Kitchen struct {
	Places []Place `json:"places"`
	Mixers []Mixer `json:"mixers,omitempty"`
	Ovens  []Oven  `json:"ovens"`
	Bakers []Baker `json:"bakers"`
	Tins   []Tin   `json:"tins,omitempty"`
	Trays  []Tray  `json:"trays,omitempty"` // beside the usual one
	// UsualTrays is how many usual trays there are; 0 = enough.
	UsualTrays int          `json:"usual_trays,omitempty"`
	Tub        unit.Grams   `json:"tub_grams"`     // dough one tub holds; a tub takes one space of a place
	Flour      unit.Celsius `json:"flour_celsius"` // where the flour is kept
	Tap        unit.Celsius `json:"tap_celsius"`   // cold tap water
}

// PlaceKind tells what a place is for.
type PlaceKind string

// The kinds of place.
const (
	Room PlaceKind = "room" // bench and shelves; the first room is the bench
	Warm PlaceKind = "warm" // prover, warm spot
	Cold PlaceKind = "cold" // fridge, cellar, retarder
)

// Place is somewhere dough can wait.
type Place struct {
	Name   string    `json:"name"`
	Kind   PlaceKind `json:"kind"`
	Air    Air       `json:"air,omitempty"` // how it passes heat; "" by kind
	Curve  []Reading `json:"curve"`         // temperature over the day, repeated daily
	Spaces int       `json:"spaces"`        // trays or tubs it takes at once; 0 = no limit
}

// Air is how a place passes heat to what stands in it.
type Air string

// The kinds of air, with the coefficient each stands for in package heat.
const (
	Still   Air = "still"   // open dough in a quiet room
	Covered Air = "covered" // covered dough in still air
	Fridge  Air = "fridge"  // household fridge without a fan
	Fan     Air = "fan"     // fridge or retarder with a fan
	Humid   Air = "humid"   // proof box with steam
)

// Reading is a temperature at a time of day. Between readings it is a straight
// line, from the last to the first over midnight.
type Reading struct {
	At      Clock        `json:"at"`
	Celsius unit.Celsius `json:"celsius"`
}

// At gives the place's temperature at a minute of the day (0 to 1440, fractions
// allowed), linear between readings and periodic.
func (p Place) At(minute float64) unit.Celsius {
	c := p.Curve
	n := len(c)
	if n == 0 {
		return 0
	}
	i := n - 1 // the last reading at or before minute; before the first, yesterday's last
	for k := range c {
		if float64(c[k].At) <= minute {
			i = k
		}
	}
	if minute < float64(c[0].At) {
		i = n - 1
		minute += 24 * 60
	}
	a, b := c[i], c[(i+1)%n]
	end := float64(b.At)
	if i == n-1 {
		end += 24 * 60
	}
	span := end - float64(a.At)
	if span <= 0 {
		return a.Celsius
	}
	return a.Celsius + (b.Celsius-a.Celsius)*unit.Celsius((minute-float64(a.At))/span)
}

// Mixer kneads between Least and Most grams of dough at once.
type Mixer struct {
	Name  string     `json:"name"`
	Least unit.Grams `json:"least_grams"`
	Most  unit.Grams `json:"most_grams"`
}

// Oven has decks of trays, all at one temperature. Decks with a temperature of
// their own are entered as ovens.
type Oven struct {
	Name         string       `json:"name"`
	Decks        int          `json:"decks"`
	TraysPerDeck int          `json:"trays_per_deck"`
	Max          unit.Celsius `json:"max_celsius"`
	Heat         unit.Kelvins `json:"heats_per_minute"` // K per minute, heating
	Cool         unit.Kelvins `json:"cools_per_minute"` // K per minute, cooling
	Holds        []Held       `json:"holds,omitempty"`  // of tins and other trays
}

// Trays is how many usual trays the oven takes at once, if all decks are equal.
func (o Oven) Trays() int { return o.Decks * o.TraysPerDeck }

// Baker is one pair of hands.
type Baker struct {
	Name   string      `json:"name"`
	Hours  []Hours     `json:"hours"`            // at work
	Away   []Span      `json:"away,omitempty"`   // away on this day
	Stays  []Span      `json:"stays,omitempty"`  // there on this day, beyond the hours
	Cannot []StageKind `json:"cannot,omitempty"` // stages this person does not do
}

// Hours is a span of the day on which it begins; To before From passes midnight.
type Hours struct {
	From Clock    `json:"from"`
	To   Clock    `json:"to"`
	Days Weekdays `json:"days,omitempty"` // 0 = every day
}

// on reports whether the span begins on a day of the week.
func (h Hours) on(d time.Weekday) bool { return h.Days == 0 || h.Days.Has(d) }

// Span is when a person is away, or there beyond the hours.
type Span struct {
	From Wall `json:"from"`
	To   Wall `json:"to"`
}

// in gives the moments of a span in a zone; false where it has none.
func (s Span) in(loc *time.Location) (from, to time.Time, ok bool) {
	from, err1 := s.From.In(loc)
	to, err2 := s.To.In(loc)
	return from, to, err1 == nil && err2 == nil
}

// Tin is a kind of tin and how many there are.
type Tin struct {
	Name   string      `json:"name"`
	Count  int         `json:"count"`
	Litres unit.Litres `json:"litres"`
}
