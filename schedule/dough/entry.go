package dough

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"ovenward/schedule/unit"
)

// Entry is a line of a formula as it is typed: "62 %", "500 g", "2½ cups", "3
// eggs". A plain number is a percentage.
type Entry struct {
	Amount string
	Food   Food       // what it is of; the zero Food where nobody knows
	Each   unit.Grams // what one of the measure weighs; 0 = as the food says
}

// Entered is what an entry comes to.
type Entered struct {
	Percent unit.Percent
	Grams   unit.Grams // 0 while nothing says how much flour there is
	Measure string     // what Each is the weight of, such as "cup"; empty where nothing was measured
	Basis   string     // what a conversion rests on, such as "cup = 125 g"
	Assumed bool       // the basis was not stated, such as the size of an egg
	Err     error      // why there is no amount; an *AmbiguousError where there are several

	weighed bool
}

// ErrNoFlourWeight says that a weight cannot be made a percentage.
var ErrNoFlourWeight = errors.New("nothing says how much flour this goes with")

// Enter reads the lines of a formula and gives what each comes to, and the flour
// that is 100 %: what the flours by weight come to, else flour. Where some of
// the flours are in percent the others are taken for the rest of the hundred.
// A line that cannot be read leaves the others as they are.
func Enter(lines []Entry, flour unit.Grams) ([]Entered, unit.Grams) {
	out := make([]Entered, len(lines))
	var grams unit.Grams
	var share unit.Percent
	for i, l := range lines {
		out[i] = l.read()
		if l.Food.Role == Flour && out[i].Err == nil {
			grams += out[i].Grams
			share += out[i].Percent
		}
	}
	whole := flour
	switch {
	case grams > 0 && share < 100:
		whole = grams * 100 / unit.Grams(100-share)
	case grams > 0:
		whole = 0
	}
	for i := range out {
		out[i].settle(whole)
	}
	return out, whole
}

// settle gives a line the other of weight and share.
func (e *Entered) settle(whole unit.Grams) {
	switch {
	case e.Err != nil:
	case !e.weighed:
		e.Grams = whole * unit.Grams(e.Percent) / 100
	case whole > 0:
		e.Percent = unit.Percent(e.Grams * 100 / whole)
	default:
		e.Err = ErrNoFlourWeight
	}
}

// read reads an amount by itself.
func (l Entry) read() Entered {
	text := strings.TrimSpace(l.Amount)
	if p, ok := percentage(text); ok {
		return Entered{Percent: p}
	}
	q, err := ParseQuantity(text)
	e := Entered{weighed: true, Err: err}
	switch {
	case err != nil:
		return e
	case q.Unquantified:
		e.Err = ErrUnquantified
		return e
	case q.Low != q.High:
		e.Err = fmt.Errorf("%q is from %s to %s", text, short(q.Low), short(q.High))
		return e
	case findUnit(q.Unit).mass == 0:
		e.Measure = q.measured()
	}
	w, err := l.weigh(q)
	e.Grams, e.Basis, e.Assumed, e.Err = w.Low, w.Basis, w.Assumed || q.Loose, err
	return e
}

// weigh takes the baker's word for what a measure weighs before the food's.
func (l Entry) weigh(q Quantity) (Weighed, error) {
	if m := q.measured(); l.Each > 0 && findUnit(q.Unit).mass == 0 {
		return q.times(float64(l.Each), fmt.Sprintf("%s = %s", m, l.Each)), nil
	}
	if l.Food.Name == "" {
		l.Food.Name = orElse(q.Rest, "it")
	}
	return q.Grams(l.Food)
}

// measured names what is counted: "cup packed", "large", "piece".
func (q Quantity) measured() string {
	return orElse(strings.TrimSpace(q.Unit+" "+q.How), "piece")
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// percentage reads "62", "62.5 %" and "62,5%".
func percentage(text string) (unit.Percent, bool) {
	number := strings.TrimSpace(strings.TrimSuffix(text, "%"))
	number = strings.Replace(number, ",", ".", 1)
	if number == "" || strings.Trim(number, ".0123456789") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(number, 64)
	return unit.Percent(v), err == nil
}
