package recipe

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// Draft is a recipe read, on its way to a bread.
type Draft struct {
	All          []string // names of the recipes of the document
	Which        int      // index of this one
	Name         string
	Yield        string // as written
	Pieces       int    // 0 = not known
	Lines        []Line
	Instructions []Section
	Times        []Time
	Oven         unit.Celsius // the one oven temperature the instructions name; 0 = none or several
	Warnings     []Warning

	library dough.Library
}

// Section is a run of instructions, as written but for markup and numbers.
type Section struct {
	Name  string // "" for none
	Steps []string
}

// Time is a duration of the recipe.
type Time struct {
	Of     string        // "prepTime", "cookTime", "totalTime", "performTime"
	Text   string        // as written
	Length time.Duration // 0 where Text is none
}

// Warning is something about the recipe a person should know; worded by the
// screen.
type Warning struct {
	Code WarningCode
	Of   string // what it concerns
}

// WarningCode says what a warning is about.
type WarningCode string

// The warnings.
const (
	NoName     WarningCode = "no-name"
	NotText    WarningCode = "not-text"   // something is not text where text belongs, and was left out
	NotATime   WarningCode = "not-a-time" // a duration nobody can read
	Cut        WarningCode = "cut"        // longer than is taken in
	Grouped    WarningCode = "grouped"    // ingredients are in groups: one dough is made of all
	OvenUnsure WarningCode = "oven"       // several oven temperatures are named
)

// Question is something only a person can answer.
type Question struct {
	Line     int // index of the line, -1 for the yield
	Kind     QuestionKind
	Readings []string // what it may be; none = anything
}

// QuestionKind says what is asked.
type QuestionKind string

// The questions.
const (
	AskFood    QuestionKind = "food"    // which food it is; readings are slugs
	AskAmount  QuestionKind = "amount"  // what it weighs
	AskMeasure QuestionKind = "measure" // whether the measure weighs that much for this baker
	AskUse     QuestionKind = "use"     // whether it is in the dough
	AskPieces  QuestionKind = "pieces"  // how many pieces it makes
)

// Questions lists what is open.
func (d *Draft) Questions() []Question {
	var all []Question
	if d.Pieces < 1 {
		q := Question{Line: -1, Kind: AskPieces}
		if d.Yield != "" {
			q.Readings = []string{d.Yield}
		}
		all = append(all, q)
	}
	for i, l := range d.Lines {
		for _, q := range l.Questions {
			q.Line = i
			all = append(all, q)
		}
	}
	return all
}

// Answer gives what a person says about a line, in place of what was said
// before.
func (d *Draft) Answer(line int, a Answer) {
	d.Lines[line].answer = a
	d.Lines[line].settle(NewNames(d.library), d.library)
}

// ErrOpen says that questions are open.
var ErrOpen = errors.New("questions are open")

// Bread makes the bread: percentages from the weights, a method of our own. Its
// ID is made from its name. It fails with ErrOpen while questions are open, and
// where there is no flour.
func (d *Draft) Bread() (schedule.Bread, error) {
	if len(d.Questions()) > 0 {
		return schedule.Bread{}, ErrOpen
	}
	var flour, total unit.Grams
	for _, l := range d.Lines {
		total += l.Low
		if isA(d.library, l.ingredient(d.library), dough.Flour) {
			flour += l.Low
		}
	}
	if !(flour > 0) || math.IsInf(float64(total), 0) {
		return schedule.Bread{}, fmt.Errorf("there is no flour in it")
	}
	var f dough.Formula
	for _, l := range d.Lines {
		if l.Low > 0 {
			in := l.ingredient(d.library)
			in.Percent = unit.Percent(math.Round(float64(l.Low/flour)*1e5) / 1e3)
			f.Ingredients = append(f.Ingredients, in)
		}
	}
	b := schedule.Bread{ID: cmp.Or(schedule.Slug(d.Name), "recipe"), Name: d.Name, Formula: f, Piece: unit.Grams(math.Round(float64(total) / float64(d.Pieces)))}
	b.Notes = d.asWritten()
	d.makeUp(&b)
	return b, nil
}

// longestNotes is more than recipes have, bytes.
const longestNotes = 15000

// asWritten is the recipe in its own words, line by line.
func (d *Draft) asWritten() string {
	lines := []string{"As the recipe says" + colon(d.Yield)}
	for _, l := range d.Lines {
		lines = append(lines, "– "+l.Text)
	}
	for _, s := range d.Instructions {
		if s.Name != "" {
			lines = append(lines, s.Name)
		}
		lines = append(lines, s.Steps...)
	}
	for n := 0; n < len(lines); n++ {
		if whole := strings.Join(lines[:n+1], "\n"); len(whole) > longestNotes {
			return strings.Join(append(lines[:n], "…"), "\n")
		}
	}
	return strings.Join(lines, "\n")
}

func colon(s string) string {
	if s == "" {
		return ":"
	}
	return ", " + s + ":"
}

func isA(l dough.Library, in dough.Ingredient, role dough.Role) bool {
	f, ok := l.Find(in.Food)
	if in.Own != nil {
		f, ok = *in.Own, true
	}
	return ok && f.Role == role
}
