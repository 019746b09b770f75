package dough

// Caution is a matter of food safety that a formula raises. It is guidance for
// the planner and the baker: local code and licensed practice come before it.
type Caution struct {
	Code    string   `json:"code"`
	Text    string   `json:"text"`
	Section string   `json:"section,omitempty"` // of the FDA Food Code, where there is one
	From    []string `json:"from,omitempty"`    // ingredients that raise it
}

// Limits of the model food code, in °C and hours. Sections 3-501.14 and
// 3-501.16 as copied by state codes (WAC 246-215-03525, Delaware 3-501.14).
const (
	ColdHold     = 5.0  // cold holding, at most
	CoolFirst    = 21.0 // cooked food must come down to this
	WarmAll      = 4.0  // a dough with egg or milk above CoolFirst, in all, as guidance: 3-501.19(B)
	AboveColdAll = 6.0  // and above ColdHold: 3-501.19(C)
)

// Codes of cautions that are asked for by name.
const (
	EggMilkWarm = "egg-milk-warm"
	FilledGoods = "filled-goods"
)

// Cautions lists what the ingredients call for. Burns and the like belong to
// the stages of a method.
func (f Formula) Cautions() []Caution {
	perishable := f.labels(func(food Food) bool {
		return food.Role == Egg || food.Role == Dairy && food.Water > 50
	})
	cooked := f.labels(func(food Food) bool { return food.Cooked })
	filled := f.labels(func(food Food) bool { return food.Cooked && food.Role == Inclusion })
	cold := append(append([]string(nil), perishable...), cooked...)
	var list []Caution
	for _, c := range []Caution{
		{EggMilkWarm, "Dough with egg or milk: count the time above 21 °C, 4 h in all is the guide, and above 5 °C, 6 h; yeast doughs are often risen longer, so keep it short and chill when in doubt.", "3-501.19", perishable},
		{"cooked-cooling", "Cooked soaker or filling: cool from 57 to 21 °C within 2 h and to 5 °C within 6 h in all.", "3-501.14(A)", cooked},
		{"core", "Dough with egg: bake it through. 68 °C in the core, for 17 s, is the least of the code; a baked crumb has 90 °C and more.", "3-401.11(A)", f.labels(func(food Food) bool { return food.Role == Egg })},
		{FilledGoods, "Filled goods after baking: 4 h out of the cold at most, mark the time, then discard.", "3-501.19(B)", filled},
		{"fridge", "Hold cold at 5 °C or below; a warmer fridge also lets the dough rise on.", "3-501.16(A)", cold},
		{"raw-flour", "Raw flour is not ready to eat: no tasting of dough, wash hands and bench, keep its dust off finished food.", "", f.labels(func(food Food) bool { return food.Role == Flour })},
		{"allergens", "Declare allergens; what is unknown or depends on the maker must be looked up on the label.", "", f.allergenic()},
	} {
		if len(c.From) > 0 {
			list = append(list, c)
		}
	}
	return list
}

// labels names the ingredients whose food satisfies is.
func (f Formula) labels(is func(Food) bool) []string {
	var names []string
	for _, in := range f.Ingredients {
		if food, ok := in.Resolve(); ok && is(food) {
			names = appendNew(names, in.Label())
		}
	}
	return names
}

// allergenic names the ingredients that hold, may hold or are not known to lack
// an allergen of any rule set.
func (f Formula) allergenic() []string {
	var names []string
	for _, in := range f.Ingredients {
		food, ok := in.Resolve()
		free := ok && len(food.Allergens) == 1 && food.Allergens[0] == AllergenNone && len(food.Check) == 0
		if !free {
			names = appendNew(names, in.Label())
		}
	}
	return names
}
