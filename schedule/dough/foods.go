package dough

// foods is read only.
var foods = [...]Food{
	{ID: "bread-flour", NDB: "20083", Name: "bread flour", Role: Flour, Water: 13.36, Fat: 1.66, Sugar: 0.31, Protein: 11.98,
		Measures: []Measure{{"cup", 137}}, Allergens: []Allergen{AllergenWheat}},
	{ID: "water", NDB: "14429", Name: "water", Role: Water, Water: 99.9, Density: 1,
		Measures: []Measure{{"fl oz", 29.6}, {"cup", 237}}, Allergens: []Allergen{AllergenNone}},
	{ID: "salt", NDB: "02047", Name: "salt", Role: Salt, Water: 0.2, Salt: 99.8,
		Measures: []Measure{{"tsp", 6}, {"tbsp", 18}, {"cup", 292}}, Allergens: []Allergen{AllergenNone}},
	{ID: "instant-yeast", Name: "instant yeast", Role: Yeast, Yeast: Instant, Water: 5, Fat: 7.6, Protein: 40.4,
		Measures: []Measure{{"tsp", 3.1}}, Allergens: []Allergen{AllergenNone}},
}
