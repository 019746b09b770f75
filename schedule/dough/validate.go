package dough

import (
	"fmt"
	"math"
	"slices"

	"ovenward/schedule/unit"
)

// Fault is one thing wrong with a formula and what to do about it.
type Fault struct {
	Where  string `json:"where"` // "ingredients[2].percent"
	What   string `json:"what"`
	Remedy string `json:"remedy"`
}

// Limits beyond which a formula is taken for a slip of the pen, in per cent of
// the flour: common practice, no source, set well outside anything baked.
const (
	mostYeast = 15.0 // as fresh yeast
	mostSalt  = 8.0
	mostSugar = 80.0
	mostFat   = 120.0
	leastWet  = 25.0
	mostWet   = 200.0
	mostOther = 1000.0 // any single ingredient
	flourSlop = 0.1    // how far the flours may miss 100
)

// Validate lists every fault of the formula: first ingredient by ingredient,
// then those of the whole.
func (f Formula) Validate() []Fault {
	if len(f.Ingredients) == 0 {
		return []Fault{{"ingredients", "there are no ingredients", "add flour, water, salt and yeast"}}
	}
	var faults []Fault
	for i, in := range f.Ingredients {
		for _, fault := range in.validate() {
			fault.Where = fmt.Sprintf("ingredients[%d].%s", i, fault.Where)
			faults = append(faults, fault)
		}
	}
	if len(faults) > 0 && !f.finite() {
		return faults // sums of nonsense say nothing
	}
	return append(faults, f.Totals().validate()...)
}

func (in Ingredient) validate() []Fault {
	var faults []Fault
	add := func(where, what, remedy string) { faults = append(faults, Fault{where, what, remedy}) }
	switch p := float64(in.Percent); {
	case math.IsNaN(p) || math.IsInf(p, 0):
		add("percent", "the percentage is not a number", "give a share of the flour, such as 62")
	case p <= 0:
		add("percent", fmt.Sprintf("%v is not more than nothing", in.Percent), "give a share of the flour above 0, or remove the ingredient")
	case p > mostOther:
		add("percent", fmt.Sprintf("%v is more than ten times the flour", in.Percent), "give a share of the flour, not grams")
	}
	switch {
	case in.Own != nil:
		for _, fault := range in.Own.Validate() {
			fault.Where = "own." + fault.Where
			faults = append(faults, fault)
		}
	case in.Food == "":
		add("food", "no food is named", "choose one from the list")
	default:
		if _, ok := Find(in.Food); !ok {
			add("food", fmt.Sprintf("%q is not a known food", in.Food), "choose one from the list, or give its own composition")
		}
	}
	return faults
}

// Validate lists what cannot be in a composition somebody has typed in, with the
// place of each field.
func (f Food) Validate() []Fault {
	var faults []Fault
	var sum float64
	for _, part := range []struct {
		where string
		value float64
		whole float64
		sums  bool
	}{
		{"water", f.Water, 100, true}, {"fat", f.Fat, 100, true}, {"sugar", f.Sugar, 100, true},
		{"salt", f.Salt, 100, true}, {"protein", f.Protein, 100, true},
		{"hexose", f.Hexose, f.Sugar, false}, {"lactose", f.Lactose, max(0, f.Sugar-f.Hexose), false},
	} {
		if !(part.value >= 0 && part.value <= part.whole) {
			faults = append(faults, Fault{part.where, fmt.Sprintf("%v g in 100 g cannot be", part.value), fmt.Sprintf("give 0 to %v", part.whole)})
		} else if part.sums {
			sum += part.value
		}
	}
	if sum > 101 {
		faults = append(faults, Fault{"water", fmt.Sprintf("water, fat, sugar, salt and protein come to %.1f g in 100 g", sum), "correct them to 100 or less"})
	}
	if _, err := f.Role.MarshalText(); err != nil {
		faults = append(faults, Fault{"role", err.Error(), "choose one from the list"})
	}
	if f.Role == Yeast && f.Yeast.Fresh() == 0 {
		faults = append(faults, Fault{"yeast", "the kind of yeast is not given", "choose fresh, active-dry or instant"})
	}
	if !(f.Density >= 0 && f.Density <= mostDensity) {
		faults = append(faults, Fault{"density", fmt.Sprintf("%v g/ml cannot be", f.Density), fmt.Sprintf("give 0.05 to %v, or leave it empty", mostDensity)})
	}
	return append(faults, f.validateWords()...)
}

// mostDensity is more than any food weighs, g/mL: salt crystal is 2.2 (from memory).
const mostDensity = 2.5

// validateWords checks measures and allergens.
func (f Food) validateWords() []Fault {
	var faults []Fault
	for i, m := range f.Measures {
		if m.Name == "" {
			faults = append(faults, Fault{fmt.Sprintf("measures[%d].name", i), "the measure has no name", "give it one, such as cup, or remove it"})
		}
		if !(m.Grams > 0 && m.Grams <= 1e6) {
			faults = append(faults, Fault{fmt.Sprintf("measures[%d].grams", i), fmt.Sprintf("a measure does not weigh %v g", m.Grams), "weigh it, or remove it"})
		}
	}
	for _, list := range []struct {
		where string
		words []Allergen
	}{{"allergens", f.Allergens}, {"check", f.Check}} {
		for _, a := range list.words {
			if !slices.Contains(AllAllergens(), a) {
				faults = append(faults, Fault{list.where, fmt.Sprintf("%q is no allergen of the lists", string(a)), "choose from the list"})
			}
		}
	}
	return faults
}

// finite tells whether the percentages can be added up.
func (f Formula) finite() bool {
	var sum unit.Percent
	for _, in := range f.Ingredients {
		sum += in.Percent
	}
	return !math.IsNaN(float64(sum)) && !math.IsInf(float64(sum), 0)
}

// validate checks the whole dough.
func (t Totals) validate() []Fault {
	var faults []Fault
	add := func(what, remedy string) { faults = append(faults, Fault{"ingredients", what, remedy}) }
	switch {
	case t.Flour == 0:
		add("there is no flour", "add flours that come to 100 %")
		return faults // the rest is measured against it
	case math.Abs(float64(t.Flour)-100) > flourSlop:
		add(fmt.Sprintf("the flours come to %v", t.Flour), "change them to 100 % together")
	}
	switch {
	case t.Water <= 0:
		add("there is no water", "add water, milk or eggs")
	case t.Water < leastWet:
		add(fmt.Sprintf("all water together is %v", t.Water), fmt.Sprintf("add liquid: a dough takes at least %v %%", leastWet))
	}
	for _, most := range []struct {
		of    string
		share unit.Percent
		limit unit.Percent
	}{
		{"water", t.Water, mostWet}, {"yeast (as fresh)", t.Yeast, mostYeast}, {"salt", t.Salt, mostSalt},
		{"sugar", t.Sugar + t.Hexose, mostSugar}, {"fat", t.Fat, mostFat},
	} {
		if most.share > most.limit {
			add(fmt.Sprintf("%s comes to %v", most.of, most.share), fmt.Sprintf("check the percentages: more than %v is not a dough", most.limit))
		}
	}
	return faults
}
