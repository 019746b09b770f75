package view

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// Tally is what a formula comes to as it stands in a form.
type Tally struct {
	Lines []TallyLine
	For   unit.Grams    // the flour the weights of the lines go with
	Typed bool          // that is what the lines or the baker say, not a usual amount
	Dough dough.Formula // what could be read, with the base's
	Base  string        // name of the base the lines are added to
	Piece unit.Grams    // dough of one piece, 0 for a base
	Loss  unit.Percent  // baked away
	Rules dough.Rules   // of declaration
	Mend  []string      // what is wrong with the formula as a whole
}

// TallyLine is one ingredient of it.
type TallyLine struct {
	Name    string
	Percent unit.Percent
	Grams   unit.Grams
	Basis   string // of a conversion
	Assumed bool
	Fault   string // why it is not counted
	Unknown bool   // nothing is known of what it is made of
}

// UsualFlour is the flour the weights beside a formula in percent go with.
const UsualFlour unit.Grams = 1000

// tallyFact is one figure beside a formula.
type tallyFact struct{ Name, Value, Hint string }

// facts are the figures a baker looks for.
func (t Tally) facts() []tallyFact {
	x := t.Dough.Totals()
	out := []tallyFact{
		{"Flour", x.Flour.String(), ""},
		{"Water, all told", x.Water.String(), "also that of milk, eggs, butter, honey"},
		{"Salt", x.Salt.String(), "also that of butter, milk, cheese"},
		{"Sugars", (x.Sugar + x.Hexose + x.Lactose).String(), lactoseHint(x.Lactose)},
		{"Fat", x.Fat.String(), ""},
		{"Yeast, as fresh", x.Yeast.String(), ""},
		{"Flour fermented beforehand", x.Prefermented.String(), ""},
		{"Dough", x.Sum.String(), "of the flour"},
	}
	if t.Piece > 0 && x.Sum > 0 {
		out = append(out, tallyFact{"One piece", t.Piece.String(), fmt.Sprintf("with %s of flour, about %s baked", t.Piece*100/unit.Grams(x.Sum), t.Piece*unit.Grams(1-t.Loss/100))})
	}
	if t.Typed {
		all := t.For * unit.Grams(x.Sum) / 100
		out = append(out, tallyFact{"As written", all.String(), pieces(all, t.Piece)})
	}
	return out
}

func lactoseHint(p unit.Percent) string {
	if p < 0.05 {
		return ""
	}
	return p.String() + " of it milk sugar, which yeast leaves alone"
}

// pieces says how many pieces a dough gives, and what is left.
func pieces(all, each unit.Grams) string {
	if each <= 0 || all <= 0 {
		return ""
	}
	n := int(all/each + 1e-9)
	return count(n, "piece") + ", " + (all - each*unit.Grams(n)).String() + " left over"
}

// uncertain says what is not known of the lines, and what that leaves open.
func (t Tally) uncertain() []string {
	var unknown, open, label []string
	for _, l := range t.Lines {
		switch {
		case l.Fault != "":
			open = append(open, l.Name)
		case l.Unknown:
			unknown = append(unknown, l.Name)
		}
	}
	a := t.Dough.Allergens(t.Rules)
	for _, n := range a.Unknown {
		if !slices.Contains(label, n) {
			label = append(label, n)
		}
	}
	var out []string
	if len(unknown) > 0 {
		out = append(out, "Nothing is known of "+list(unknown)+": water, salt, sugars and fat may be more than shown, the rise is reckoned without it, and its allergens are not known. Choose it from the list, or give its composition.")
	}
	if len(open) > 0 {
		out = append(out, "Not counted: "+list(open)+".")
	}
	if len(label) > 0 {
		out = append(out, "Nobody has said whether "+list(label)+" holds allergens: look on the label, then say so among the ingredients.")
	}
	return out
}

// basis words what a weight rests on.
func (l TallyLine) basis() string {
	if l.Basis != "" && l.Assumed {
		return l.Basis + ", taken for granted"
	}
	return l.Basis
}

// AmountFault says why an amount is none, and how to write one.
func AmountFault(typed string, err error) string {
	typed = "“" + strings.TrimSpace(typed) + "”"
	ambiguous, several := errors.AsType[*dough.AmbiguousError](err)
	switch {
	case typed == "“”":
		return "There is no amount; write 62 %, 500 g or 2 cups."
	case several:
		return fmt.Sprintf("%s can be read as %s; write the one you mean, or a weight.", typed, either(ambiguous.Readings))
	case errors.Is(err, dough.ErrUnquantified):
		return typed + " is no amount; write a weight such as 5 g, or a percentage."
	case errors.Is(err, dough.ErrNoFlourWeight):
		return typed + " cannot be made a percentage while no flour is given by weight; give the flours in g, or say for how much flour this is."
	case strings.Contains(err.Error(), " is from "):
		return Sentence(err.Error() + "; write one amount")
	case strings.HasPrefix(err.Error(), "nothing says what"):
		return typed + ": " + err.Error() + "; say so beside it, or write a weight."
	}
	return Sentence(err.Error() + "; write 62 %, 500 g or 2 cups")
}

// either names what may be meant.
func either(readings []string) string {
	if len(readings) < 2 {
		return strings.Join(readings, "")
	}
	return strings.Join(readings[:len(readings)-1], ", ") + " or " + readings[len(readings)-1]
}

// Scale is a weight as it is weighed out: in grams, however many.
func Scale(g unit.Grams) string {
	if g < 999.5 {
		return g.String()
	}
	return fmt.Sprintf("%.0f\u00a0g", float64(g))
}
