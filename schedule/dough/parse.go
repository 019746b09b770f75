package dough

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// ParseQuantity reads an amount and leaves what follows in Rest:
//
//	1½ cups (180 g) flour    2-3 tbsp    1 lb 4 oz    1,5 kg    two large eggs    salt to taste
//
// Metric in brackets, or behind a stroke, is preferred to what it stands beside.
// A text without an amount is Unquantified. It returns an *AmbiguousError where
// the amount has more than one reading, and an error where it has none.
func ParseQuantity(text string) (Quantity, error) {
	p := &scanner{s: lower(text)}
	p.space()
	if p.rest() == "" {
		return Quantity{}, errors.New("nothing is written")
	}
	if p.eat("-", "−") && digit(p.rest()) {
		return Quantity{}, fmt.Errorf("%q is less than nothing", text)
	}
	p.i = 0
	loose := p.eatWord(looseWords[:]...)
	if p.vague() {
		return Quantity{Unquantified: true, Rest: trimRest(text[p.i:])}, nil
	}
	start := p.i
	a, ok, err := p.amount()
	switch {
	case err != nil:
		return Quantity{}, err
	case !ok || a.unit.name == "" && strings.HasPrefix(strings.TrimSpace(p.rest()), "%"): // "2 % milk" is a name
		return Quantity{Unquantified: true, Rest: trimRest(text[start:])}, nil
	case p.vague():
		return Quantity{Unquantified: true, Rest: trimRest(text[p.i:])}, nil
	}
	rest := text[p.i:]
	if other, before, after, found := p.beside(a); found {
		if a, err = a.prefer(other, text); err != nil {
			return Quantity{}, err
		}
		rest = text[p.i:p.i+len(before)] + " " + text[len(text)-len(after):]
	}
	if a.doubt != nil {
		return Quantity{}, a.doubt
	}
	return Quantity{Low: a.low, High: a.high, Unit: a.unit.name, How: a.how, Loose: loose || a.loose, Rest: trimRest(rest)}, nil
}

var (
	looseWords = [...]string{"about", "approximately", "approx.", "approx", "around", "circa", "ca.", "ca", "roughly",
		"generous", "scant", "heaping", "heaped", "rounded", "~", "≈"}
	vagueWords = [...]string{"a pinch", "pinch", "pinches", "a knob", "knob", "a handful", "handful", "handfuls", "a drizzle", "drizzle",
		"a splash", "splash", "a sprinkle", "sprinkle", "a few", "some", "to taste", "as needed", "as required"}
	howWords = [...]string{"packed", "unpacked", "sifted", "chopped", "diced", "shredded"}
)

func (p *scanner) vague() bool { return p.eatWord(vagueWords[:]...) }

// trimRest takes the joints off the name that follows an amount.
func trimRest(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	s = strings.ReplaceAll(strings.TrimLeft(s, ".,;:- "), " ,", ",")
	if after, ok := strings.CutPrefix(s, "of "); ok {
		return after
	}
	return s
}

// amount is a number or range with its unit.
type amount struct {
	low, high float64
	unit      measureUnit
	how       string
	loose     bool
	spaced    bool  // a mixed number written with a space
	doubt     error // the unit has several meanings
}

// amount reads "2-3 cups", "1 lb 4 oz", "2 x 400 g", "100 g to 120 g".
func (p *scanner) amount() (amount, bool, error) {
	a, ok, err := p.simple()
	if !ok || err != nil {
		return a, ok, err
	}
	a = p.andAHalf(a)
	for {
		at := p.i
		p.eatWord("and", "plus", "+", "&", ",")
		b, ok, err := p.simple()
		if !ok || err != nil || b.unit.kind() != a.unit.kind() || !(b.unit.size() > 0) || b.unit.size() >= a.unit.size() || b.doubt != nil {
			p.i = at
			break
		}
		a = a.plus(b)
	}
	if at := p.i; a.low == a.high && a.unit.name != "" && p.eatRange() {
		if b, ok, err := p.simple(); ok && err == nil && b.unit.kind() == a.unit.kind() && b.unit.size() > 0 {
			return a.upTo(b, p.s)
		}
		p.i = at
	}
	return a, true, p.container(a)
}

// andAHalf reads the rest of "a cup and a half of flour"; where a noun follows, as
// in "a cup and half a lemon", it is another matter.
func (p *scanner) andAHalf(a amount) amount {
	at := p.i
	if a.unit.name != "" && p.eatWord("and", "&") && p.eatWord("a", "one") {
		for _, x := range []struct {
			word  string
			share float64
		}{{"half", 1. / 2}, {"quarter", 1. / 4}, {"third", 1. / 3}} {
			if p.eatWord(x.word) && (p.eatWord("of") || strings.TrimSpace(p.rest()) == "") {
				a.low, a.high = a.low+x.share, a.high+x.share
				return a
			}
		}
	}
	p.i = at
	return a
}

// simple reads a number or range and one unit.
func (p *scanner) simple() (amount, bool, error) {
	low, spaced, ok, err := p.number()
	if !ok || err != nil {
		return amount{}, false, err
	}
	a := amount{low: low, high: low, spaced: spaced}
	at := p.i
	if p.space(); p.eat("x", "×", "*") {
		if n, _, ok, err := p.number(); ok && err == nil {
			a.low, a.high, at = low*n, low*n, p.i
		}
	}
	p.i = at
	if p.eatRange() {
		high, _, ok, err := p.number()
		switch {
		case err != nil:
			return amount{}, false, err
		case !ok:
			p.i = at
		default:
			if a, _, err = a.upTo(amount{low: high, high: high}, p.s); err != nil {
				return amount{}, false, err
			}
		}
	}
	if a.high > mostAmount {
		return amount{}, false, fmt.Errorf("%q is no amount", p.s)
	}
	p.unit(&a)
	return a, true, nil
}

func (p *scanner) eatRange() bool {
	at := p.i
	if p.eatWord("to", "or") {
		return true
	}
	if p.space(); p.eat("-", "–", "—", "‒", "−") {
		return true
	}
	p.i = at
	return false
}

// unit reads the unit of a, if one follows, and how the measure is filled.
func (p *scanner) unit(a *amount) {
	at := p.i
	if p.eat("-") && !startsWithLetter(p.rest()) {
		p.i = at
		return
	}
	a.loose = p.eatWord(looseWords[:]...)
	p.eatWord("level")
	before := p.how()
	p.space()
	word := p.i
	if unit, ok := p.longestUnit(); ok && (before == "" || unit.volume > 0) {
		a.unit, a.how = unit, before
		p.eat(".")
		p.filling(a)
		return
	}
	for _, d := range doubtful {
		if p.eatWord(d.words...) {
			p.eat(".")
			a.doubt = &AmbiguousError{p.s[word:p.i], d.readings}
			return
		}
	}
	p.i, a.loose = at, false
}

var doubtful = [...]struct{ words, readings []string }{
	{[]string{"pints", "pint", "pt"}, []string{"US pint (473 ml)", "imperial pint (568 ml)"}},
	{[]string{"quarts", "quart", "qt"}, []string{"US quart (946 ml)", "imperial quart (1137 ml)"}},
	{[]string{"gallons", "gallon", "gal"}, []string{"US gallon (3785 ml)", "imperial gallon (4546 ml)"}},
	{[]string{"t"}, []string{"teaspoon", "tablespoon"}},
}

// longestUnit takes the longest spelling that stands here as a whole word.
func (p *scanner) longestUnit() (best measureUnit, ok bool) {
	length := 0
	for i := range measureUnits {
		for _, w := range measureUnits[i].words {
			if after, found := strings.CutPrefix(p.rest(), w); found && len(w) > length && !startsWithLetter(after) {
				best, length = measureUnits[i], len(w)
			}
		}
	}
	p.i += length
	return best, length > 0
}

// filling reads "packed", "(firmly packed)", "sifted" behind a measure.
func (p *scanner) filling(a *amount) {
	if a.unit.volume == 0 {
		return
	}
	at := p.i
	p.space()
	bracket := p.eat("(")
	if h := p.how(); h != "" && (!bracket || p.eat(")")) {
		a.how = h
		return
	}
	p.i = at
}

// how reads "firmly packed", "sifted"; "" for nothing.
func (p *scanner) how() string {
	at := p.i
	p.eatWord("firmly", "lightly", "tightly", "well")
	for _, h := range howWords {
		if p.eatWord(h) {
			return h
		}
	}
	p.i = at
	return ""
}

// container asks about "1 1/4 oz packages": one of a quarter ounce, or more.
func (p *scanner) container(a amount) error {
	at := p.i
	defer func() { p.i = at }()
	p.eat("-")
	if a.unit.mass > 0 && a.spaced && p.eatWord("packages", "package", "packets", "packet", "envelopes", "envelope", "sachets", "sachet") {
		whole, part := math.Modf(a.low)
		return &AmbiguousError{strings.TrimSpace(p.s), []string{
			fmt.Sprintf("%v %s in all", a.low, a.unit.name), fmt.Sprintf("%v of %.4g %s each", whole, part, a.unit.name)}}
	}
	if a.unit.name != "" || a.doubt != nil {
		return nil
	}
	if b, ok, err := p.simple(); ok && err == nil && b.unit.size() > 0 {
		return eachOrAll(p.s, a, b)
	}
	return nil
}

// eachOrAll asks whether b is the weight of each of a or of all; one is one.
func eachOrAll(text string, a, b amount) error {
	if a.low == 1 && a.high == 1 {
		return nil
	}
	return &AmbiguousError{strings.TrimSpace(text), []string{
		fmt.Sprintf("%v %s in all", b.low, b.unit.name), fmt.Sprintf("%v %s each", b.low, b.unit.name)}}
}

// plus adds b to a in g or mL.
func (a amount) plus(b amount) amount {
	base := "g"
	if a.unit.volume > 0 {
		base = "ml"
	}
	a.low = a.low*a.unit.size() + b.low*b.unit.size()
	a.high = a.high*a.unit.size() + b.high*b.unit.size()
	a.unit, a.how, a.spaced = findUnit(base), "", false
	return a
}

// upTo makes the range from a to b; a range that falls is in doubt.
func (a amount) upTo(b amount, text string) (amount, bool, error) {
	if s := a.unit.size(); s > 0 && b.unit.size() != s {
		b.high *= b.unit.size() / s
	}
	if b.high < a.low {
		return amount{}, false, &AmbiguousError{strings.TrimSpace(text), []string{
			fmt.Sprintf("%s to %s", short(b.high), short(a.low)), fmt.Sprintf("%s and %s", short(a.low), short(b.high))}}
	}
	a.high = b.high
	return a, true, nil
}

func short(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }

// beside finds another statement of the amount: the first bracket that is one,
// or one behind a stroke. It returns what stands before and after it.
func (p *scanner) beside(a amount) (other amount, before, after string, found bool) {
	rest := p.rest()
	if trimmed := strings.TrimLeftFunc(rest, unicode.IsSpace); a.unit.name != "" && trimmed != "" && strings.ContainsAny(trimmed[:1], "/=|") {
		q := &scanner{s: trimmed[1:]}
		q.eatWord(looseWords[:]...)
		if b, ok, err := q.amount(); ok && err == nil && b.unit.size() > 0 {
			return b, "", q.rest(), true
		}
	}
	for from := 0; ; {
		open := strings.IndexByte(rest[from:], '(')
		if open < 0 {
			return amount{}, "", "", false
		}
		open += from
		end := strings.IndexByte(rest[open:], ')')
		if end < 0 {
			return amount{}, "", "", false
		}
		end += open
		q := &scanner{s: rest[open+1 : end]}
		q.eatWord(looseWords[:]...)
		if b, ok, err := q.amount(); ok && err == nil && b.unit.size() > 0 && strings.TrimSpace(q.rest()) == "" {
			return b, rest[:open], rest[end+1:], true
		}
		from = end
	}
}

// prefer chooses between two statements of the same amount: metric first. Where
// they disagree by more than a tenth, or it is not clear whether the other is
// for each piece, it asks.
func (a amount) prefer(b amount, text string) (amount, error) {
	if a.unit.size() == 0 && a.doubt == nil {
		if err := eachOrAll(text, a, b); err != nil {
			return a, err
		}
		return b, nil
	}
	if a.doubt != nil {
		return b, nil
	}
	if a.unit.kind() == b.unit.kind() {
		x, y := a.low*a.unit.size(), b.low*b.unit.size()
		if math.Abs(x-y) > 0.1*max(x, y) {
			return a, &AmbiguousError{strings.TrimSpace(text), []string{
				fmt.Sprintf("%s %s", short(a.low), a.unit.name), fmt.Sprintf("%s %s", short(b.low), b.unit.name)}}
		}
	}
	if b.unit.metric() && !(a.unit.metric() && a.unit.kind() == 1) {
		return b, nil
	}
	return a, nil
}
