package view

import (
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/dough"
)

// Cautions are the care a task calls for: burns at the oven and the stove, and
// what its dough asks for while it waits.
func (m *Picture) Cautions(t *schedule.Task) []string {
	switch {
	case t.Kind == schedule.Bake && t.Steam:
		return append([]string{"Hot oven, hot trays, steam: stand aside when the door opens."}, m.asked(t, "core")...)
	case t.Kind == schedule.Bake:
		return append([]string{"Hot oven and trays: dry gloves."}, m.asked(t, "core")...)
	case t.Kind == schedule.Prepare && len(m.asked(t, "cooked-cooling")) > 0:
		return append([]string{"Boiling water, steam and hot sugar burn: lids away from you, no bare hands."}, m.asked(t, "cooked-cooling")...)
	case t.Kind == schedule.Finish:
		return []string{"Hot syrup and glaze stick and burn: cold water within reach."}
	case t.Part != "" && t.Kind == schedule.Rest:
		return m.asked(t, "cooked-cooling")
	case t.Kind.Rises() && t.Chilled:
		return m.asked(t, "fridge")
	case t.Kind.Rises() && t.Part == "":
		return m.asked(t, "egg-milk-warm")
	}
	return nil
}

// asked is the caution of a code if the task's dough or bread calls for it.
func (m *Picture) asked(t *schedule.Task, code string) []string {
	for _, b := range m.Plan.Batches {
		if b.ID != t.Batch {
			continue
		}
		f, _ := m.Day.Formula(b.Dough)
		for _, c := range f.Cautions() {
			if c.Code == code {
				return []string{cautionWords(c)}
			}
		}
	}
	return nil
}

// cautionWords is a caution with its section of the model food code beside.
func cautionWords(c dough.Caution) string {
	if c.Section == "" {
		return c.Text
	}
	return strings.TrimSuffix(c.Text, ".") + " (model food code " + c.Section + ")."
}

// Care is everything a formula asks to be careful about, in sentences.
func Care(f dough.Formula) []string {
	var out []string
	for _, c := range f.Cautions() {
		out = append(out, cautionWords(c))
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
