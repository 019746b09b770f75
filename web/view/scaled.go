package view

import (
	"fmt"
	"math"
	"net/url"
	"strconv"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
	"ovenward/store/record"
)

// The ways to say how much, as the field "by" has them.
const (
	ByPieces = "pieces"
	ByFlour  = "flour"
	ByTin    = "tin"
	ByLeft   = "left"
)

// What the weight of one piece is that of, as the field "of" has it.
const (
	AsDough = "dough"
	AsBaked = "baked"
)

// ScaleModel is a bread to be weighed out at a size.
type ScaleModel struct {
	Bread  schedule.Bread
	Base   schedule.Base // zero for a dough of its own
	Form   Form
	Tins   []schedule.Tin
	Rules  dough.Rules
	Scaled *Scaled      // nil where there is nothing to weigh
	Water  []string     // how warm what is poured should be
	Days   []record.Day // that can take the pieces
}

// Scaled is a bread at a size.
type Scaled struct {
	Parts  []ScaledPart
	Flour  unit.Grams   // before rounding
	Total  unit.Grams   // as weighed
	Each   unit.Grams   // dough of one piece; 0 where it is not known
	Loss   unit.Percent // in the oven
	Pieces int          // whole ones
	Over   unit.Grams   // dough that makes no whole piece
	Short  unit.Grams   // asked by rounding beyond what is left of an ingredient
}

// ScaledPart is what goes into one bowl.
type ScaledPart struct {
	Name  string
	Lines []ScaledLine
	Total unit.Grams
}

// ScaledLine is one ingredient. Weighed differs from Percent where the scale is
// coarse for it, else it is 0.
type ScaledLine struct {
	Name             string
	Percent, Weighed unit.Percent
	Grams            unit.Grams
}

// ScaledParts are a formula's bowls for an amount of flour.
func ScaledParts(f dough.Formula, flour, step unit.Grams, base bool) []ScaledPart {
	name := "Dough"
	if base {
		name = "Base dough"
	}
	return scaledParts(f, flour, step, name)
}

// ScaledAdditions are what goes into the parted base dough.
func ScaledAdditions(f dough.Formula, flour, step unit.Grams) []ScaledPart {
	if len(f.Ingredients) == 0 {
		return nil
	}
	return scaledParts(f, flour, step, "Added to it")
}

func scaledParts(f dough.Formula, flour, step unit.Grams, last string) []ScaledPart {
	w := f.ForFlour(flour).Round(step)
	out := make([]ScaledPart, 0, len(w.Parts))
	for _, p := range w.Parts {
		if len(p.Lines) == 0 {
			continue
		}
		part := ScaledPart{Name: upper(p.Name), Total: p.Total}
		if p.Name == "" {
			part.Name = last
		}
		for _, l := range p.Lines {
			line := ScaledLine{Name: l.Label, Percent: f.Ingredients[l.Ingredient].Percent, Grams: l.Grams}
			if l.Coarse() {
				line.Weighed = unit.Percent(100 * l.Grams / flour)
			}
			part.Lines = append(part.Lines, line)
		}
		out = append(out, part)
	}
	return out
}

// onScale is a weight as a scale shows it: to its last figure, in kilograms from
// a thousand grams.
func onScale(g unit.Grams) string {
	v, of := math.Round(float64(g)*1000)/1000, "\u00a0g"
	if v >= 1000 {
		v, of = math.Round(v*1000)/1e6, "\u00a0kg"
	}
	return strconv.FormatFloat(v, 'f', -1, 64) + of
}

// made is how many pieces it makes, and what one is.
func (s *Scaled) made() string {
	if s.Pieces == 0 {
		return "not one whole piece of " + s.Each.String()
	}
	return fmt.Sprintf("%d of %s", s.Pieces, onScale(unit.Grams(math.Round(float64(s.Each)*10)/10)))
}

// baked is what one piece weighs out of the oven.
func (s *Scaled) baked() string {
	return "about " + unit.Grams(float64(s.Each)*(1-float64(s.Loss)/100)).String()
}

// coarse tells whether the scale is too coarse for a line.
func (s *Scaled) coarse() bool {
	for _, p := range s.Parts {
		for _, l := range p.Lines {
			if l.Weighed > 0 {
				return true
			}
		}
	}
	return false
}

// takeInto is the plan page of a day with the pieces on a new line.
func (m *ScaleModel) takeInto(d record.Day) string {
	q := url.Values{"bread": {m.Bread.ID}, "pieces": {itoa(m.Scaled.Pieces)}}
	return DayHead{ID: d.ID}.At("/plan") + "?" + q.Encode()
}

// takeWords says so.
func (m *ScaleModel) takeWords(d record.Day, now time.Time) string {
	return fmt.Sprintf("Order %d for %s", m.Scaled.Pieces, dated(d, now))
}

// inBread are the foods a bread is made of, once each.
func (m *ScaleModel) inBread() []Option {
	out, seen := []Option{{"", "choose"}}, map[string]bool{}
	for _, f := range []dough.Formula{m.Base.Formula, m.Bread.Formula} {
		for _, in := range f.Ingredients {
			if !seen[in.Food] {
				seen[in.Food] = true
				out = append(out, Option{in.Food, in.Label()})
			}
		}
	}
	return out
}

// tins are those of the kitchen, with what they hold.
func (m *ScaleModel) tins() []Option {
	out := []Option{{"", "measured below"}}
	for _, t := range m.Tins {
		word := t.Name
		if t.Litres > 0 {
			word += fmt.Sprintf(", %g\u00a0l", float64(t.Litres))
		}
		out = append(out, Option{t.Name, word})
	}
	return out
}
