package recipe

import (
	"cmp"
	"maps"
	"regexp"
	"slices"
	"strings"

	"ovenward/schedule/dough"
)

// Names finds the foods a name may mean, by their names, folded.
type Names map[string][]string

// NewNames knows foods by their own names and slugs, and by the other names in
// use for them. Where a name is common to several foods, the other names say so;
// what the baker calls a food of their own is that one.
func NewNames(own dough.Library) Names {
	known := Names{}
	known.add(dough.Foods())
	for _, o := range otherNames {
		for _, name := range o.names {
			known[fold(name)] = o.slugs
		}
	}
	known.add(own)
	return known
}

// add makes names and slugs of foods certain.
func (k Names) add(some []dough.Food) {
	for _, f := range some {
		k[fold(f.Name)] = []string{f.ID}
		k[fold(f.ID)] = []string{f.ID}
	}
}

// Find lists the slugs of the foods a name may mean: one where it is certain,
// none where nothing of that name is known, "" among them for something else.
// Names are looked up whole, then without what stands in brackets or follows a
// comma, but never by a part of their words: coconut milk is not milk. What
// stands in brackets decides where the name leaves it open.
func (k Names) Find(name string) []string {
	if len(name) > 200 {
		return nil
	}
	slugs := k.outside(name)
	for _, b := range bracket.FindAllString(name, -1) {
		in := k[fold(strings.Trim(b, "()"))]
		if len(in) == 1 && (len(slugs) == 0 || slices.Contains(slugs, in[0])) {
			return in
		}
	}
	return slugs
}

// outside is Find without brackets.
func (k Names) outside(name string) []string {
	for _, try := range []string{name, bracket.ReplaceAllString(name, " "), before(name)} {
		if slugs := k[fold(try)]; len(slugs) > 0 {
			return slugs
		}
	}
	sides := either.Split(before(name), -1)
	if len(sides) == 1 {
		return nil
	}
	var all []string
	for _, s := range sides {
		all = append(all, k[fold(s)]...)
	}
	if len(all) == 1 {
		all = append(all, "")
	}
	return all
}

// mostNear is how many foods are offered for a name nobody knows.
const mostNear = 4

// Near lists the slugs of foods with names like one that is not known: those that
// have most of its words, give or take a letter, and fewest others.
func (k Names) Near(name string) []string {
	if len(name) > 200 {
		return nil
	}
	words := strings.Fields(fold(bracket.ReplaceAllString(name, " ")))
	best := map[string]int{}
	for known, slugs := range k {
		of := strings.Fields(known)
		alike := 0
		for _, w := range words {
			if slices.ContainsFunc(of, func(o string) bool { return alikeWords(w, o) }) {
				alike++
			}
		}
		for _, slug := range slugs {
			if alike > 0 && slug != "" {
				best[slug] = max(best[slug], 100*alike-len(of))
			}
		}
	}
	slugs := slices.Sorted(maps.Keys(best))
	slices.SortStableFunc(slugs, func(a, b string) int { return cmp.Compare(best[b], best[a]) })
	return slugs[:min(mostNear, len(slugs))]
}

// alikeWords says whether two words are the same but for one letter, in longer
// ones, that is more, less, another or in its neighbour's place.
func alikeWords(a, b string) bool {
	if a == b {
		return true
	}
	x, y := []rune(a), []rune(b)
	if len(x) > len(y) {
		x, y = y, x
	}
	if len(x) < 4 || len(y)-len(x) > 1 {
		return false
	}
	i := 0
	for i < len(x) && x[i] == y[i] {
		i++
	}
	if len(x) < len(y) {
		return slices.Equal(x[i:], y[i+1:])
	}
	swapped := i+1 < len(x) && x[i] == y[i+1] && x[i+1] == y[i] && slices.Equal(x[i+2:], y[i+2:])
	return swapped || slices.Equal(x[i+1:], y[i+1:])
}

var either = regexp.MustCompile(`(?i)\s+or\s+|\s*/\s*`)

// before is a name up to its first comma or the like, or to what it is for,
// brackets aside.
func before(name string) string {
	name = bracket.ReplaceAllString(name, " ")
	for _, end := range []string{",", ";", ":", " – ", " - ", " for ", " to "} {
		name, _, _ = strings.Cut(name, end)
	}
	return warmth.ReplaceAllString(name, "")
}

// warmth is how warm something is: "water at 24 °C".
var warmth = regexp.MustCompile(`(?i)\s+at\s+(?:about\s+)?\d.*$`)

// fold brings a name into the form names are compared in: small letters, single
// words, without words that tell nothing of what it is made of.
func fold(name string) string {
	name = folded.Replace(strings.ToLower(name))
	words := slices.DeleteFunc(strings.Fields(name), func(w string) bool { return slices.Contains(idleWords[:], w) })
	for i, w := range words {
		words[i] = singular(w)
	}
	return strings.Join(words, " ")
}

var folded = strings.NewReplacer("’", "", "'", "", "*", " ", "-", " ", ",", " ", "%", " % ")

func singular(w string) string {
	switch {
	case len(w) <= 3 || strings.HasSuffix(w, "ss"):
		return w
	case strings.HasSuffix(w, "oes"):
		return w[:len(w)-2]
	}
	return strings.TrimSuffix(w, "s")
}

var idleWords = [...]string{
	"warm", "lukewarm", "tepid", "cold", "cool", "chilled", "iced", "hot", "boiling", "tap", "filtered",
	"soft", "softened", "melted", "cubed", "diced", "chopped", "finely", "roughly", "coarsely", "sifted", "beaten", "lightly", "grated", "shredded",
	"organic", "unbleached", "stoneground", "stone", "free", "range", "good", "quality", "freshly", "toasted",
	"at", "room", "temperature", "extra", "of", "the", "a", "about", "approx", "optional",
	"sachet", "sachets", "packet", "packets", "package", "packages", "envelope", "envelopes",
}

// otherNames are names in use for foods of the table, from memory. Several slugs
// are a name that does not tell which.
var otherNames = [...]struct {
	slugs []string
	names []string
}{
	{[]string{"bread-flour"}, []string{"strong flour", "strong white flour", "strong white bread flour", "strong bread flour", "white bread flour", "strong plain flour"}},
	{[]string{"all-purpose-flour"}, []string{"plain flour", "plain white flour", "ap flour", "all purpose white flour", "general purpose flour"}},
	{[]string{"bread-flour", "all-purpose-flour"}, []string{"flour", "white flour", "wheat flour", "white wheat flour"}},
	{[]string{"whole-wheat-flour"}, []string{"wholemeal flour", "wholemeal bread flour", "strong wholemeal flour", "strong wholemeal bread flour", "wholewheat flour",
		"wholewheat bread flour", "whole wheat bread flour", "wholemeal wheat flour", "wholegrain wheat flour", "whole grain wheat flour"}},
	{[]string{"semolina"}, []string{"semolina flour", "durum semolina", "durum wheat semolina", "fine semolina"}},
	{[]string{"light-rye-flour", "rye-flour", "dark-rye-flour"}, []string{"rye flour", "rye"}},
	{[]string{"light-rye-flour"}, []string{"white rye flour"}},
	{[]string{"dark-rye-flour"}, []string{"wholemeal rye flour", "wholegrain rye flour", "whole grain rye flour", "whole rye flour", "dark rye"}},

	{[]string{"milk"}, []string{"full fat milk", "full cream milk", "whole cows milk"}},
	{[]string{"milk-2"}, []string{"semi skimmed milk", "2% milk", "2 percent milk", "reduced fat milk"}},
	{[]string{"skim-milk"}, []string{"skimmed milk", "nonfat milk", "non fat milk", "fat free milk"}},
	{[]string{"milk-powder"}, []string{"skimmed milk powder", "skim milk powder", "nonfat dry milk", "nonfat milk powder", "dried skimmed milk"}},
	{[]string{"cream"}, []string{"heavy whipping cream", "whipping cream"}},
	{[]string{"cream", ""}, []string{"cream"}}, // may be much leaner
	{[]string{"yogurt"}, []string{"yoghurt", "plain yogurt", "plain yoghurt", "natural yogurt", "natural yoghurt"}},

	{[]string{"salt"}, []string{"fine salt", "sea salt", "fine sea salt", "cooking salt", "kosher salt", "coarse salt", "coarse sea salt", "flaky salt", "flaky sea salt", "sea salt flakes", "rock salt"}},
	{[]string{"sugar"}, []string{"caster sugar", "castor sugar", "golden caster sugar", "granulated sugar", "white sugar", "superfine sugar", "white granulated sugar"}},
	{[]string{"brown-sugar"}, []string{"light brown sugar", "dark brown sugar", "muscovado sugar", "light muscovado sugar", "dark muscovado sugar"}},
	{[]string{"powdered-sugar"}, []string{"icing sugar", "confectioner's sugar"}},
	{[]string{"honey"}, []string{"runny honey", "clear honey", "liquid honey"}},
	{[]string{"malt-syrup"}, []string{"malt extract", "barley malt syrup", "barley malt extract", "liquid malt extract"}},

	{[]string{"instant-yeast", "active-dry-yeast", "fresh-yeast"}, []string{"yeast", "baker's yeast", "bread yeast"}},
	{[]string{"active-dry-yeast", "instant-yeast"}, []string{"dried yeast", "dry yeast"}},
	{[]string{"active-dry-yeast"}, []string{"active dried yeast", "dried active yeast", "dry active yeast"}},
	{[]string{"instant-yeast"}, []string{"instant dry yeast", "instant dried yeast", "dried instant yeast", "fast action yeast", "fast action dried yeast", "fast acting yeast",
		"fast acting dried yeast", "easy blend yeast", "easy blend dried yeast", "quick yeast", "bread machine yeast"}},
	{[]string{"fresh-yeast"}, []string{"compressed yeast", "cake yeast", "fresh baker's yeast"}},

	{[]string{"egg"}, []string{"whole egg", "hen's egg"}},
	{[]string{"egg-white"}, []string{"white of egg"}},
	{[]string{"egg-yolk"}, []string{"yolk", "yolk of egg"}},
	{[]string{"butter", "salted-butter"}, []string{"butter"}},
	{[]string{"butter"}, []string{"unsalted butter", "sweet butter"}},
	{[]string{"olive-oil"}, []string{"extra virgin olive oil", "light olive oil"}},
	{[]string{"canola-oil"}, []string{"canola oil"}},
	{[]string{"soybean-oil"}, []string{"soya oil", "soy oil", "soya bean oil"}},
	{[]string{"canola-oil", "soybean-oil", "olive-oil"}, []string{"oil", "vegetable oil", "cooking oil", "neutral oil"}},

	{[]string{"potato", "boiled-potato"}, []string{"potato"}},
	{[]string{"boiled-potato"}, []string{"cooked potato"}},
	{[]string{"cocoa"}, []string{"unsweetened cocoa", "unsweetened cocoa powder"}},
	{[]string{"cinnamon"}, []string{"ground cinnamon", "cinnamon powder"}},
	{[]string{"almonds"}, []string{"whole almonds", "blanched almonds", "flaked almonds", "sliced almonds"}},
	{[]string{"walnuts"}, []string{"walnut halves", "walnut pieces"}},
	{[]string{"dark-chocolate"}, []string{"plain chocolate", "dark chocolate chips"}},
	{[]string{"cheddar"}, []string{"cheddar cheese", "mature cheddar"}},
	{[]string{"rolled-oats"}, []string{"porridge oats", "old fashioned oats"}},
}
