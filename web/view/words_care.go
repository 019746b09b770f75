package view

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
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
		return append([]string{"Hot syrup and glaze stick and burn: cold water within reach."}, m.asked(t, dough.FilledGoods)...)
	case t.Kind == schedule.Cool && t.Part == "":
		return m.asked(t, dough.FilledGoods)
	case t.Part != "" && t.Kind == schedule.Rest:
		return m.asked(t, "cooked-cooling")
	case t.Kind.Rises() && t.Chilled && t.Rescue != nil && t.Rescue.Kind == schedule.FinishWarm:
		return append(m.asked(t, "fridge"), m.asked(t, dough.EggMilkWarm)...)
	case t.Kind.Rises() && t.Chilled:
		return m.asked(t, "fridge")
	case t.Kind.Rises() && t.Part == "":
		return m.asked(t, dough.EggMilkWarm)
	}
	return nil
}

// asked is the caution of a code if what the task has in hand calls for it: the
// dough and, after the parting, what its bread adds.
func (m *Picture) asked(t *schedule.Task, code string) []string {
	for _, b := range m.Plan.Batches {
		if b.ID != t.Batch {
			continue
		}
		for _, f := range m.formulas(b, t.Portion) {
			for _, c := range f.Cautions() {
				if c.Code == code {
					return []string{cautionWords(c)}
				}
			}
		}
	}
	return nil
}

// formulas are what a batch is made of: its dough, and what the breads of the
// portions add, of one of them or of all; "" is none of them.
func (m *Picture) formulas(b schedule.Batch, portion string) []dough.Formula {
	f, _ := m.Day.Formula(b.Dough)
	out := []dough.Formula{f}
	for _, p := range b.Portions {
		if br, ok := m.Day.Bread(p.Bread); ok && br.Base != "" && (portion == p.ID || portion == everyPortion) {
			out = append(out, br.Formula)
		}
	}
	return out
}

// everyPortion asks for all portions of a batch.
const everyPortion = "*"

// warmth says how long a batch with egg or milk is reckoned to be warm before it
// is baked: of its portions the longest. Nothing where none has either, or doughs
// were not followed.
func (m *Picture) warmth(b schedule.Batch) string {
	var of string
	var warm, cool unit.Minutes
	for _, p := range b.Portions {
		since, ok := m.perishable(b, p)
		if !ok {
			continue
		}
		w, c := schedule.WarmFor(m.Traces, b.ID, p.ID, dough.CoolFirst, since), schedule.WarmFor(m.Traces, b.ID, p.ID, dough.ColdHold, since)
		if c > cool {
			of, warm, cool = p.ID+" "+p.Name, w, c
		}
	}
	if cool == 0 {
		return ""
	}
	s := fmt.Sprintf("%s, with egg or milk, is reckoned to be above 21\u00a0°C for about %s and above 5\u00a0°C for %s before it is baked", of, warm, cool)
	if warm > dough.WarmAll*60 || cool > dough.AboveColdAll*60 {
		s = "! " + s + ", longer than the guide of 4\u00a0h and 6\u00a0h: make it shorter, or hold it cold"
	}
	return s + " (model food code 3-501.19)."
}

// perishable says from when on a portion has egg or milk in it: with the dough, or
// from the parting.
func (m *Picture) perishable(b schedule.Batch, p schedule.Portion) (since time.Time, ok bool) {
	for i, f := range m.formulas(b, p.ID) {
		if !slices.ContainsFunc(f.Cautions(), func(c dough.Caution) bool { return c.Code == dough.EggMilkWarm }) {
			continue
		}
		if i == 0 {
			return time.Time{}, true
		}
		for _, t := range m.Traces {
			if t.Batch == b.ID && t.Portion == p.ID {
				return t.Points[0].At, true
			}
		}
	}
	return time.Time{}, false
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
