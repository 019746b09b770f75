package view

import (
	"ovenward/schedule"
	"ovenward/schedule/dough"
)

// Cautions are the care a task calls for: burns at the oven, raw flour at the
// bench. What a formula calls for is said with its bread.
func (m *Picture) Cautions(t *schedule.Task) []string {
	switch {
	case t.Kind == schedule.Bake && t.Steam:
		return []string{"Hot oven, hot trays, steam: stand aside when the door opens."}
	case t.Kind == schedule.Bake:
		return []string{"Hot oven and trays: dry gloves."}
	}
	return nil
}

// Care is everything a formula asks to be careful about, in sentences.
func Care(f dough.Formula) []string {
	var out []string
	for _, c := range f.Cautions() {
		out = append(out, c.Text)
	}
	return out
}

// Allergens is the line a bread carries by the rules: what it contains, what to
// look up, and what nobody has said anything about.
func Allergens(rules dough.Rules, fs ...dough.Formula) string {
	var all dough.Formula
	for _, f := range fs {
		all.Ingredients = append(all.Ingredients, f.Ingredients...)
	}
	a := all.Allergens(Bench{Rules: rules}.declares())
	var contains, check []string
	for _, d := range a.Contains {
		contains = append(contains, string(d.Allergen))
	}
	for _, d := range a.Check {
		check = append(check, string(d.Allergen))
	}
	s := "Contains no declared allergen."
	if len(contains) > 0 {
		s = "Contains " + list(contains) + "."
	}
	if len(check) > 0 {
		s += " Look on the label for " + list(check) + "."
	}
	if len(a.Unknown) > 0 {
		s += " Not known for " + list(a.Unknown) + "."
	}
	return s
}
