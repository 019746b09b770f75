package recipe

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// Recipe is a bread to be written, for so many pieces.
type Recipe struct {
	Bread  *schedule.Bread
	Base   *schedule.Base // of a bread that has one
	Pieces int
	Foods  dough.Library // the baker's own
	// Words says what a stage is called and what is done in it.
	Words func(schedule.Stage) (name, text string)
}

// The shapes of schema.org that are written.
type (
	document struct {
		Context      string          `json:"@context"`
		Type         string          `json:"@type"`
		Name         string          `json:"name"`
		Yield        quantity        `json:"recipeYield"`
		CookTime     string          `json:"cookTime,omitempty"`
		Ingredients  []string        `json:"recipeIngredient"`
		Instructions []section       `json:"recipeInstructions"`
		Properties   []propertyValue `json:"additionalProperty"`
	}
	quantity struct {
		Type  string `json:"@type"`
		Value int    `json:"value"`
		Unit  string `json:"unitText"`
	}
	section struct {
		Type  string `json:"@type"`
		Name  string `json:"name"`
		Steps []step `json:"itemListElement"`
	}
	step struct {
		Type       string      `json:"@type"`
		Name       string      `json:"name"`
		Text       string      `json:"text"`
		Directions []direction `json:"itemListElement"`
	}
	direction struct {
		Type string `json:"@type"`
		Text string `json:"text"`
		Time string `json:"performTime,omitempty"`
	}
	propertyValue struct {
		Type  string  `json:"@type"`
		Name  string  `json:"name"`
		Value float64 `json:"value"`
		Unit  string  `json:"unitText"`
		Code  string  `json:"unitCode"` // UN/CEFACT: P1 percent, CEL °C
	}
)

// Write writes a recipe as JSON-LD that may stand in a web page as it is.
// Ingredients are text with weights to a hundredth of a gram; percentages and
// temperatures are additional properties.
func Write(w io.Writer, r Recipe) error {
	f, method := r.Bread.Formula, r.Bread.Method
	if r.Base != nil {
		f = dough.Formula{Ingredients: append(append([]dough.Ingredient{}, r.Base.Formula.Ingredients...), f.Ingredients...)}
		method = append(append([]schedule.Stage{}, r.Base.Method...), method...)
	}
	doc := document{
		Context: "https://schema.org", Type: "Recipe", Name: r.Bread.Name, Yield: quantity{"QuantitativeValue", r.Pieces, "pieces"},
		Ingredients: ingredients(f, r.Bread.Piece, r.Pieces, r.Foods),
	}
	for _, in := range f.Ingredients {
		doc.property("baker's percentage: "+in.Label(), float64(in.Percent), "%", "P1")
	}
	for _, s := range method {
		doc.stage(s, r)
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	if err := e.Encode(doc); err != nil {
		return fmt.Errorf("recipe: %w", err)
	}
	return nil
}

func (d *document) property(name string, v float64, of, code string) {
	d.Properties = append(d.Properties, propertyValue{"PropertyValue", name, v, of, code})
}

// stage adds a section for a stage and what is measured in it.
func (d *document) stage(s schedule.Stage, r Recipe) {
	name, text := r.Words(s)
	minutes := s.Duration(r.Pieces)
	dir := direction{Type: "HowToDirection", Text: text}
	if minutes > 0 {
		dir.Time = isoMinutes(minutes)
	}
	d.Instructions = append(d.Instructions, section{"HowToSection", name, []step{{"HowToStep", name, text, []direction{dir}}}})
	if s.Kind == schedule.Bake && minutes > 0 {
		d.CookTime = isoMinutes(minutes)
	}
	if s.Dough > 0 {
		d.property("dough temperature: "+name, float64(s.Dough), "°C", "CEL")
	}
	for _, b := range s.Steps {
		d.property("oven temperature: "+name, float64(b.Celsius), "°C", "CEL")
	}
	if x := s.Until.Ratio(); x > 0 {
		d.property("volume against the dough just mixed, percent: "+name, math.Round(x*100), "%", "P1")
	}
}

// ingredients are the lines of a formula as text that can be read back, the
// parts first.
func ingredients(f dough.Formula, piece unit.Grams, n int, library dough.Library) []string {
	var lines []string
	known := NewNames(library)
	for _, part := range f.ForPieces(n, piece).Parts {
		for _, l := range part.Lines {
			lines = append(lines, ingredient(f.Ingredients[l.Ingredient], l.Exact, part.Name, known, library))
		}
	}
	return lines
}

// ingredient is one line: in the baker's word where that tells the food, else by
// the food's name with the word beside it, where that does.
func ingredient(in dough.Ingredient, weight unit.Grams, part string, known Names, library dough.Library) string {
	if part != "" {
		part = " (into the " + part + ")"
	}
	food, ok := library.Find(in.Food)
	if in.Name == "" && in.Own == nil && ok {
		in.Name = food.Name
	}
	line := grams(weight) + " g " + in.Label() + part
	if !ok || in.Own != nil {
		return line
	}
	beside := " (" + strings.NewReplacer("(", "[", ")", "]").Replace(in.Label()) + ")"
	for _, name := range []string{in.Label(), food.Name + beside, food.Name} {
		line = grams(weight) + " g " + name + part
		if l := newLine(line, "", known, library); l.Food == in.Food && len(l.Questions) == 0 {
			break
		}
	}
	return line
}

// grams writes a weight to a hundredth, less than a gram to four decimals, for a
// little yeast is much; never with three, which might be read as thousands.
func grams(g unit.Grams) string {
	v := float64(g)
	hundredths := math.Round(v*100) / 100
	switch {
	case v < 0.01:
		return strconv.FormatFloat(v, 'f', 6, 64)
	case v < 1 && math.Abs(v-hundredths) > 1e-6:
		return strconv.FormatFloat(v, 'f', 4, 64)
	}
	return strconv.FormatFloat(hundredths, 'f', -1, 64)
}
