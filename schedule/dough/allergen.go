package dough

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
	AllergenSulphites   Allergen = "sulphites"
	AllergenLupin       Allergen = "lupin"
	AllergenMolluscs    Allergen = "molluscs"
)

// Rules is a law of declaration.
type Rules string

// The two rule sets: nine allergens in the United States (FALCPA 2004 and the
// FASTER Act 2021), fourteen in the European Union (Regulation 1169/2011, Annex II).
const (
	US Rules = "us"
	EU Rules = "eu"
)

// Declaration is an allergen and the ingredients it comes from.
type Declaration struct {
	Allergen Allergen `json:"allergen"`
	From     []string `json:"from"`
}

// Allergens is what a formula must declare. It is complete only when Unknown is empty.
type Allergens struct {
	Contains []Declaration `json:"contains"`
	Check    []Declaration `json:"check"`   // may be in it: read the label
	Unknown  []string      `json:"unknown"` // ingredients nobody has said anything about
}

// Allergens lists what the rules want declared of the formula.
func (f Formula) Allergens(r Rules) Allergens { return Allergens{} }
