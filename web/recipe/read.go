package recipe

import (
	"cmp"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// Bounds of one recipe. What goes beyond is left out, with a warning.
const (
	mostLines    = 200
	mostSteps    = 400
	mostYields   = 10
	longestName  = 120  // characters
	longestLine  = 400  // characters
	longestStep  = 8000 // characters
	mostPieces   = 10000
	mostWarnings = 30
)

// Read reads a recipe of a JSON-LD document, counted from 0; the first where there are
// not so many. Recipes stand at its top, in a list, in a graph or as what a page is
// about. Of a web page its JSON-LD is read. Ingredients are looked for in the library
// too, the baker's own foods. Its errors are sentences for a person.
func Read(data []byte, library dough.Library, which int) (*Draft, error) {
	v, err := parse(data)
	if err != nil {
		return nil, err
	}
	all := find(v)
	if len(all) == 0 {
		return nil, ErrNoRecipe
	}
	d := &Draft{library: library}
	for _, r := range all {
		d.All = append(d.All, cmp.Or(nameOf(r), "Recipe"))
	}
	if which < 0 || which >= len(all) {
		which = 0
	}
	d.Which = which
	r := all[which]
	if d.Name = nameOf(r); d.Name == "" {
		d.Name = "Recipe"
		d.warn(NoName, "")
	}
	d.yield(r["recipeYield"])
	if d.Yield == "" {
		d.yield(r["yield"])
	}
	d.lines(r)
	d.instructions(r["recipeInstructions"], "")
	d.times(r)
	d.ovens()
	return d, nil
}

// nameOf is what a recipe calls itself, "" for nothing.
func nameOf(r group) string {
	name, _ := text(r["name"])
	return clip(plain(name), longestName)
}

func (d *Draft) warn(code WarningCode, of string) {
	if w := (Warning{code, of}); len(d.Warnings) < mostWarnings && !slices.Contains(d.Warnings, w) {
		d.Warnings = append(d.Warnings, w)
	}
}

// bounded is text no longer than it may be.
func (d *Draft) bounded(s string, n int, of string) string {
	if r := []rune(s); len(r) > n {
		d.warn(Cut, of)
		return string(r[:n])
	}
	return s
}

// yield reads how many pieces it makes. A bare number may be servings: it asks.
func (d *Draft) yield(v any) {
	all := list(v)
	for _, y := range all[:min(len(all), mostYields)] {
		s, ok := text(y)
		if g, is := y.(group); is && !ok {
			value, _ := text(g["value"])
			of, _ := text(g["unitText"])
			if of == "" {
				of, _ = text(g["name"])
			}
			s, ok = strings.TrimSpace(value+" "+of), true
		}
		if !ok {
			d.warn(NotText, "recipeYield")
			continue
		}
		s = d.bounded(plain(s), longestName, "recipeYield")
		if n := pieces(s); n > 0 || d.Yield == "" {
			d.Yield, d.Pieces = s, n
		}
		if d.Pieces > 0 {
			return
		}
	}
}

var (
	makes    = regexp.MustCompile(`(?i)^\s*(?:this\s+)?(?:makes|yields?|for)\s*:?\s*`)
	servings = regexp.MustCompile(`(?i)^\W*(?:servings?|serves|persons?|people|portions?|helpings?)\b`)
)

// pieces is how many pieces a yield tells, 0 where it does not: "12 rolls", but
// not "12", "8 servings", "2-3 loaves" or "1 kg".
func pieces(s string) int {
	q, err := dough.ParseQuantity(bracket.ReplaceAllString(makes.ReplaceAllString(s, ""), " "))
	switch {
	case err != nil || q.Unquantified || q.Low != q.High || q.Low != math.Trunc(q.Low) || q.Low < 1 || q.Low > mostPieces:
		return 0
	case q.Rest == "" || servings.MatchString(q.Rest):
		return 0
	case !slices.Contains([]string{"", "small", "medium", "large", "extra large", "cake"}, q.Unit):
		return 0
	}
	return int(q.Low)
}

// lines reads the ingredients.
func (d *Draft) lines(r group) {
	all := list(r["recipeIngredient"])
	if len(all) == 0 {
		all = list(r["ingredients"]) // its name before 2014
	}
	if len(all) == 1 {
		all = several(all[0])
	}
	known := NewNames(d.library)
	heading := ""
	for i, v := range all {
		if len(d.Lines) == mostLines {
			d.warn(Cut, "recipeIngredient")
			return
		}
		s, ok := supply(v)
		switch s = plain(d.bounded(s, longestLine, "recipeIngredient")); {
		case !ok:
			d.warn(NotText, "recipeIngredient "+strconv.Itoa(i+1))
		case s == "":
		case strings.HasSuffix(s, ":"):
			heading = strings.TrimSuffix(s, ":")
			d.warn(Grouped, heading)
		default:
			d.Lines = append(d.Lines, newLine(s, heading, known, d.library))
		}
	}
}

// several takes a list out of an ItemList, and lines out of one text.
func several(v any) []any {
	if g, ok := v.(group); ok && g["itemListElement"] != nil {
		return list(g["itemListElement"])
	}
	s, ok := v.(string)
	if !ok || !strings.Contains(s, "\n") {
		return []any{v}
	}
	var all []any
	for l := range strings.Lines(s) {
		all = append(all, l)
	}
	return all
}

// supply is an ingredient as text: a string, or an item with name and amount.
func supply(v any) (string, bool) {
	if s, ok := text(v); ok {
		return s, true
	}
	g, ok := v.(group)
	if !ok {
		return "", false
	}
	if item, ok := g["item"]; ok {
		return supply(item)
	}
	name, ok := text(g["name"])
	if !ok {
		return "", false
	}
	amount := g["requiredQuantity"]
	if amount == nil {
		amount = g
	}
	var parts []string
	if s, ok := text(amount); ok {
		parts = append(parts, s)
	}
	if q, ok := amount.(group); ok {
		for _, key := range []string{"value", "unitText"} {
			if s, ok := text(q[key]); ok {
				parts = append(parts, s)
			}
		}
		if code, _ := text(q["unitCode"]); q["unitText"] == nil && unitCodes[code] != "" {
			parts = append(parts, unitCodes[code])
		}
	}
	return strings.Join(append(parts, name), " "), true
}

// unitCodes are units as schema.org/unitCode names them: UN/ECE Recommendation 20,
// from memory.
var unitCodes = map[string]string{"GRM": "g", "KGM": "kg", "MGM": "mg", "MLT": "ml", "LTR": "l", "ONZ": "oz", "LBR": "lb"}

// instructions keeps the text of every step, in sections.
func (d *Draft) instructions(v any, section string) {
	for _, e := range list(v) {
		g, ok := e.(group)
		if s, is := text(e); is {
			d.steps(section, s)
			continue
		}
		if inner, is := e.([]any); is {
			d.instructions(inner, section)
			continue
		}
		if !ok {
			d.warn(NotText, "recipeInstructions")
			continue
		}
		name, _ := text(g["name"])
		inner := g["itemListElement"]
		s, told := text(g["text"])
		switch {
		case told: // its directions say the same in parts
			d.steps(section, s)
		case inner != nil:
			if t, _ := text(g["@type"]); t == "HowToSection" || section == "" {
				section = d.bounded(plain(name), longestName, "recipeInstructions")
			}
			d.instructions(inner, section)
			section = ""
		case g["item"] != nil:
			d.instructions(g["item"], section)
		case name != "":
			d.steps(section, name)
		default:
			d.warn(NotText, "recipeInstructions")
		}
	}
}

// steps takes in text of one step, or of one in each line.
func (d *Draft) steps(section, s string) {
	for _, l := range plainLines(d.bounded(s, longestStep, "recipeInstructions")) {
		d.step(section, l)
	}
}

func (d *Draft) step(section, s string) {
	n := 0
	for _, sec := range d.Instructions {
		n += len(sec.Steps)
	}
	if n >= mostSteps {
		d.warn(Cut, "recipeInstructions")
		return
	}
	if last := len(d.Instructions) - 1; last < 0 || d.Instructions[last].Name != section {
		d.Instructions = append(d.Instructions, Section{Name: section})
	}
	last := &d.Instructions[len(d.Instructions)-1]
	last.Steps = append(last.Steps, s)
}

func (d *Draft) times(r group) {
	for _, of := range []string{"prepTime", "performTime", "cookTime", "totalTime"} {
		for _, v := range list(r[of]) {
			s, ok := text(v)
			if !ok {
				d.warn(NotText, of)
				continue
			}
			t := Time{Of: of, Text: d.bounded(s, longestName, of)}
			if t.Length, ok = parseDuration(s); !ok {
				d.warn(NotATime, of)
			}
			d.Times = append(d.Times, t)
			break
		}
	}
}

var degrees = regexp.MustCompile(`(?i)\b(\d{3})\s*(?:°|º|degrees?|deg\.?)?\s*(C|F|celsius|fahrenheit)\b`)

// ovens looks for the oven's temperature in the instructions. A recipe that
// gives it on both scales names it once.
func (d *Draft) ovens() {
	named := map[unit.Celsius]bool{}
	for _, s := range d.Instructions {
		for _, step := range s.Steps {
			for _, m := range degrees.FindAllStringSubmatch(step, 50) {
				v, _ := strconv.ParseFloat(m[1], 64)
				c := unit.Celsius(v)
				if strings.EqualFold(m[2][:1], "F") {
					c = unit.Celsius(math.Round(float64(unit.FromFahrenheit(v))/5) * 5)
				}
				if c >= 120 && c <= 300 {
					named[c] = true
					d.Oven = c
				}
			}
		}
	}
	if len(named) > 1 {
		d.Oven = 0
		d.warn(OvenUnsure, "")
	}
}
