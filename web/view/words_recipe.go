package view

import (
	"fmt"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// RecipeModel is a recipe on its way to a bread. The zero value asks for one.
type RecipeModel struct {
	Form      Form
	Read      bool     // there is a recipe
	Recipes   []string // names of all there are
	Which     int      // index of this one
	Name      string
	Yield     string
	Pieces    int
	AskPieces bool
	AskAll    bool         // show every field of every line
	Lines     []RecipeLine // as understood
	Asked     []RecipeLine // the same before anything was answered
	Warnings  []string
	Sections  []RecipeSection
	Foods     dough.Library // the baker's own
}

// RecipeLine is an ingredient as it is written and as it is understood.
type RecipeLine struct {
	Text, Group, Name string
	Food              string // slug, "" while not known
	Grams             unit.Grams
	Basis             string // what the weight rests on
	Questions         []RecipeQuestion
}

// RecipeQuestion is what only the baker knows. Kind is one of package recipe's.
type RecipeQuestion struct {
	Kind     string
	Readings []string
}

// RecipeSection is a run of instructions as written.
type RecipeSection struct {
	Name  string
	Steps []string
}

// What a line may be made of beside the foods of the table.
const (
	OwnInDough = "own-in-dough"
	OwnApart   = "own-apart"
)

// AnswerField is the field a question of a line is answered in.
func AnswerField(kind string) string {
	switch kind {
	case "food":
		return "food"
	case "use":
		return "use"
	}
	return "grams"
}

// OpenQuestion says what is still to be answered.
func OpenQuestion(kind, of string) string {
	switch kind {
	case "food":
		return "“" + of + "”: choose what it is."
	case "use":
		return "“" + of + "”: say whether it is in the dough."
	case "pieces":
		return "Say how many pieces it makes."
	}
	return "“" + of + "”: say what it weighs."
}

// recipeOptions are the recipes to choose from.
func (m *RecipeModel) recipeOptions() (out []Option) {
	for i, name := range m.Recipes {
		out = append(out, Option{itoa(i), name})
	}
	return out
}

// asks tells whether a line has, or had, a question answered in a field.
func (m *RecipeModel) asks(i int, field string) (q RecipeQuestion, ok bool) {
	for _, lines := range [][]RecipeLine{m.Lines, m.Asked} {
		if i >= len(lines) {
			continue
		}
		for _, q := range lines[i].Questions {
			if AnswerField(q.Kind) == field {
				return q, true
			}
		}
	}
	return q, m.AskAll && field != "use" || m.Form.get(row("lines", i, field)) != ""
}

// understood is what the program makes of a line.
func (m *RecipeModel) understood(i int) string {
	l := m.Lines[i]
	switch m.Form.get(row("lines", i, "use")) {
	case "out":
		return "left out"
	}
	what := "not known yet"
	if f, ok := m.Foods.Find(l.Food); ok {
		what = f.Name
	} else if own := m.Form.get(row("lines", i, "food")); own == OwnInDough || own == OwnApart {
		what = l.Name
	}
	if l.Grams > 0 {
		what = l.Grams.String() + " " + lower(what)
		if l.Basis != "" {
			what += " (" + l.Basis + ")"
		}
	}
	return what
}

// foodChoices are the foods a line may be of: its readings first.
func (m *RecipeModel) foodChoices(q RecipeQuestion) []Option {
	out := []Option{{"", "choose"}}
	for _, id := range q.Readings {
		if f, ok := m.Foods.Find(id); ok {
			out = append(out, Option{id, f.Name})
		}
	}
	for _, o := range foodOptions(m.Foods) {
		if !slices.Contains(q.Readings, o.Value) {
			out = append(out, o)
		}
	}
	return append(out, Option{OwnInDough, "something else, part of the dough"}, Option{OwnApart, "something else that stays apart: fruit, nuts, seeds"})
}

// gramsHint is what the weight may be.
func gramsHint(q RecipeQuestion) string {
	switch {
	case len(q.Readings) == 0:
		return "its weight cannot be read"
	case q.Kind == "measure":
		return "as measures go " + list(q.Readings) + "; put in what yours weighs"
	}
	return "it may mean " + strings.Join(q.Readings, " or ")
}

// RecipeWarning says what a person should know about a recipe.
func RecipeWarning(code, of string) string {
	switch code {
	case "no-name":
		return "It has no name."
	case "not-text":
		return "Something in " + of + " is no text and was left out."
	case "not-a-time":
		return "A time, " + of + ", cannot be read."
	case "cut":
		return "Something in " + of + " is longer than is taken in, and was cut."
	case "grouped":
		return "Its ingredients are in groups; they all go into one dough. What belongs on top or into a filling, leave out below."
	case "oven":
		return "It names several oven temperatures; look at the bake afterwards."
	}
	return of
}

// Step words a stage of a method for a recipe: what it is called and what is
// done.
func (w Words) Step(s schedule.Stage) (name, text string) {
	name = w.Verb(s.Kind)
	if s.Part != "" {
		name = w.verbOf(s.Kind) + ", " + s.Part
	}
	text = orElse(s.Label, name)
	switch {
	case s.Kind == schedule.Mix && s.Dough > 0:
		text += ", dough at " + s.Dough.String()
	case s.Kind == schedule.Bake:
		text += ": " + bakeSteps(s.Steps)
	case s.Kind.Rises() && s.Until.Word != "":
		text += " until " + w.until(s.Until.Word)
	case s.Kind.Rises() && s.Until.Expansion > 0:
		text += fmt.Sprintf(" until %.4g times the volume of the dough just mixed", s.Until.Expansion)
	case s.Kind.Waits() && s.Least > 0:
		text += ", at least " + s.Least.String()
	}
	return name, text + folding(s) + "."
}

// folding says when a rise is folded, nothing where it is not.
func folding(s schedule.Stage) string {
	var at []string
	for _, m := range s.FoldTimes {
		at = append(at, num(float64(m)))
	}
	if len(at) > 0 {
		return ", folded after " + list(at) + "\u00a0min"
	}
	for _, x := range s.Folds {
		at = append(at, num(100*x))
	}
	if len(at) > 0 {
		return ", folded at " + list(at) + "\u00a0% of the way"
	}
	return ""
}

func (w Words) until(word schedule.TargetWord) string {
	for _, o := range targetOptions(w) {
		if o.Value == string(word) {
			return o.Word
		}
	}
	return string(word)
}

func bakeSteps(steps []schedule.BakeStep) string {
	var out []string
	for _, s := range steps {
		x := fmt.Sprintf("%s for %s", s.Celsius, s.Minutes)
		if s.Steam {
			x += " with steam"
		}
		out = append(out, x)
	}
	return strings.Join(out, ", then ")
}

func piecesHint(yield string) string {
	if yield == "" {
		return "it does not say"
	}
	return "it says “" + yield + "”"
}

// or is the form with a value where nothing was typed.
func (f *Form) or(name, value string) *Form {
	if _, typed := f.Values[name]; typed {
		return f
	}
	g := *f
	g.Values = maps.Clone(f.Values)
	if g.Values == nil {
		g.Values = url.Values{}
	}
	g.Values.Set(name, value)
	return &g
}

// proposed is the form with a measure's usual weight, for the baker to confirm.
func (m *RecipeModel) proposed(q RecipeQuestion, i int) *Form {
	if q.Kind != "measure" || m.Lines[i].Grams <= 0 {
		return &m.Form
	}
	return m.Form.or(row("lines", i, "grams"), strconv.FormatFloat(float64(m.Lines[i].Grams), 'f', -1, 64))
}
