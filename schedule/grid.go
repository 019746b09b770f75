package schedule

import (
	"slices"
	"time"

	"ovenward/schedule/simulate"
)

const (
	minutesPerDay = 24 * 60
	// lookBack is how long before the first promise work may begin: two nights
	// and a day, enough for a soak, a preferment and a cold night.
	lookBack = 60 * time.Hour
	// lateRoom is how far past the last promise a nearest plan may run, and
	// farNow how far past now at least: enough for a preferment, a bulk rise and a
	// proof over a night, where the promise came too soon for them.
	lateRoom = 8 * time.Hour
	farNow   = 48 * time.Hour
)

// grid lays the day on whole minutes: minute 0 is origin.
type grid struct {
	origin time.Time // in the day's zone, on a whole minute
	loc    *time.Location
	slots  int // minutes from origin to the horizon
	air    map[string]*simulate.Air
	hours  map[*Baker][]int32 // presence by minute, as far as asked for
}

// newGrid spans from now, or from two nights before the first promise where
// that is later, to some hours past the last promise.
func newGrid(d *Day) (*grid, error) {
	loc, err := d.Location()
	if err != nil {
		return nil, err
	}
	now, err := d.Now.In(loc)
	if err != nil {
		return nil, err
	}
	var first, last time.Time
	for _, o := range d.Orders {
		t, err := o.Promise().In(loc)
		if err != nil {
			return nil, err
		}
		if first.IsZero() || t.Before(first) {
			first = t
		}
		if t.After(last) {
			last = t
		}
	}
	origin := now
	if early := first.Add(-lookBack); early.After(now) {
		origin = early
	}
	g := &grid{origin: origin.Truncate(time.Minute).In(loc), loc: loc, air: map[string]*simulate.Air{}}
	end := last.Add(lateRoom)
	if far := now.Add(farNow); far.After(end) {
		end = far
	}
	g.slots = g.minute(end)
	for i := range d.Kitchen.Places {
		g.addPlace(&d.Kitchen.Places[i])
	}
	return g, nil
}

// minute is the grid minute of t, rounded down.
func (g *grid) minute(t time.Time) int {
	d := t.Sub(g.origin)
	m := int(d / time.Minute)
	if d < 0 && d%time.Minute != 0 {
		m--
	}
	return m
}

// at is the instant of a grid minute.
func (g *grid) at(m int) time.Time { return g.origin.Add(time.Duration(m) * time.Minute).In(g.loc) }

// addPlace tabulates a place's temperature for every minute of the grid by the
// wall clock, so that a night with a change of clocks is right.
func (g *grid) addPlace(p *Place) {
	if len(p.Curve) == 1 {
		g.air[p.Name] = &simulate.Air{Temps: []float64{float64(p.Curve[0].Celsius)}, H: p.transfer()}
		return
	}
	temps := make([]float64, g.slots+1)
	for m := range temps {
		t := g.at(m)
		temps[m] = float64(p.At(float64(t.Hour()*60 + t.Minute())))
	}
	g.air[p.Name] = &simulate.Air{Temps: temps, H: p.transfer()}
}

// capacity tabulates a person's presence over the grid: 1 at work, else 0.
func (g *grid) capacity(b *Baker) []int32 {
	if caps, ok := g.hours[b]; ok {
		return slices.Clone(caps)
	}
	caps := make([]int32, g.slots)
	for m := range caps {
		if b.AtWork(g.at(m), g.at(m+1)) {
			caps[m] = 1
		}
	}
	if g.hours == nil {
		g.hours = map[*Baker][]int32{}
	}
	g.hours[b] = caps
	return slices.Clone(caps)
}

// comes tabulates, by minute of the grid, the first from then on at which a person
// is at work; the end of the grid for never.
func (g *grid) comes(b *Baker) []int32 {
	out := g.capacity(b)
	next := int32(len(out))
	for m := len(out) - 1; m >= 0; m-- {
		if out[m] > 0 {
			next = int32(m)
		}
		out[m] = next
	}
	return out
}
