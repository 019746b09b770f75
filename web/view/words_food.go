package view

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ovenward/schedule/dough"
)

// foodLine is one ingredient of the list.
type foodLine struct{ ID, Name, Mark, Allergens string }

// foodGroup is the ingredients of one role.
type foodGroup struct {
	Role  string
	Foods []foodLine
}

// foodGroups lists ingredients by what they do in a dough.
func foodGroups(l dough.Library) []foodGroup {
	var out []foodGroup
	all := l.All()
	for _, r := range []dough.Role{dough.Flour, dough.Water, dough.Dairy, dough.Salt, dough.Sugar, dough.Yeast, dough.Egg, dough.Fat, dough.Inclusion, dough.Other} {
		g := foodGroup{Role: r.String()}
		for _, f := range all {
			if f.Role == r {
				g.Foods = append(g.Foods, foodLine{f.ID, orElse(f.Name, f.ID), foodMark(l, f.ID), foodAllergens(f)})
			}
		}
		if len(g.Foods) > 0 {
			out = append(out, g)
		}
	}
	return out
}

// foodMark says whose word on a food counts.
func foodMark(l dough.Library, id string) string {
	_, own := l.Own(id)
	_, built := dough.Find(id)
	switch {
	case own && built:
		return "corrected"
	case own:
		return "yours"
	}
	return ""
}

// foodMade is what a food is made of.
func foodMade(f dough.Food) string {
	return fmt.Sprintf("In 100\u00a0g: water %s\u00a0g, fat %s\u00a0g, sugars %s\u00a0g, protein %s\u00a0g, salt %s\u00a0g.", short(f.Water), short(f.Fat), short(f.Sugar), short(f.Protein), short(f.Salt))
}

func short(x float64) string { return strconv.FormatFloat(math.Round(100*x)/100, 'f', -1, 64) }

// foodMore is its measures, its allergens, and where all of it comes from.
func foodMore(f dough.Food) string {
	var parts []string
	for _, m := range f.Measures {
		parts = append(parts, m.Name+" "+short(m.Grams)+" g")
	}
	if f.Density > 0 {
		parts = append(parts, short(f.Density)+" g per ml")
	} else if d := f.GramsPerMillilitre(); d > 0 {
		parts = append(parts, short(d)+" g per ml by its measures")
	}
	if f.Note != "" {
		parts = append(parts, f.Note)
	}
	s := Sentence(orElse(strings.Join(parts, ", "), "no measures known"))
	s += " " + foodAllergens(f)
	if f.NDB != "" {
		s += " Source: USDA SR, record " + f.NDB + "."
	}
	return s
}

// foodAllergens says what is known of a food's allergens.
func foodAllergens(f dough.Food) string {
	if len(f.Allergens) == 0 {
		return "Nobody has said which allergens it holds."
	}
	s := "Allergens: " + joinAllergens(f.Allergens)
	if len(f.Check) > 0 {
		s += "; look on the label for " + joinAllergens(f.Check)
	}
	return s + "."
}

func joinAllergens(as []dough.Allergen) string {
	words := make([]string, len(as))
	for i, a := range as {
		words[i] = string(a)
	}
	return strings.Join(words, ", ")
}

func allergenWords() string { return joinAllergens(dough.AllAllergens()) }
