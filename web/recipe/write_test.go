package recipe_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
	"ovenward/web/recipe"
)

func words(s schedule.Stage) (name, text string) {
	return strings.ToUpper(string(s.Kind)), "Do it: " + string(s.Kind) + "."
}

func write(t testing.TB, r recipe.Recipe) string {
	t.Helper()
	r.Words = words
	var b bytes.Buffer
	if err := recipe.Write(&b, r); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// same wants the ingredients of a formula, parts first, read back with their
// foods and weights to the hundredth of a gram that is written.
func same(t *testing.T, f dough.Formula, piece unit.Grams, n int, d *recipe.Draft) {
	t.Helper()
	i := 0
	for _, part := range f.ForPieces(n, piece).Parts {
		for _, want := range part.Lines {
			got := d.Lines[i]
			food := f.Ingredients[want.Ingredient].Food
			if f.Ingredients[want.Ingredient].Own != nil {
				food = ""
			}
			if got.Food != food || math.Abs(float64(got.Low-want.Exact)) > 0.0051 || got.High != got.Low {
				t.Errorf("%q is read as %s of %q, want %s of %q", got.Text, got.Low, got.Food, want.Exact, food)
			}
			i++
		}
	}
	if i != len(d.Lines) {
		t.Errorf("%d lines, want %d", len(d.Lines), i)
	}
}

// alike wants the bread of a draft to have the formula f, parts first: the same
// foods in the same parts, and of each the same share of the flour, as nearly as
// weights are written and shares kept: 0.6 %, for of 1 g hundredths are written and
// of 0.01 g four decimals, and a thousandth of a percent of the flour.
func alike(t *testing.T, f dough.Formula, d *recipe.Draft) {
	t.Helper()
	back, err := d.Bread()
	if err != nil {
		t.Errorf("%v: %v", err, d.Questions())
		return
	}
	flour := float64(f.Totals().Flour)
	i := 0
	for _, part := range f.ForFlour(1000).Parts {
		for _, l := range part.Lines {
			in, got := f.Ingredients[l.Ingredient], back.Formula.Ingredients[i]
			want := float64(in.Percent) * 100 / flour
			if got.Food != in.Food || got.Part != in.Part || math.Abs(float64(got.Percent)-want) > 0.006*want+0.0006 {
				t.Errorf("%s of %s into %q, want %.4g %% of %s into %q", got.Percent, got.Food, got.Part, want, in.Food, in.Part)
			}
			i++
		}
	}
	if i != len(back.Formula.Ingredients) {
		t.Errorf("%d ingredients, want %d", len(back.Formula.Ingredients), i)
	}
}

// Every bread of the invented days comes back with its ingredients and weights,
// and as a bread the pages would save.
func TestRoundTrip(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("../../testdata/day/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("no days: %v", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		day, err := dayfile.DecodeDay(file, data)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range day.Breads {
			t.Run(filepath.Base(file)+"/"+b.ID, func(t *testing.T) {
				t.Parallel()
				r := recipe.Recipe{Bread: &b, Pieces: 12}
				f := b.Formula
				if base, ok := day.Base(b.Base); ok {
					r.Base = base
					f.Ingredients = append(append([]dough.Ingredient{}, base.Formula.Ingredients...), f.Ingredients...)
				}
				d := read(t, write(t, r))
				if d.Name != b.Name || d.Pieces != 12 || len(d.Warnings) > 0 {
					t.Errorf("%q, %d pieces, warnings %v", d.Name, d.Pieces, d.Warnings)
				}
				same(t, f, b.Piece, 12, d)
				alike(t, f, d)
				back, err := d.Bread()
				if err != nil {
					t.Fatalf("%v: %v", err, d.Questions())
				}
				if math.Abs(float64(back.Piece-b.Piece)) > 0.51 {
					t.Errorf("a piece of %v, want %v", back.Piece, b.Piece)
				}
				savable(t, day.Kitchen, back)
			})
		}
	}
}

// savable wants a bread without faults.
func savable(t *testing.T, k schedule.Kitchen, b schedule.Bread) {
	t.Helper()
	d := schedule.Day{Format: schedule.DayFormat, Name: "day", Zone: "UTC", Now: "2026-01-01T00:00", Kitchen: k, Breads: []schedule.Bread{b}}
	for _, f := range d.Validate() {
		if strings.HasPrefix(f.Where, "breads[") {
			t.Error(f)
		}
	}
}

// So does any formula of foods of the table, whatever the baker calls them.
func TestRoundTripAny(t *testing.T) {
	t.Parallel()
	foods := dough.Foods()
	names := []string{"", "house blend", "butter", "flour (the good one)", "milk, or so", "500 g of nothing", "strong white flour"}
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 7))
		f := dough.Formula{Ingredients: []dough.Ingredient{{Food: "bread-flour", Percent: 100}}}
		for range 1 + r.IntN(6) {
			food := foods[r.IntN(len(foods))]
			in := dough.Ingredient{Food: food.ID, Name: names[r.IntN(len(names))], Percent: unit.Percent(0.05 + 60*r.Float64())}
			if r.IntN(3) == 0 {
				in.Part = []string{"soaker", "biga (stiff)"}[r.IntN(2)]
			}
			f.Ingredients = append(f.Ingredients, in)
		}
		b := schedule.Bread{ID: "any", Name: "Any", Formula: f, Piece: unit.Grams(40 + 1000*r.Float64())}
		n := 1 + r.IntN(60)
		d := read(t, write(t, recipe.Recipe{Bread: &b, Pieces: n}))
		same(t, f, b.Piece, n, d)
		if len(d.Questions()) == 0 {
			alike(t, f, d)
		}
	}
}

// The document is schema.org's in its shapes (schema.org/Recipe, HowToSection,
// HowToStep, HowToDirection, QuantitativeValue, PropertyValue), and safe within a
// script element.
func TestDocument(t *testing.T) {
	t.Parallel()
	b := schedule.Bread{Name: "Loaf </script><b>", Piece: 800, Formula: dough.Formula{Ingredients: []dough.Ingredient{
		{Food: "bread-flour", Percent: 100}, {Food: "water", Percent: 60}}},
		Method: []schedule.Stage{{Kind: schedule.Mix, Minutes: 12, Dough: 26}, {Kind: schedule.Rise, Until: schedule.Target{Expansion: 2}},
			{Kind: schedule.Bake, Steps: []schedule.BakeStep{{Celsius: 250, Minutes: 15}, {Celsius: 210, Minutes: 50}}}}}
	doc := write(t, recipe.Recipe{Bread: &b, Pieces: 2})
	if strings.ContainsAny(doc, "<>&") {
		t.Errorf("not safe in a page: %s", doc)
	}
	var got, want any
	if err := json.Unmarshal([]byte(doc), &got); err != nil {
		t.Fatal(err)
	}
	stage := func(name, text, time string) string {
		return fmt.Sprintf(`{"@type":"HowToSection","name":%q,"itemListElement":[{"@type":"HowToStep","name":%[1]q,"text":%q,"itemListElement":[{"@type":"HowToDirection","text":%[2]q%s}]}]}`, name, text, time)
	}
	property := func(name string, v float64, of, code string) string {
		return fmt.Sprintf(`{"@type":"PropertyValue","name":%q,"value":%g,"unitText":%q,"unitCode":%q}`, name, v, of, code)
	}
	expect := `{"@context":"https://schema.org","@type":"Recipe","name":"Loaf </script><b>",
		"recipeYield":{"@type":"QuantitativeValue","value":2,"unitText":"pieces"},"cookTime":"PT1H5M",
		"recipeIngredient":["1000 g bread flour","600 g water"],
		"recipeInstructions":[` + strings.Join([]string{stage("MIX", "Do it: mix.", `,"performTime":"PT12M"`), stage("RISE", "Do it: rise.", ""),
		stage("BAKE", "Do it: bake.", `,"performTime":"PT1H5M"`)}, ",") + `],
		"additionalProperty":[` + strings.Join([]string{
		property("baker's percentage: bread flour", 100, "%", "P1"), property("baker's percentage: water", 60, "%", "P1"),
		property("dough temperature: MIX", 26, "°C", "CEL"), property("volume against the dough just mixed, percent: RISE", 200, "%", "P1"),
		property("oven temperature: BAKE", 250, "°C", "CEL"), property("oven temperature: BAKE", 210, "°C", "CEL")}, ",") + `]}`
	if err := json.Unmarshal([]byte(expect), &want); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

func TestWriteNoNumber(t *testing.T) {
	t.Parallel()
	b := schedule.Bread{Formula: dough.Formula{Ingredients: []dough.Ingredient{{Food: "bread-flour", Percent: unit.Percent(math.NaN())}}}}
	if err := recipe.Write(&bytes.Buffer{}, recipe.Recipe{Bread: &b, Words: words}); err == nil {
		t.Error("a number that is none was written")
	}
}

// A recipe as people publish them: what is open is asked, and answered it is a
// bread with a method of our own. Invented.
func TestBread(t *testing.T) {
	t.Parallel()
	d := read(t, document(`, "recipeYield": "10", "cookTime": "PT18M", "prepTime": "PT3H", "recipeInstructions": ["Let rise 90 minutes.", "Bake at 200 °C."],
		"recipeIngredient": ["500 g flour", "300 ml milk", "2 eggs", "50 g unsalted butter", "10 g salt", "7 g instant yeast", "40 g poppy seeds", "1 egg, for glazing"]`))
	if _, err := d.Bread(); !errors.Is(err, recipe.ErrOpen) {
		t.Errorf("a bread with open questions: %v", err)
	}
	var open []string
	for _, q := range d.Questions() {
		open = append(open, fmt.Sprint(q.Line, " ", q.Kind))
	}
	if diff := cmp.Diff([]string{"-1 pieces", "0 food", "2 measure", "6 food", "7 use", "7 measure"}, open); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	d.Pieces = 10
	d.Answer(0, recipe.Answer{Food: "bread-flour"})
	d.Answer(2, recipe.Answer{Grams: 110})
	seeds := dough.Food{ID: "poppy-seeds", Name: "poppy seeds", Role: dough.Inclusion, Fat: 42}
	d.Answer(6, recipe.Answer{Own: &seeds})
	d.Answer(7, recipe.Answer{Leave: true})
	b, err := d.Bread()
	if err != nil {
		t.Fatalf("%v: %v", err, d.Questions())
	}
	// 300 ml of milk at 244 g to the cup (USDA SR28, 01077) of 236.588 ml (NIST
	// Handbook 44) are 309.4 g.
	ingredients := []dough.Ingredient{
		{Food: "bread-flour", Name: "flour", Percent: 100}, {Food: "milk", Name: "milk", Percent: 61.88}, {Food: "egg", Percent: 22},
		{Food: "butter", Name: "unsalted butter", Percent: 10}, {Food: "salt", Name: "salt", Percent: 2}, {Food: "instant-yeast", Percent: 1.4},
		{Name: "poppy seeds", Percent: 8, Own: &seeds},
	}
	want := schedule.Bread{ID: "tea-loaf", Name: "Tea loaf", Piece: 103, PerTray: 12, Loss: 12, Formula: dough.Formula{Ingredients: ingredients},
		Notes: "As the recipe says, 10:\n– 500 g flour\n– 300 ml milk\n– 2 eggs\n– 50 g unsalted butter\n– 10 g salt\n– 7 g instant yeast\n– 40 g poppy seeds\n– 1 egg, for glazing\nLet rise 90 minutes.\nBake at 200 °C.",
		Method: []schedule.Stage{
			{Kind: schedule.Mix, Minutes: 12, Dough: 26},
			{Kind: schedule.Rise, Until: schedule.Target{Word: schedule.Doubled}},
			{Kind: schedule.Divide, Minutes: 2, PerPiece: 15},
			{Kind: schedule.Shape, Minutes: 1, PerPiece: 45},
			{Kind: schedule.Proof, Until: schedule.Target{Word: schedule.ThreeQuarters}},
			{Kind: schedule.Bake, Steps: []schedule.BakeStep{{Celsius: 200, Minutes: 18}}},
			{Kind: schedule.Cool, Least: 30, Most: 480},
		}}
	if diff := cmp.Diff(want, b); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	d.Answer(0, recipe.Answer{Leave: true})
	if _, err := d.Bread(); err == nil || errors.Is(err, recipe.ErrOpen) {
		t.Errorf("a bread without flour: %v", err)
	}
}
