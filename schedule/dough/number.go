package dough

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// scanner reads an amount from left to right. s is in lower case with the
// offsets of the text as typed.
type scanner struct {
	s string
	i int
}

// lower folds ASCII only, so that offsets stay those of the text as typed.
func lower(text string) string {
	b := []byte(text)
	for i, c := range b {
		if 'A' <= c && c <= 'Z' {
			b[i] = c + 'a' - 'A'
		}
	}
	return string(b)
}

func (p *scanner) rest() string { return p.s[p.i:] }

func (p *scanner) space() {
	p.i += len(p.rest()) - len(strings.TrimLeftFunc(p.rest(), unicode.IsSpace))
}

// eat takes the first of the prefixes that stands here.
func (p *scanner) eat(prefixes ...string) bool {
	for _, x := range prefixes {
		if strings.HasPrefix(p.rest(), x) {
			p.i += len(x)
			return true
		}
	}
	return false
}

// eatWord takes the first of the words that stands here as a whole word, after space.
func (p *scanner) eatWord(words ...string) bool {
	at := p.i
	p.space()
	for _, w := range words {
		if after, ok := strings.CutPrefix(p.rest(), w); ok && !startsWithLetter(after) {
			p.i += len(w)
			return true
		}
	}
	p.i = at
	return false
}

func startsWithLetter(s string) bool {
	r, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(r)
}

func digit(s string) bool { return s != "" && '0' <= s[0] && s[0] <= '9' }

// number reads "1,5", "3/4", "1 1/2", "1-1/2", "2½", "two", "half a", "a dozen",
// "three quarters", "one and two thirds". spaced tells a mixed number written with
// a space.
func (p *scanner) number() (v float64, spaced, ok bool, err error) {
	p.space()
	at := p.i
	if v, ok, err = p.fraction(); ok || err != nil {
		return v, false, ok, err
	}
	if v, ok, err = p.decimal(); err != nil {
		return 0, false, false, err
	} else if !ok {
		if v, ok = p.word(); !ok {
			p.i = at
			return 0, false, false, nil
		}
	}
	whole := p.i
	if v >= 1 && v == math.Trunc(v) {
		if f, ok := p.parts(v); ok {
			return f, false, true, nil
		}
		if !p.eat("-") {
			and := p.eatWord("and", "&")
			p.space()
			spaced = !and && p.i > whole
			if f, ok := p.wordPart(); and && ok {
				return v + f, false, true, nil
			}
		}
		f, ok, err := p.fraction()
		if err != nil || ok && f < 1 {
			return v + f, spaced, true, err
		}
	}
	p.i = whole
	if p.eatWord("dozen") {
		v *= 12
	}
	return v, false, true, nil
}

// fraction reads "3/4", "3⁄4" or "¾".
func (p *scanner) fraction() (float64, bool, error) {
	r, n := utf8.DecodeRuneInString(p.rest())
	if v := vulgar(r); v > 0 {
		p.i += n
		return v, true, nil
	}
	at := p.i
	num := p.digits()
	if num != "" && p.eat("/", "\u2044") && digit(p.rest()) {
		den := p.digits()
		if after := p.i; p.eat("rds", "rd", "ths", "th") && startsWithLetter(p.rest()) {
			p.i = after
		}
		return divide(num, den)
	}
	p.i = at
	return 0, false, nil
}

// divide refuses to guess whether "11/2" has lost the space of "1 1/2".
func divide(num, den string) (float64, bool, error) {
	text := num + "/" + den
	a, errA := strconv.ParseFloat(num, 64)
	b, errB := strconv.ParseFloat(den, 64)
	if errA != nil || errB != nil || b == 0 || a/b > mostAmount {
		return 0, false, fmt.Errorf("%q is no fraction", text)
	}
	if last := num[len(num)-1:]; len(num) > 1 && len(den) == 1 && last != "0" && last < den {
		return 0, false, &AmbiguousError{text, []string{num[:len(num)-1] + " " + last + "/" + den, strconv.FormatFloat(a/b, 'g', 6, 64)}}
	}
	return a / b, true, nil
}

func vulgar(r rune) float64 {
	switch r {
	case '¼':
		return 1. / 4
	case '½':
		return 1. / 2
	case '¾':
		return 3. / 4
	case '⅐':
		return 1. / 7
	case '⅑':
		return 1. / 9
	case '⅒':
		return 1. / 10
	case '⅓', '⅔':
		return float64(r-'⅓'+1) / 3
	case '⅕', '⅖', '⅗', '⅘':
		return float64(r-'⅕'+1) / 5
	case '⅙':
		return 1. / 6
	case '⅚':
		return 5. / 6
	case '⅛', '⅜', '⅝', '⅞':
		return float64(2*(r-'⅛')+1) / 8
	}
	return 0
}

func (p *scanner) digits() string {
	at := p.i
	for digit(p.rest()) {
		p.i++
	}
	return p.s[at:p.i]
}

// mostAmount bounds what is taken for an amount, in any unit.
const mostAmount = 1e9

// decimal reads digits with a decimal point or comma. "1.500" and "1,500" may
// be one and a half or fifteen hundred: it asks.
func (p *scanner) decimal() (float64, bool, error) {
	at := p.i
	for digit(p.rest()) || p.i < len(p.s) && (p.s[p.i] == '.' || p.s[p.i] == ',') && digit(p.s[p.i+1:]) {
		p.i++
	}
	text := p.s[at:p.i]
	if text == "" {
		return 0, false, nil
	}
	groups := strings.FieldsFunc(text, func(r rune) bool { return r == '.' || r == ',' })
	plain := strings.Join(groups, "")
	last := strings.LastIndexAny(text, ".,")
	switch {
	case last < 0:
	case len(groups) == 1 || len(groups) == 2 && !thousands(groups):
		plain = text[:last] + "." + text[last+1:]
	case len(groups) == 2:
		return 0, false, &AmbiguousError{text, []string{plain, groups[0] + "." + groups[1]}}
	case strings.Count(text, text[last:last+1]) == 1 && thousands(groups[:len(groups)-1]):
		plain = strings.Join(groups[:len(groups)-1], "") + "." + groups[len(groups)-1]
	case strings.Count(text, text[last:last+1]) == len(groups)-1 && thousands(groups):
	default:
		return 0, false, fmt.Errorf("%q is no number", text)
	}
	v, err := strconv.ParseFloat(plain, 64)
	if err != nil || v > mostAmount {
		return 0, false, fmt.Errorf("%q is no amount", text)
	}
	return v, true, nil
}

// thousands tells whether digits are grouped by threes.
func thousands(groups []string) bool {
	if len(groups[0]) > 3 || groups[0][0] == '0' {
		return false
	}
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return false
		}
	}
	return true
}

var numberWords = [...]string{"zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
	"thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"}

var tens = [...]string{"twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"}

// word reads a number in words.
func (p *scanner) word() (float64, bool) {
	article := p.eatWord("a", "an")
	if v, ok := p.share(); ok {
		return v, true
	}
	switch {
	case p.eatWord("dozen"):
		return 12, true
	case p.eatWord("hundred"):
		return 100, true
	case article:
		return 1, true
	}
	v, ok := p.count()
	if ok && p.eatWord("hundred") {
		v *= 100
		at := p.i
		p.eatWord("and")
		if more, ok := p.count(); ok {
			return v + more, true
		}
		p.i = at
	}
	return v, ok
}

// count reads a whole number below a hundred in words.
func (p *scanner) count() (float64, bool) {
	for i, w := range tens {
		if p.eatWord(w) {
			at := p.i
			p.eat("-")
			for n, w := range numberWords[1:10] {
				if p.eatWord(w) {
					return float64(10*(i+2) + n + 1), true
				}
			}
			p.i = at
			return float64(10 * (i + 2)), true
		}
	}
	for i, w := range numberWords {
		if p.eatWord(w) {
			return float64(i), true
		}
	}
	return 0, false
}

// share reads "half a", "quarter of a", "third".
func (p *scanner) share() (float64, bool) {
	switch {
	case p.eatWord("half"):
		p.eatWord("of")
		p.eatWord("a", "an")
		return 0.5, true
	case p.eatWord("quarter"):
		p.eatWord("of")
		p.eatWord("a", "an")
		return 0.25, true
	case p.eatWord("third"):
		return 1. / 3, true
	}
	return 0, false
}

// parts reads what makes a fraction of n: "quarters of a", "thirds", behind three
// and two. Halves are pieces that were cut; "one half" is a half.
func (p *scanner) parts(n float64) (float64, bool) {
	at := p.i
	p.eat("-")
	for _, x := range []struct {
		most, of float64
		words    []string
	}{{1, 2, []string{"half"}}, {2, 3, []string{"thirds", "third"}}, {3, 4, []string{"quarters", "quarter"}}, {7, 8, []string{"eighths", "eighth"}}} {
		if n <= x.most && p.eatWord(x.words...) {
			p.eatWord("of")
			p.eatWord("a", "an")
			return n / x.of, true
		}
	}
	p.i = at
	return 0, false
}

// wordPart reads a fraction in words: "a half", "three quarters".
func (p *scanner) wordPart() (float64, bool) {
	at := p.i
	if v, ok := p.word(); ok && v < 1 {
		return v, true
	} else if ok {
		if f, ok := p.parts(v); ok {
			return f, true
		}
	}
	p.i = at
	return 0, false
}
