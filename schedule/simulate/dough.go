package simulate

import (
	"fmt"

	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/unit"
)

// Dough is what is put to rise.
type Dough struct {
	Recipe   rise.Recipe
	Speed    float64      // chi, its own speed over the model's, learnt from rises observed; 0 means 1
	Params   *rise.Params // nil means rise.Default
	Observed bool         // Speed comes from rises of this very dough: narrower forecast
	Soaked   float64      // hours the yeast had worked, at 27 °C, before it met the flour: dry yeast in warm liquid
}

// The curves every dough is run with: what is expected, and the two that bound
// it in the cold, see rise.ColdFast.
const (
	expected = iota
	fast
	slow
	curves
)

// yeast is a dough worked out for the three curves. Read-only.
type yeast [curves]*rise.Kinetics

func (d *Dough) workOut() *yeast {
	p := rise.Default()
	if d.Params != nil {
		p = *d.Params
	}
	return &yeast{
		expected: rise.New(d.Recipe, d.Speed, p),
		fast:     rise.New(d.Recipe, d.Speed, p.Cold(min(p.ColdEnd, rise.ColdFast))),
		slow:     rise.New(d.Recipe, d.Speed, p.Cold(max(p.ColdEnd, rise.ColdSlow))),
	}
}

// shells are enough: against 40 a dough's work changes by less than 0.7 % (tested).
const shells = 10

// Start is a dough just mixed, at one temperature throughout, when minute of
// the day's grid begins. The error names the field that cannot be, and a
// remedy.
func Start(d *Dough, minute float64, body heat.Body, t unit.Celsius) (State, error) {
	if err := d.Recipe.Validate(); err != nil {
		return State{}, fmt.Errorf("recipe: %w", err)
	}
	if !(d.Speed >= 0 && d.Speed <= 10) {
		return State{}, &rise.Fault{Field: "speed", Message: fmt.Sprintf("%v cannot be; give 0.5 to 2, or 0 for none", d.Speed)}
	}
	if !(minute >= -1e6 && minute <= 1e6) {
		return State{}, &rise.Fault{Field: "minute", Message: fmt.Sprintf("%v is no minute of the day's grid", minute)}
	}
	if !(t >= -5 && t <= 60) {
		return State{}, &rise.Fault{Field: "temperature", Message: fmt.Sprintf("a dough of %v cannot be mixed; give -5 to 60 °C, such as 26", float64(t))}
	}
	field, err := heat.NewField(body, shells, t)
	if err != nil {
		return State{}, err
	}
	s := State{Minute: minute, field: *field, yeast: d.workOut(), observed: d.Observed}
	for i := range s.rise {
		s.rise[i].Work = min(max(0, d.Soaked), 1)
	}
	s.measure(curves)
	return s, nil
}

// Become makes the dough another recipe from here on: additions worked in at
// the parting. Its gas, its warmth and its yeast's past remain.
func (s *State) Become(d *Dough) {
	if s.yeast == nil || d == nil {
		return
	}
	s.yeast = d.workOut()
	s.measure(curves)
}
