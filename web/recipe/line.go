package recipe

import (
	"errors"
	"regexp"
	"slices"
	"strings"

	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// Line is one ingredient: as it is written, and what the program makes of it.
type Line struct {
	Text      string         // as written, without markup
	Group     string         // the heading it stands under, "" for none
	Part      string         // the preferment or soaker it goes into, "" for the dough itself
	Name      string         // what the amount is of
	Quantity  dough.Quantity // zero where the amount is in doubt
	Food      string         // slug, "" while not known
	Low, High unit.Grams     // what it weighs; equal unless that is asked
	Basis     string         // what the weight rests on, such as "cup = 125 g"; "" when it was weighed
	Questions []Question

	doubt  error // of the amount
	answer Answer
}

// Answer is what a person says about a line. What is left zero stays as it was
// read.
type Answer struct {
	Food    string      // slug
	Own     *dough.Food // a food the program does not know
	Grams   unit.Grams
	InDough bool // it is in the dough
	Leave   bool // it is not, or does not matter
}

// newLine reads a line of plain text.
func newLine(text, group string, known Names, library dough.Library) Line {
	l := Line{Text: text, Group: group}
	plain := text
	if m := into.FindStringSubmatchIndex(plain); m != nil {
		l.Part, plain = clip(plain[m[2]:m[3]], longestPart), plain[:m[0]]
	}
	plain = extra.ReplaceAllString(plain, "")
	if plain = amountFirst(plain); plain != "" {
		l.Quantity, l.doubt = dough.ParseQuantity(plain)
	} else {
		l.doubt = dough.ErrUnquantified
	}
	if l.Name = l.Quantity.Rest; l.doubt != nil {
		l.Quantity, l.Name = dough.Quantity{}, afterAmount(plain)
	}
	l.settle(known, library)
	return l
}

// amountLast is a name with its amount behind it: "Water - 320 g", "Salt: 10 g".
var amountLast = regexp.MustCompile(`^([^\d½¼¾⅓⅔⅛]+?)\s*(?:[:,]|\s[-–—])\s*([\d½¼¾⅓⅔⅛].*)$`)

// amountFirst puts an amount before its name where it is plainly one.
func amountFirst(s string) string {
	m := amountLast.FindStringSubmatch(s)
	if m == nil {
		return s
	}
	if q, err := dough.ParseQuantity(m[2]); err != nil || q.Unquantified || q.Unit == "" || q.Rest != "" {
		return s
	}
	return m[2] + " " + m[1]
}

// into is where an ingredient goes first, as it is written here.
var into = regexp.MustCompile(`(?i)\s*\(into the (.+)\)$`)

const longestPart = 40 // characters

// extra is what a line adds for other uses: "plus extra for dusting".
var extra = regexp.MustCompile(`(?i)[,;(]?\s*(?:\+|plus|and|with)\s+(?:an?\s+)?(?:little\s+|bit\s+|some\s+)?(?:extra|more)\b.*$`)

// very is where extra means very.
var very = regexp.MustCompile(`(?i)\bextra[- ](?:virgin|large|strong|fine|dark)\b`)

// aside marks what may not be in the dough.
var aside = regexp.MustCompile(`(?i)\bextra\b|\boptional\b|\b(?:for|to)\s+(?:the\s+|your\s+)?(?:\w+\s+)?(?:dust|greas|brush|glaz|sprinkl|top|roll|work|surface|tins?\b|pans?\b|tray|serv|finish|coat|decorat|fry)`)

// apart is a heading of what is not in the dough.
var apart = regexp.MustCompile(`(?i)\b(?:filling|topping|glaze|icing|frosting|syrup|egg wash|to (?:finish|serve|decorate)|decoration)`)

// settle works out the line anew from its text and what was answered.
func (l *Line) settle(known Names, library dough.Library) {
	l.Questions, l.Food, l.Low, l.High, l.Basis = nil, "", 0, 0, ""
	if l.answer.Leave {
		return
	}
	food, found := l.food(known, library)
	if !l.answer.InDough && (aside.MatchString(extra.ReplaceAllString(very.ReplaceAllString(l.Text, ""), "")) ||
		apart.MatchString(l.Group) || !found && !strings.ContainsAny(l.Text, "0123456789½¼¾⅓⅔⅛")) { // it may be a heading
		l.ask(AskUse)
	}
	if !found {
		l.ask(AskFood, slices.DeleteFunc(slices.Clone(known.Find(l.Name)), func(s string) bool { return s == "" })...)
	}
	l.weigh(food, found)
}

func (l *Line) ask(kind QuestionKind, readings ...string) {
	l.Questions = append(l.Questions, Question{Kind: kind, Readings: readings})
}

// food is what the line is of: as answered, else the one food of its name.
func (l *Line) food(known Names, library dough.Library) (dough.Food, bool) {
	if l.answer.Own != nil {
		return *l.answer.Own, true
	}
	l.Food = l.answer.Food
	if l.Food == "" {
		if slugs := known.Find(l.Name); len(slugs) == 1 {
			l.Food = slugs[0]
		}
	}
	food, ok := library.Find(l.Food)
	if !ok {
		l.Food = ""
	}
	return food, ok
}

// weigh finds what the line weighs, and asks where that is in doubt. The weight
// of a measure is asked for where it depends on the hand that fills it.
func (l *Line) weigh(food dough.Food, known bool) {
	if l.answer.Grams > 0 {
		l.Low, l.High = l.answer.Grams, l.answer.Grams
		return
	}
	err := l.doubt
	var w dough.Weighed
	if err == nil {
		w, err = l.Quantity.Grams(food)
	}
	if doubt, ok := errors.AsType[*dough.AmbiguousError](err); ok {
		l.ask(AskAmount, doubt.Readings...)
		return
	}
	switch {
	case err != nil && (known || l.doubt != nil || l.Quantity.Unquantified):
		l.ask(AskAmount)
	case err != nil: // asked once the food is known
	case w.Low != w.High:
		l.Low, l.High = w.Low, w.High
		l.ask(AskAmount, w.Low.String(), w.High.String())
	default:
		l.Low, l.High, l.Basis = w.Low, w.High, w.Basis
		if w.Basis != "" && (w.Assumed || food.Role == dough.Flour || coarse.MatchString(l.Name)) {
			l.ask(AskMeasure, w.Low.String())
		}
	}
}

// coarse salt weighs less by the spoon.
var coarse = regexp.MustCompile(`(?i)\b(?:coarse|flak|kosher|rock|sea)\w*\b.*\bsalt\b`)

// ingredient is the line in a formula, without its percentage.
func (l *Line) ingredient(library dough.Library) dough.Ingredient {
	in := dough.Ingredient{Food: l.Food, Own: l.answer.Own, Part: l.Part}
	if f, ok := library.Find(l.Food); !ok || fold(f.Name) != fold(l.Name) {
		in.Name = clip(l.Name, 80)
	}
	return in
}

// afterAmount is the name in a line whose amount is in doubt: what follows
// figures, brackets and units.
func afterAmount(s string) string {
	words := strings.Fields(stroke.ReplaceAllString(bracket.ReplaceAllString(s, " "), "$1 $2"))
	i := slices.IndexFunc(words, func(w string) bool { return !amountWord.MatchString(w) })
	if i < 0 {
		return ""
	}
	return strings.TrimPrefix(strings.Join(words[i:], " "), "of ")
}

var (
	stroke     = regexp.MustCompile(`(\d\s*(?:g|kg|ml|l|oz|lbs?|cups?))\s*/\s*(\d)`)
	bracket    = regexp.MustCompile(`\([^)]*\)`)
	amountWord = regexp.MustCompile(`(?i)^(?:[-–—−+~≈x×.,]|[-−]?[\d.,/½¼¾⅓⅔⅛⅜⅝⅞⁄–—−-]+[a-z]*|\d\S*-ounce|pints?|pt|quarts?|qt|gallons?|gal|t|g|kg|ml|l|oz|ounces?|lbs?|pounds?|cups?|tsp|tbsp|(?:tea|table)spoons?|packets?|packages?|sachets?|envelopes?)\.?$`)
)

// clip shortens text to n characters and drops what cannot be shown.
func clip(s string, n int) string {
	s = strings.Join(strings.FieldsFunc(s, func(c rune) bool { return c < ' ' || c == 0x7f || c == ' ' }), " ")
	if r := []rune(s); len(r) > n {
		return string(r[:n])
	}
	return s
}
