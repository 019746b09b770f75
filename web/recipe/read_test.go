package recipe_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
	"ovenward/web/recipe"
)

// document is a recipe with these further fields.
func document(fields string) string {
	return `{"@context": "https://schema.org", "@type": "Recipe", "name": "Tea loaf"` + fields + `}`
}

func read(t testing.TB, doc string) *recipe.Draft {
	t.Helper()
	d, err := recipe.Read([]byte(doc), nil, 0)
	if err != nil {
		t.Fatalf("%.200s: %v", doc, err)
	}
	return d
}

func quoted(t testing.TB, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// Where a recipe may stand in a document: schema.org/Recipe and JSON-LD 1.1
// (W3C), 4.1 to 4.9 for lists, graphs, several types, value objects.
func TestFind(t *testing.T) {
	t.Parallel()
	for name, doc := range map[string]string{
		"alone":          document(""),
		"in a list":      `[{"@type": "WebPage"}, ` + document("") + `]`,
		"in a graph":     `{"@context": "https://schema.org", "@graph": [{"@type": "Person", "name": "Orla"}, ` + document("") + `]}`,
		"several types":  `{"@type": ["Thing", "Recipe"], "name": "Tea loaf"}`,
		"full type":      `{"@type": "https://schema.org/Recipe", "name": "Tea loaf"}`,
		"prefixed type":  `{"@type": "schema:Recipe", "name": "Tea loaf"}`,
		"in a web page":  `<!doctype html><title>Tea</title><script type="application/ld+json">{"@type": "Person"}</script><script type='application/ld+json' id=x>` + document("") + `</script>`,
		"in a script":    `<script type="application/ld+json">` + document("") + `</script>`,
		"of a page":      `{"@type": "WebPage", "mainEntity": ` + document("") + `}`,
		"in a list item": `{"@type": "ItemList", "itemListElement": [{"@type": "ListItem", "item": ` + document("") + `}]}`,
		"value object":   `{"@type": "Recipe", "name": {"@value": "Tea loaf", "@language": "en"}}`,
		"byte mark":      "\ufeff " + document("") + "\n",
	} {
		d, err := recipe.Read([]byte(doc), nil, 0)
		if err != nil || d.Name != "Tea loaf" {
			t.Errorf("%s: %v, %v", name, d, err)
		}
	}
}

// Of several recipes any can be read; what is under the heading of a filling is asked
// about.
func TestSeveral(t *testing.T) {
	t.Parallel()
	doc := []byte(`{"@graph": [` + document("") + `, {"@type": "Recipe", "name": "Buns", "recipeIngredient": ["For the filling:", "50 g sugar"]}]}`)
	for which, want := range map[int]string{0: "Tea loaf", 1: "Buns", 2: "Tea loaf", -1: "Tea loaf"} {
		d, err := recipe.Read(doc, nil, which)
		if err != nil || d.Name != want {
			t.Errorf("%d: %+v, %v", which, d, err)
		}
		if diff := cmp.Diff([]string{"Tea loaf", "Buns"}, d.All); diff != "" {
			t.Error(diff)
		}
		if want == "Buns" && (len(d.Lines[0].Questions) != 1 || d.Lines[0].Questions[0].Kind != recipe.AskUse) {
			t.Errorf("of a filling it is asked: %+v", d.Lines[0].Questions)
		}
	}
}

func TestReadRefuses(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		doc  string
		want error // nil = any
	}{
		"nothing":        {"", nil},
		"no JSON":        {"tea loaf", nil},
		"cut off":        {document("")[:40], nil},
		"two documents":  {document("") + document(""), nil},
		"a page":         {"<!doctype html><title>Tea loaf</title>", recipe.ErrWebPage},
		"a number":       {"12", recipe.ErrNoRecipe},
		"no recipe":      {`{"@type": "Article", "name": "Tea loaf"}`, recipe.ErrNoRecipe},
		"almost":         {`{"@type": "RecipeList"}`, recipe.ErrNoRecipe},
		"type no text":   {`{"@type": [1, {}, null]}`, recipe.ErrNoRecipe},
		"not UTF-8":      {"{\"@type\": \"Recipe\", \"name\": \"\xff\"}", recipe.ErrNotText},
		"too large":      {document(`, "description": "` + strings.Repeat("x", recipe.Largest) + `"`), recipe.ErrTooLarge},
		"too deep":       {document(`, "x": ` + strings.Repeat("[", 40) + strings.Repeat("]", 40)), recipe.ErrTooDeep},
		"endless depth":  {strings.Repeat(`{"@graph":[`, 1<<16), recipe.ErrTooDeep},
		"depth unclosed": {strings.Repeat("[", 1<<20), recipe.ErrTooDeep},
	} {
		if d, err := recipe.Read([]byte(tt.doc), nil, 0); err == nil || tt.want != nil && !errors.Is(err, tt.want) {
			t.Errorf("%s: %+v, %v; want %v", name, d, err, tt.want)
		}
	}
}

// What is not as it should be is left out and told; the rest is read.
func TestHostile(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("wort ", 5000)
	for name, tt := range map[string]struct {
		fields string
		want   []recipe.Warning
	}{
		"ingredients no text": {`, "recipeIngredient": [1, null, true, {}, [], {"name": {}}]`,
			[]recipe.Warning{{recipe.NotText, "recipeIngredient 2"}, {recipe.NotText, "recipeIngredient 3"}, {recipe.NotText, "recipeIngredient 4"}, {recipe.NotText, "recipeIngredient 5"}, {recipe.NotText, "recipeIngredient 6"}}},
		"ingredients a group": {`, "recipeIngredient": {"a": 1}`, []recipe.Warning{{recipe.NotText, "recipeIngredient 1"}}},
		"instructions":        {`, "recipeInstructions": [7, null, false, {"@type": "HowToStep"}, {"itemListElement": {"itemListElement": [[]]}}]`, []recipe.Warning{{recipe.NotText, "recipeInstructions"}}},
		"times":               {`, "cookTime": {}, "prepTime": "soon", "totalTime": 90`, []recipe.Warning{{recipe.NotATime, "prepTime"}, {recipe.NotText, "cookTime"}, {recipe.NotATime, "totalTime"}}},
		"yield":               {`, "recipeYield": [true, {"value": []}, 1e400]`, []recipe.Warning{{recipe.NotText, "recipeYield"}}},
		"long line":           {`, "recipeIngredient": ["500 g ` + long + `"]`, []recipe.Warning{{recipe.Cut, "recipeIngredient"}}},
		"many lines":          {`, "recipeIngredient": ["1 g salt"` + strings.Repeat(`, "1 g salt"`, 300) + `]`, []recipe.Warning{{recipe.Cut, "recipeIngredient"}}},
		"many steps":          {`, "recipeInstructions": ["Mix"` + strings.Repeat(`, "Mix"`, 500) + `]`, []recipe.Warning{{recipe.Cut, "recipeInstructions"}}},
		"huge amounts":        {`, "recipeIngredient": ["9999999999999999999999 kg flour", "1e308 g salt", "-5 g sugar"]`, nil},
	} {
		d := read(t, document(tt.fields))
		if diff := cmp.Diff(tt.want, d.Warnings); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
		if _, err := d.Bread(); err == nil {
			t.Errorf("%s became a bread", name)
		}
	}
}

// Markup that sets words is left out, entities are read; other markup is text like any
// other, and an ID has only letters, digits and hyphens.
func TestMarkup(t *testing.T) {
	t.Parallel()
	const name = `<script>alert("x")</script>`
	d := read(t, `{"@type": "Recipe", "name": `+quoted(t, name)+`, "recipeYield": "1 loaf", "recipeIngredient": ["500 g strong flour", "300 g <script>water</script>", "300&nbsp;g <b>water</b>"],
		"recipeInstructions": "<ol><li>Mix &amp; wait</li>\n<li>Not &lt;b&gt; but <em>200&deg;C</em></li></ol>"}`)
	want := []recipe.Section{{Steps: []string{"Mix & wait", "Not <b> but 200°C"}}}
	if diff := cmp.Diff(want, d.Instructions); diff != "" || d.Oven != 200 {
		t.Errorf("oven at %v, %s", d.Oven, diff)
	}
	if d.Name != name || d.Lines[1].Text != "300 g <script>water</script>" || d.Lines[1].Food != "" || d.Lines[2].Text != "300 g water" || d.Lines[2].Food != "water" {
		t.Errorf("text was changed: %+v", d)
	}
	d.Answer(1, recipe.Answer{Leave: true})
	b, err := d.Bread()
	if err != nil || b.ID != "script-alert-x-script" {
		t.Errorf("ID %q, %v", b.ID, err)
	}
}

// How ingredients are written: common practice, no source. Weights of measures
// are those of package dough.
func TestLines(t *testing.T) {
	t.Parallel()
	type line struct {
		Food      string
		Low, High unit.Grams
		Asks      string
	}
	for text, want := range map[string]line{
		"500 g strong white flour":                   {"bread-flour", 500, 500, ""},
		"500g Strong White Bread Flour, sifted":      {"bread-flour", 500, 500, ""},
		"1 kg plain flour":                           {"all-purpose-flour", 1000, 1000, ""},
		"200 g wholemeal flour":                      {"whole-wheat-flour", 200, 200, ""},
		"500 g flour":                                {"", 500, 500, "food bread-flour all-purpose-flour"},
		"100 g rye flour":                            {"", 100, 100, "food light-rye-flour rye-flour dark-rye-flour"},
		"100 g medium rye flour":                     {"rye-flour", 100, 100, ""},
		"2 cups bread flour":                         {"bread-flour", 274, 274, "measure 274\u00a0g"},
		"2 cups (260 g) bread flour":                 {"bread-flour", 260, 260, ""},
		"300 ml lukewarm water":                      {"water", 300, 300, ""},
		"1½ cups water":                              {"water", 355.5, 355.5, ""},
		"0,5 l Water":                                {"water", 500, 500, ""},
		"50 g caster sugar":                          {"sugar", 50, 50, ""},
		"50 g soft dark brown sugar":                 {"brown-sugar", 50, 50, ""},
		"25 g icing sugar":                           {"powdered-sugar", 25, 25, ""},
		"10 g fine sea salt":                         {"salt", 10, 10, ""},
		"2 tsp flaky sea salt":                       {"salt", 12, 12, "measure 12\u00a0g"},
		"2 tsp salt":                                 {"salt", 12, 12, ""},
		"a pinch of salt":                            {"salt", 0, 0, "amount"},
		"salt to taste":                              {"salt", 0, 0, "amount"},
		"7 g dried yeast":                            {"", 7, 7, "food active-dry-yeast instant-yeast"},
		"7 g fast-action dried yeast":                {"instant-yeast", 7, 7, ""},
		"7 g yeast (instant)":                        {"", 7, 7, "food instant-yeast active-dry-yeast fresh-yeast"},
		"7 g yeast (instant yeast)":                  {"instant-yeast", 7, 7, ""},
		"20 g fresh yeast":                           {"fresh-yeast", 20, 20, ""},
		"2 (7 g) packets dried active yeast":         {"active-dry-yeast", 0, 0, "amount 7 g in all|7 g each"},
		"50 g butter":                                {"", 50, 50, "food butter salted-butter"},
		"50 g unsalted butter, softened":             {"butter", 50, 50, ""},
		"50 g butter, unsalted":                      {"butter", 50, 50, ""},
		"50 g butter or margarine":                   {"", 50, 50, "food butter salted-butter margarine"},
		"50 g margarine or dripping":                 {"", 50, 50, "food margarine"},
		"2 eggs":                                     {"egg", 100, 100, "measure 100\u00a0g"},
		"2 large free-range eggs":                    {"egg", 100, 100, ""},
		"2-3 tbsp honey":                             {"honey", 42, 63, "amount 42\u00a0g|63\u00a0g"},
		"1 tbsp extra virgin olive oil":              {"olive-oil", 13.5, 13.5, ""},
		"20 ml oil":                                  {"", 0, 0, "food canola-oil soybean-oil olive-oil"},
		"1 pint milk":                                {"milk", 0, 0, "amount US pint (473 ml)|imperial pint (568 ml)"},
		"1 pint coconut milk":                        {"", 0, 0, "food, amount US pint (473 ml)|imperial pint (568 ml)"},
		"1,500 g strong flour":                       {"bread-flour", 0, 0, "amount 1500|1.500"},
		"8 oz milk":                                  {"milk", 0, 0, "amount 227\u00a0g by weight|244\u00a0g in fluid ounces"},
		"1 cup brown sugar":                          {"brown-sugar", 0, 0, "amount cup packed (220\u00a0g)|cup unpacked (145\u00a0g)"},
		"200 ml coconut milk":                        {"", 0, 0, "food"},
		"100 g poppy seeds":                          {"", 100, 100, "food"},
		"Water - 320 g":                              {"water", 320, 320, ""},
		"Salt: 10 g":                                 {"salt", 10, 10, ""},
		"Butter, unsalted":                           {"butter", 0, 0, "amount"},
		"1 x 7g sachet fast-action dried yeast":      {"instant-yeast", 7, 7, ""},
		"270 g water at 24°C":                        {"water", 270, 270, ""},
		"50 g/2 oz unsalted butter":                  {"butter", 0, 0, "amount 50 g|2 oz"},
		"Biga":                                       {"", 0, 0, "use, food, amount"}, // it may be a heading
		"gluten-free flour 300 g":                    {"", 0, 0, "food, amount"},
		"500 g strong flour, plus extra for dusting": {"bread-flour", 500, 500, ""},
		"extra flour for dusting":                    {"", 0, 0, "use, food bread-flour all-purpose-flour, amount"},
		"1 large egg, for glazing":                   {"egg", 50, 50, "use"},
		"10 g olive oil to grease the tin":           {"olive-oil", 10, 10, "use"},
		"10 g olive oil, for greasing the tin":       {"olive-oil", 10, 10, "use"},
		"9999999999999 kg strong flour":              {"bread-flour", 0, 0, "amount"},
		"-5 g salt":                                  {"salt", 0, 0, "amount"},
	} {
		l := read(t, document(`, "recipeIngredient": [`+quoted(t, text)+`]`)).Lines[0]
		var asks []string
		for _, q := range l.Questions {
			sep := " "
			if q.Kind == recipe.AskAmount {
				sep = "|"
			}
			asks = append(asks, strings.TrimSpace(string(q.Kind)+" "+strings.Join(q.Readings, sep)))
		}
		if diff := cmp.Diff(want, line{l.Food, l.Low, l.High, strings.Join(asks, ", ")}); diff != "" {
			t.Errorf("%q (-want +got):\n%s", text, diff)
		}
		if l.Text != text {
			t.Errorf("%q became %q", text, l.Text)
		}
	}
}

// Ingredients in the shapes they come in beside plain text.
func TestSupplies(t *testing.T) {
	t.Parallel()
	for fields, want := range map[string][]string{
		`"recipeIngredient": "500 g water"`:                     {"500 g water"},
		`"recipeIngredient": "500 g water\n10 g salt\n"`:        {"500 g water", "10 g salt"},
		`"ingredients": ["500 g water"]`:                        {"500 g water"},
		`"recipeIngredient": ["For the dough:", "500 g water"]`: {"500 g water (For the dough)"},
		`"recipeIngredient": {"@type": "ItemList", "itemListElement": [{"@type": "ListItem", "item": "500 g water"}, "10 g salt"]}`:                            {"500 g water", "10 g salt"},
		`"recipeIngredient": [{"@type": "PropertyValue", "name": "water", "value": 500, "unitText": "g"}]`:                                                     {"500 g water"},
		`"recipeIngredient": [{"@type": "HowToSupply", "name": "water", "requiredQuantity": {"@type": "QuantitativeValue", "value": "500", "unitText": "g"}}]`: {"500 g water"},
		`"recipeIngredient": [{"@type": "HowToSupply", "name": "water", "requiredQuantity": {"@type": "QuantitativeValue", "value": 500, "unitCode": "GRM"}}]`: {"500 g water"},
		`"recipeIngredient": [{"@type": "HowToSupply", "name": "water", "requiredQuantity": "500 g"}]`:                                                         {"500 g water"},
	} {
		var got []string
		for _, l := range read(t, document(", "+fields)).Lines {
			s := l.Text
			if l.Group != "" {
				s += " (" + l.Group + ")"
			}
			got = append(got, s)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", fields, diff)
		}
	}
}

func TestYield(t *testing.T) {
	t.Parallel()
	for yield, want := range map[string]int{
		`"12 rolls"`: 12, `"1 loaf (about 900 g)"`: 1, `"Makes 2 loaves"`: 2, `"one large loaf"`: 1, `["12", "12 rolls"]`: 12, `"a dozen buns"`: 12,
		`{"@type": "QuantitativeValue", "value": 6, "unitText": "baps"}`: 6,
		`12`: 0, `"12"`: 0, `"8 servings"`: 0, `"Serves 8"`: 0, `"2-3 loaves"`: 0, `"1 kg"`: 0, `""`: 0, `"1.5 loaves"`: 0, `"100000 rolls"`: 0, `"some rolls"`: 0, `null`: 0,
	} {
		d := read(t, document(`, "recipeYield": `+yield))
		asked := len(d.Questions()) == 1 && d.Questions()[0].Kind == recipe.AskPieces && d.Questions()[0].Line == -1
		if d.Pieces != want || asked != (want == 0) {
			t.Errorf("%s: %d pieces, questions %v; want %d", yield, d.Pieces, d.Questions(), want)
		}
	}
}

// Durations of ISO 8601-1, 5.5.2, as schema.org/Duration refers to.
func TestTimes(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]time.Duration{
		"PT90M": 90 * time.Minute, "P0DT1H30M": 90 * time.Minute, "PT1H30M": 90 * time.Minute, "PT5400S": 90 * time.Minute, "PT1.5H": 90 * time.Minute,
		"PT1,5H": 90 * time.Minute, "P1D": 24 * time.Hour, "P1W": 168 * time.Hour, "P1DT2H": 26 * time.Hour, " pt45m ": 45 * time.Minute,
		"": 0, "P": 0, "PT": 0, "PT0M": 0, "90 minutes": 0, "1:30": 0, "P1M": 0, "P1Y": 0, "PT-5M": 0, "-PT5M": 0, "PT1M1H": 0, "P400D": 0,
		"PT99999999999999999999999H": 0, "PT" + strings.Repeat("9", 400) + "H": 0, "PT1H30": 0, "T1H": 0, "P1H": 0,
	} {
		d := read(t, document(`, "cookTime": `+quoted(t, text)))
		warned := len(d.Warnings) > 0
		if got := d.Times[0].Length; got != want || warned != (want == 0) {
			t.Errorf("%.40q: %v, warned %v; want %v", text, got, warned, want)
		}
	}
}

func TestInstructions(t *testing.T) {
	t.Parallel()
	plain := func(steps ...string) []recipe.Section { return []recipe.Section{{Steps: steps}} }
	for value, want := range map[string][]recipe.Section{
		`"1. Mix.\n2. Bake."`:   plain("Mix.", "Bake."),
		`"Mix.<br>Bake."`:       plain("Mix.", "Bake."),
		`[["Mix."], ["Bake."]]`: plain("Mix.", "Bake."),
		`["Mix.", " Bake. "]`:   plain("Mix.", "Bake."),
		`[{"@type": "HowToStep", "name": "Mix", "text": "Mix all."}, {"@type": "HowToStep", "name": "Bake"}]`: plain("Mix all.", "Bake"),
		`[{"@type": "HowToSection", "name": "Dough", "itemListElement": [{"@type": "HowToStep", "text": "Mix."}, "Wait."]}, {"@type": "HowToStep", "text": "Bake."}]`: {
			{Name: "Dough", Steps: []string{"Mix.", "Wait."}}, {Steps: []string{"Bake."}}},
		`{"@type": "ItemList", "itemListElement": [{"@type": "ListItem", "item": {"@type": "HowToStep", "text": "Mix."}}]}`:                  plain("Mix."),
		`[{"@type": "HowToStep", "itemListElement": [{"@type": "HowToDirection", "text": "Mix."}, {"@type": "HowToTip", "text": "Well."}]}]`: plain("Mix.", "Well."),
	} {
		if diff := cmp.Diff(want, read(t, document(`, "recipeInstructions": `+value)).Instructions); diff != "" {
			t.Errorf("%s (-want +got):\n%s", value, diff)
		}
	}
}

// The oven's temperature is taken over only where one is named.
func TestOven(t *testing.T) {
	t.Parallel()
	for step, want := range map[string]unit.Celsius{
		"Bake at 230 °C for 35 minutes.": 230, "Heat the oven to 230C.": 230, "Bake at 230 °C (450 °F).": 230, "Bake at 450°F": 230,
		"Bake at 220C/200C fan": 0, "Start at 250 °C, then 210 °C": 0, "Bring to 98 °C": 0, "Add 230 cups": 0, "Add 230 g": 0, "": 0,
	} {
		if got := read(t, document(`, "recipeInstructions": `+quoted(t, step))).Oven; got != want {
			t.Errorf("%q: %v, want %v", step, got, want)
		}
	}
}

// Any document is refused or read; what is read asks or becomes a bread whose
// percentages are numbers.
func FuzzRead(f *testing.F) {
	f.Add([]byte(document(`, "recipeYield": "12 rolls", "recipeIngredient": ["500 g strong flour", "1½ cups water", "2 eggs"], "recipeInstructions": ["Bake at 450F"], "cookTime": "PT20M"`)))
	f.Add([]byte(`[{"@graph": [{"@type": ["Recipe"], "recipeIngredient": {"itemListElement": []}, "recipeYield": {"value": 1}}]}]`))
	f.Add([]byte(`{"@type": "Recipe", "recipeInstructions": [{"itemListElement": [{"item": {"text": "x"}}]}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := recipe.Read(data, nil, 0)
		if err != nil {
			return
		}
		sound(t, d)
	})
}

// So does any line.
func FuzzLine(f *testing.F) {
	for _, s := range []string{"500 g strong flour", "1½ cups (180 g) plain flour", "2 (7 g) packets yeast", "butter or margarine (soft)", "((", "1/0 g salt", "&frac12;", "g", "1 pint milk, plus extra for brushing"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		sound(t, read(t, document(`, "recipeYield": "2 loaves", "recipeIngredient": ["500 g strong flour", `+quoted(t, s)+`]`)))
	})
}

func sound(t *testing.T, d *recipe.Draft) {
	for _, l := range d.Lines {
		if !(l.Low >= 0 && l.High >= l.Low && l.High < 1e15) {
			t.Errorf("%q weighs %v to %v", l.Text, l.Low, l.High)
		}
		if _, known := dough.Find(l.Food); l.Food != "" && !known {
			t.Errorf("%q is of %q", l.Text, l.Food)
		}
	}
	b, err := d.Bread()
	if (err == nil) && len(d.Questions()) > 0 {
		t.Error("a bread with open questions")
	}
	if _, jsonErr := json.Marshal(b); jsonErr != nil {
		t.Error(fmt.Errorf("%+v: %w", b, jsonErr))
	}
}

func BenchmarkRead(b *testing.B) {
	doc := []byte(document(`, "recipeIngredient": ["500 g strong white flour"` + strings.Repeat(`, "1½ cups (180 g) plain flour, sifted"`, 199) + `]`))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := recipe.Read(doc, nil, 0); err != nil {
			b.Fatal(err)
		}
	}
}
