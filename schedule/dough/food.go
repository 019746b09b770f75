package dough

import "slices"

// Food is what an ingredient is made of, per 100 g of it.
type Food struct {
	ID   string `json:"id"`            // slug in kebab case: "bread-flour"
	NDB  string `json:"ndb,omitempty"` // record of the USDA National Nutrient Database, SR
	Name string `json:"name"`
	Role Role   `json:"role"`

	Water   float64 `json:"water"`
	Fat     float64 `json:"fat"`
	Sugar   float64 `json:"sugar"`             // all sugars
	Hexose  float64 `json:"hexose,omitempty"`  // of these: glucose and fructose
	Lactose float64 `json:"lactose,omitempty"` // of these: milk sugar, which yeast leaves alone
	Salt    float64 `json:"salt"`              // sodium x 2.54
	Protein float64 `json:"protein"`

	WholeGrain bool       `json:"wholeGrain,omitempty"`
	Cooked     bool       `json:"cooked,omitempty"`    // goes into the dough cooked and cooled
	Yeast      YeastKind  `json:"yeast,omitempty"`     // of a food whose role is Yeast
	Measures   []Measure  `json:"measures,omitempty"`  // household measures
	Density    float64    `json:"density,omitempty"`   // g/mL where stated; otherwise from the measures
	Allergens  []Allergen `json:"allergens,omitempty"` // AllergenNone where there is none; empty means nobody has said
	Check      []Allergen `json:"check,omitempty"`     // depends on the maker: read the label
}

// Measure is a household measure of a food and its weight.
type Measure struct {
	Name  string  `json:"name"` // "cup", "tbsp", "large"
	Grams float64 `json:"grams"`
}

// Foods lists the foods the program knows, flours first.
func Foods() []Food { return slices.Clone(foods[:]) }

// Find looks a food up by its slug.
func Find(id string) (Food, bool) {
	for i := range foods {
		if foods[i].ID == id {
			return foods[i], true
		}
	}
	return Food{}, false
}
