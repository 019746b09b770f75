package dough

import (
	"errors"
	"fmt"
	"strings"

	"ovenward/schedule/unit"
)

// Quantity is an amount as people write it down: "1½ cups packed", "2-3 tbsp".
type Quantity struct {
	Low, High    float64 // in Unit; equal unless a range was given
	Unit         string  // canonical: "g", "ml", "cup", "tbsp", "large"; empty for pieces
	How          string  // how a measure is filled: "packed", "sifted"
	Loose        bool    // about, heaped, scant: not to be taken exactly
	Unquantified bool    // a pinch, to taste, or no amount at all
	Rest         string  // what follows the amount
}

// AmbiguousError is an amount that can be read in more than one way; the
// program asks and does not guess.
type AmbiguousError struct {
	Text     string
	Readings []string
}

// Error names the readings.
func (e *AmbiguousError) Error() string {
	return fmt.Sprintf("%q can be read as %s", e.Text, strings.Join(e.Readings, " or "))
}

// ErrUnquantified says that an amount such as "to taste" has no weight.
var ErrUnquantified = errors.New("no amount is given")

// Weighed is a quantity of a food by weight.
type Weighed struct {
	Low, High unit.Grams
	Basis     string // what the conversion rests on, such as "cup = 125 g"; empty when it was weighed
	Assumed   bool   // the basis was not stated, such as the size of an egg
}

// Grams converts a quantity of a food to weight: weights as they are, measures
// by the food's own, other volumes by its density. It returns an
// *AmbiguousError where the measure of the food is in doubt, and an error where
// nothing is known.
func (q Quantity) Grams(f Food) (Weighed, error) {
	if q.Unquantified {
		return Weighed{}, ErrUnquantified
	}
	u := findUnit(q.Unit)
	switch {
	case u.mass > 0:
		return q.mass(f, u)
	case q.Unit == "":
		return q.pieces(f)
	}
	m, err := f.measure(q.Unit, q.How)
	if err != nil {
		return Weighed{}, err
	}
	if m.Grams > 0 {
		w := q.times(m.Grams, fmt.Sprintf("%s = %s", m.Name, unit.Grams(m.Grams)))
		w.Assumed = m.Name != strings.TrimSpace(q.Unit+" "+q.How)
		return w, nil
	}
	density, basis := f.density(q.How)
	if u.volume == 0 || density == 0 {
		return Weighed{}, fmt.Errorf("nothing says what a %s of %s weighs", q.Unit, f.Name)
	}
	return q.times(u.volume*density, basis), nil
}

func (q Quantity) times(grams float64, basis string) Weighed {
	return Weighed{Low: unit.Grams(q.Low * grams), High: unit.Grams(q.High * grams), Basis: basis}
}

// mass takes a weight as it is, but asks about ounces of a liquid.
func (q Quantity) mass(f Food, u measureUnit) (Weighed, error) {
	w := q.times(u.mass, "")
	if q.Unit != "oz" || f.Role == Inclusion {
		return w, nil
	}
	for _, m := range f.Measures {
		if m.Name == "fl oz" {
			fluid := q.times(m.Grams, "")
			return Weighed{}, &AmbiguousError{fmt.Sprintf("%v oz %s", q.Low, f.Name),
				[]string{fmt.Sprintf("%s by weight", w.Low), fmt.Sprintf("%s in fluid ounces", fluid.Low)}}
		}
	}
	return w, nil
}

// pieces counts whole foods; a bare egg is taken for a large one and said so.
func (q Quantity) pieces(f Food) (Weighed, error) {
	for _, m := range f.Measures {
		if f.Role == Egg && m.Name == "large" {
			w := q.times(m.Grams, fmt.Sprintf("large = %s", unit.Grams(m.Grams)))
			w.Assumed = true
			return w, nil
		}
	}
	return Weighed{}, fmt.Errorf("nothing says what one %s weighs", f.Name)
}

// measure finds the food's own measure; the zero Measure when it has none.
func (f Food) measure(name, how string) (Measure, error) {
	var fits []Measure
	for _, m := range f.Measures {
		switch {
		case how != "" && m.Name == name+" "+how, how == "" && m.Name == name:
			return m, nil
		case m.Name == name, how == "" && strings.HasPrefix(m.Name, name+" "):
			fits = append(fits, m)
		}
	}
	if len(fits) > 1 {
		var readings []string
		for _, m := range fits {
			readings = append(readings, fmt.Sprintf("%s (%s)", m.Name, unit.Grams(m.Grams)))
		}
		return Measure{}, &AmbiguousError{name + " " + f.Name, readings}
	}
	if len(fits) == 1 {
		return fits[0], nil
	}
	return Measure{}, nil
}

// GramsPerMillilitre is the density of the food: as stated, else by its own
// measures; zero when there is none.
func (f Food) GramsPerMillilitre() float64 {
	d, _ := f.density("")
	return d
}

// density is in g/mL: the stated one, else that of the largest volume measure
// filled so, else plain; zero when there is none.
func (f Food) density(how string) (float64, string) {
	if f.Density > 0 {
		return f.Density, fmt.Sprintf("%v g/ml", f.Density)
	}
	for _, name := range []string{"cup", "fl oz", "tbsp", "tsp"} {
		for _, m := range f.Measures {
			if m.Name == strings.TrimSpace(name+" "+how) {
				return m.Grams / findUnit(name).volume, fmt.Sprintf("%s = %s", m.Name, unit.Grams(m.Grams))
			}
		}
	}
	if how != "" {
		return f.density("")
	}
	return 0, ""
}
