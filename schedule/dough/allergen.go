package dough

import "slices"

// Allergen is a substance that a rule set may require to be declared.
type Allergen string

// The allergens of both rule sets, and AllergenNone for a food that has been
// checked and holds none.
const (
	AllergenNone        Allergen = "none"
	AllergenWheat       Allergen = "wheat"
	AllergenRye         Allergen = "rye"
	AllergenBarley      Allergen = "barley"
	AllergenOats        Allergen = "oats"
	AllergenCrustaceans Allergen = "crustaceans"
	AllergenEgg         Allergen = "egg"
	AllergenFish        Allergen = "fish"
	AllergenPeanut      Allergen = "peanut"
	AllergenSoya        Allergen = "soya"
	AllergenMilk        Allergen = "milk"
	AllergenNuts        Allergen = "nuts"
	AllergenCelery      Allergen = "celery"
	AllergenMustard     Allergen = "mustard"
	AllergenSesame      Allergen = "sesame"
	AllergenSulphites   Allergen = "sulphites" // above 10 mg/kg as SO2
	AllergenLupin       Allergen = "lupin"
	AllergenMolluscs    Allergen = "molluscs"
)

// Rules is a law of declaration.
type Rules string

// The two rule sets.
const (
	US Rules = "us" // FALCPA 2004 and the FASTER Act 2021 (P.L. 117-11): nine
	EU Rules = "eu" // Regulation (EU) 1169/2011, Annex II: fourteen
)

// Groups is what the rules require to be declared, in the law's own number of
// groups; the European group of gluten cereals has four members here. Unknown
// rules require everything.
func (r Rules) Groups() [][]Allergen {
	if r == US {
		return [][]Allergen{{AllergenMilk}, {AllergenEgg}, {AllergenFish}, {AllergenCrustaceans}, {AllergenNuts},
			{AllergenPeanut}, {AllergenWheat}, {AllergenSoya}, {AllergenSesame}}
	}
	return [][]Allergen{{AllergenWheat, AllergenRye, AllergenBarley, AllergenOats}, {AllergenCrustaceans}, {AllergenEgg},
		{AllergenFish}, {AllergenPeanut}, {AllergenSoya}, {AllergenMilk}, {AllergenNuts}, {AllergenCelery},
		{AllergenMustard}, {AllergenSesame}, {AllergenSulphites}, {AllergenLupin}, {AllergenMolluscs}}
}

// AllAllergens lists every allergen of either law, and AllergenNone first.
func AllAllergens() []Allergen {
	return append([]Allergen{AllergenNone}, slices.Concat(EU.Groups()...)...)
}

// Declaration is an allergen and the ingredients it comes from.
type Declaration struct {
	Allergen Allergen `json:"allergen"`
	From     []string `json:"from"`
}

// Allergens is what a formula must declare. It is complete only when Unknown is empty.
type Allergens struct {
	Contains []Declaration `json:"contains"`
	Check    []Declaration `json:"check"`   // depends on the maker: read the label
	Unknown  []string      `json:"unknown"` // ingredients of which nobody has said
}

// Allergens lists what the rules want declared of the formula, in their order.
// It knows the ingredients only, not what else the kitchen handles.
func (f Formula) Allergens(r Rules) Allergens {
	var a Allergens
	for _, in := range f.Ingredients {
		if food, ok := in.Resolve(); !ok || len(food.Allergens) == 0 {
			a.Unknown = appendNew(a.Unknown, in.Label())
		}
	}
	for _, group := range r.Groups() {
		for _, al := range group {
			contains, check := f.sources(al)
			if len(contains) > 0 {
				a.Contains = append(a.Contains, Declaration{al, contains})
			}
			if len(check) > 0 {
				a.Check = append(a.Check, Declaration{al, check})
			}
		}
	}
	return a
}

// sources names the ingredients that contain an allergen, and those that may.
func (f Formula) sources(al Allergen) (contains, check []string) {
	for _, in := range f.Ingredients {
		food, ok := in.Resolve()
		switch {
		case !ok:
		case slices.Contains(food.Allergens, al):
			contains = appendNew(contains, in.Label())
		case slices.Contains(food.Check, al):
			check = appendNew(check, in.Label())
		}
	}
	return contains, check
}

func appendNew(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}
