package dough

// measureUnit is a unit people weigh or measure with. Customary units are those
// of the United States as defined by NIST Handbook 44, Appendix C (exact), metric
// cups and spoons those of whole millilitres (from memory);
// pints, quarts and gallons differ by a fifth between countries and are
// accepted only with the country.
type measureUnit struct {
	name   string
	mass   float64  // g, of a unit of mass
	volume float64  // mL, of a unit of volume
	words  []string // as written, in lower case; longer spellings may have a space
}

var measureUnits = [...]measureUnit{
	{"mg", 0.001, 0, []string{"mg", "milligram", "milligrams"}},
	{"g", 1, 0, []string{"g", "gr", "gm", "gms", "gram", "grams", "gramme", "grammes"}},
	{"dag", 10, 0, []string{"dag", "dkg"}},
	{"kg", 1000, 0, []string{"kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"}},
	{"oz", 28.349523125, 0, []string{"oz", "ozs", "ounce", "ounces"}},
	{"lb", 453.59237, 0, []string{"lb", "lbs", "pound", "pounds"}},
	{"ml", 0, 1, []string{"ml", "cc", "millilitre", "millilitres", "milliliter", "milliliters"}},
	{"cl", 0, 10, []string{"cl", "centilitre", "centilitres", "centiliter", "centiliters"}},
	{"dl", 0, 100, []string{"dl", "decilitre", "decilitres", "deciliter", "deciliters"}},
	{"l", 0, 1000, []string{"l", "litre", "litres", "liter", "liters"}},
	{"tsp", 0, 4.92892159375, []string{"tsp", "tsps", "teaspoon", "teaspoons"}},
	{"tbsp", 0, 14.78676478125, []string{"tbsp", "tbsps", "tbs", "tbl", "tblsp", "tablespoon", "tablespoons"}},
	{"fl oz", 0, 29.5735295625, []string{"fl oz", "fl. oz", "floz", "fluid ounce", "fluid ounces", "fluid oz"}},
	{"cup", 0, 236.5882365, []string{"cup", "cups", "c", "us cup", "us cups"}},
	{"metric cup", 0, 250, []string{"metric cup", "metric cups"}},
	{"metric tbsp", 0, 15, []string{"metric tbsp", "metric tablespoon", "metric tablespoons"}},
	{"metric tsp", 0, 5, []string{"metric tsp", "metric teaspoon", "metric teaspoons"}},
	{"US pint", 0, 473.176473, []string{"us pint", "us pints"}},
	{"US quart", 0, 946.352946, []string{"us quart", "us quarts"}},
	{"US gallon", 0, 3785.411784, []string{"us gallon", "us gallons"}},
	{"imperial pint", 0, 568.26125, []string{"imperial pint", "imperial pints"}},
	{"imperial quart", 0, 1136.5225, []string{"imperial quart", "imperial quarts"}},
	{"imperial gallon", 0, 4546.09, []string{"imperial gallon", "imperial gallons"}},
	{"stick", 0, 0, []string{"stick", "sticks"}},
	{"packet", 0, 0, []string{"packet", "packets", "sachet", "sachets", "envelope", "envelopes", "package", "packages", "pkg", "pkgs"}},
	{"cake", 0, 0, []string{"cake", "cakes"}},
	{"dash", 0, 0, []string{"dash", "dashes"}},
	{"small", 0, 0, []string{"small"}},
	{"medium", 0, 0, []string{"medium"}},
	{"large", 0, 0, []string{"large"}},
	{"extra large", 0, 0, []string{"extra large", "extra-large", "x-large", "xl"}},
	{"jumbo", 0, 0, []string{"jumbo"}},
}

// findUnit finds a unit by its canonical name; the zero unit when there is none.
func findUnit(name string) measureUnit {
	for i := range measureUnits {
		if measureUnits[i].name == name {
			return measureUnits[i]
		}
	}
	return measureUnit{}
}

// kind tells apart what cannot be added: 1 mass, 2 volume, 3 the rest.
func (u measureUnit) kind() int {
	switch {
	case u.mass > 0:
		return 1
	case u.volume > 0:
		return 2
	}
	return 3
}

// size is the unit in g or mL; zero for the rest.
func (u measureUnit) size() float64 { return u.mass + u.volume }

func (u measureUnit) metric() bool {
	switch u.name {
	case "mg", "g", "dag", "kg", "ml", "cl", "dl", "l":
		return true
	}
	return false
}
