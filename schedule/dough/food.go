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
	Note       string     `json:"note,omitempty"`      // what to know about its measures
	Allergens  []Allergen `json:"allergens,omitempty"` // AllergenNone where there is none; empty means nobody has said
	Check      []Allergen `json:"check,omitempty"`     // depends on the maker: read the label
}

// Measure is a household measure of a food and its weight.
type Measure struct {
	Name  string  `json:"name"` // "cup", "tbsp", "large"
	Grams float64 `json:"grams"`
}

// Heat is the specific heat of the food in kJ/(kg K) near 20 °C, from its
// composition: Choi and Okos 1986 as in the ASHRAE Refrigeration handbook,
// "Thermal properties of foods" (coefficients from memory), what is neither
// water, fat, protein nor salt counted as carbohydrate. Flour is FlourHeat.
func (f Food) Heat() float64 {
	if f.Role == Flour {
		return FlourHeat
	}
	carb := max(0, 100-f.Water-f.Protein-f.Fat-f.Salt)
	return (4.18*f.Water + 2.03*f.Protein + 2.01*f.Fat + 1.59*carb + 1.13*f.Salt) / 100
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
