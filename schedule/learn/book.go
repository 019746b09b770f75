package learn

import (
	"math"
	"slices"
)

// Prior is the spread of what is not known before any observation, in ln of
// the speed factor or in K. A zero field takes that of [RisePrior] or
// [TemperaturePrior].
type Prior struct {
	Kitchen float64 `json:"kitchen"` // all of the kitchen's doughs
	Bread   float64 `json:"bread"`   // one bread against the others
	Day     float64 `json:"day"`     // one day against the others; the book finds out whether half or up to 2.5 times that
	Memory  float64 `json:"memory"`  // days after which the likeness has fallen to 0.6
}

// RisePrior adds up to 0.30, a factor 1.35: published rises are predicted within
// 0.24, a home dough adds 1.5 °C and the age of the yeast. How it divides
// between kitchen, bread and day is judgement.
var RisePrior = Prior{Kitchen: 0.21, Bread: 0.20, Day: 0.06, Memory: 60}

// TemperaturePrior is for dough temperatures off the mixer, in K: judgement.
var TemperaturePrior = Prior{Kitchen: 1.2, Bread: 0.7, Day: 0.6, Memory: 60}

// What the curve of yeast over temperature, or of dose and sugar, adds to the
// 0.30 of a plain rise, as variances: 0.45 in all where cool or scarce, 0.60
// where cold.
const (
	coolExtra   = 0.45*0.45 - 0.30*0.30
	coldExtra   = 0.60*0.60 - 0.45*0.45
	scarceExtra = 0.45*0.45 - 0.30*0.30
)

// Book is what a kitchen has shown: its latest observations in a fixed order.
// The zero Book knows nothing and is ready for use.
type Book struct {
	Rise   Prior         `json:"rise"`
	Warmth Prior         `json:"warmth"`
	Seen   []Observation `json:"seen"`
}

// A book keeps the latest observations, of one bread and in all, rises and
// temperatures apart; more say nothing that these do not.
const (
	perBread = 10
	perBook  = 80
)

// Observe enters an observation. The order of entries does not matter.
func (b *Book) Observe(o Observation) error {
	if err := o.Validate(); err != nil {
		return err
	}
	at, _ := slices.BinarySearchFunc(b.Seen, o, compare)
	b.Seen = slices.Insert(b.Seen, at, o)
	warm := o.Kind == Temperature
	b.drop(perBread, func(x Observation) bool { return x.Bread == o.Bread && (x.Kind == Temperature) == warm })
	b.drop(perBook, func(x Observation) bool { return (x.Kind == Temperature) == warm })
	return nil
}

// drop removes the oldest of those that match beyond the latest keep.
func (b *Book) drop(keep int, match func(Observation) bool) {
	surplus := -keep
	for _, o := range b.Seen {
		if match(o) {
			surplus++
		}
	}
	b.Seen = slices.DeleteFunc(b.Seen, func(o Observation) bool {
		if surplus <= 0 || !match(o) {
			return false
		}
		surplus--
		return true
	})
}

// Forget drops what was seen of a bread: after a change of recipe, or of flour.
func (b *Book) Forget(bread string) {
	b.Seen = slices.DeleteFunc(b.Seen, func(o Observation) bool { return o.Bread == bread })
}

// Forecast is what the book says about one day.
func (b Book) Forecast(day int) Forecast {
	rises, temperatures := []Observation{}, []Observation{}
	for _, o := range b.Seen {
		if o.Validate() != nil { // a book from elsewhere
			continue
		}
		if o.Kind == Temperature {
			temperatures = append(temperatures, o)
		} else {
			rises = append(rises, o)
		}
	}
	return Forecast{
		day:    day,
		rise:   b.Rise.or(RisePrior).fit(rises, oneHabit),
		warmth: b.Warmth.or(TemperaturePrior).fit(temperatures, bothHabits),
	}
}

// or fills what is missing or impossible from q.
func (p Prior) or(q Prior) Prior {
	pick := func(v, usual, lo, hi float64) float64 {
		if v >= lo && v <= hi {
			return v
		}
		return usual
	}
	return Prior{
		pick(p.Kitchen, q.Kitchen, 0.01, 5), pick(p.Bread, q.Bread, 0.01, 5),
		pick(p.Day, q.Day, 0.01, 5), pick(p.Memory, q.Memory, 1, 1e4),
	}
}

// covariance of what two observations are about.
func (p Prior) covariance(a, b Observation) float64 {
	c := p.Kitchen * p.Kitchen
	if a.Bread == b.Bread {
		c += p.Bread * p.Bread
	}
	if a.Kind != Temperature {
		c += shared(a.Regime, b.Regime)
	}
	age := float64(a.Day-b.Day) / p.Memory
	c *= math.Exp(-age * age / 2)
	if a.Day == b.Day {
		c += p.Day * p.Day
	}
	return c
}

// shared is the extra variance that rises of two regimes have in common.
func shared(a, b Regime) float64 {
	if a > b {
		a, b = b, a
	}
	switch {
	case a == Cold && b == Cold:
		return coolExtra + coldExtra
	case a == Cool && b <= Cold:
		return coolExtra
	case a == Scarce:
		return scarceExtra
	}
	return 0
}
