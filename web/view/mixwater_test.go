package view_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
	"ovenward/web/view"
	"ovenward/web/webtest"
)

// mixed is a day with one dough: 1000 g flour at 20 °C and 650 g water to 26 °C
// in a room of 21 °C.
func mixed(tap unit.Celsius, more ...dough.Ingredient) view.Picture {
	f := dough.Formula{Ingredients: append([]dough.Ingredient{{Food: "bread-flour", Percent: 100}, {Food: "water", Percent: 65}}, more...)}
	d := &schedule.Day{
		Kitchen: schedule.Kitchen{Places: []schedule.Place{{Name: "bench", Kind: schedule.Room, Curve: []schedule.Reading{{At: 0, Celsius: 21}}}}, Flour: 20, Tap: tap},
		Breads:  []schedule.Bread{{ID: "b", Name: `"><script>alert(1)</script>`, Piece: 825, Formula: f}},
	}
	at := time.Date(2026, 11, 28, 4, 0, 0, 0, time.UTC)
	return view.Picture{Day: d, Now: at, Zoom: 1, Plan: &schedule.Plan{Day: "D", Zone: "UTC",
		Batches: []schedule.Batch{{ID: "A", Dough: "b", Name: "B", Mass: unit.Grams(f.Totals().Sum) * 10, Portions: []schedule.Portion{{ID: "A1", Bread: "b", Name: "B", Pieces: 2}}}},
		Tasks:   []schedule.Task{{ID: "A.1", Batch: "A", Kind: schedule.Mix, Name: "B", Start: at, End: at.Add(10 * time.Minute), Celsius: 26, Mixer: "spiral"}},
	}}
}

func sheetOf(t *testing.T, m view.Picture, b view.Bench) string {
	t.Helper()
	var out bytes.Buffer
	if err := view.SheetPage(view.Page{Day: &view.DayHead{ID: 1}, Now: m.Now}, m, b).Render(t.Context(), &out); err != nil {
		t.Fatal(err)
	}
	page := webtest.Parse(t, &out)
	if len(page.All("script")) != 1 {
		t.Error("a name's markup is markup of the page")
	}
	return strings.ReplaceAll(page.Text(nil), "\u00a0", " ")
}

// The water of a plain dough, by hand: heat balance
// [(1000×1.85 + 650×4.186)(26−3) − 1000×1.85×20] / (650×4.186) = 25.0 °C; rule
// of three 3×26 − 20 − 21 − 9 = 28 °C. Ice 650 (30−25.0)/(30+79.7) = 29 g, the
// balance of a handbook's ice table. The two are never mixed.
func TestMixWater(t *testing.T) {
	t.Parallel()
	ripe := dough.Ingredient{Food: "instant-yeast", Percent: 0.1, Part: "poolish"}
	for name, tt := range map[string]struct {
		m     view.Picture
		bench view.Bench
		want  []string
		not   string
	}{
		"plain":      {mixed(12), view.Bench{Mixer: 3}, []string{"water at 25 °C by heat balance", "three-factor rule of thumb 28 °C", "friction 9 °C (3 × 3 °C)"}, "of ice"},
		"warm tap":   {mixed(30), view.Bench{Mixer: 3}, []string{"The tap gives 30 °C: 29 g of ice and 621 g from the tap."}, "too warm"},
		"usual":      {mixed(12), view.Bench{}, []string{"friction 10.5 °C (3 × 3.5 °C)"}, "of ice"},
		"hot":        {mixed(12), view.Bench{Mixer: 0.001, Hand: 9}, []string{"rule of thumb 37 °C"}, "friction 27"},
		"preferment": {mixed(12, dough.Ingredient{Food: "bread-flour", Percent: 20, Part: "poolish"}, ripe), view.Bench{Mixer: 3}, []string{"four-factor", "preferment 21 °C"}, "three-factor"},
	} {
		got := sheetOf(t, tt.m, tt.bench)
		for _, want := range tt.want {
			if !strings.Contains(got, want) {
				_, from, _ := strings.Cut(got, "Temperature of what you pour")
				t.Errorf("%s: %q is not in %.700s", name, want, from)
			}
		}
		if strings.Contains(got, tt.not) {
			t.Errorf("%s: %q", name, tt.not)
		}
	}
	// the balance moves by the whole dough's heat over the water's, (1850 + 2721)/2721 = 1.68 K for each K, the rule of three by 3 K
	warm := mixed(12)
	warm.Day.Learned = []schedule.Learned{{Dough: "b", Pace: schedule.Pace{Speed: 1}, Friction: 1.5}}
	for _, want := range []string{"water at 22.5 °C by heat balance", "warming it by 4.5 °C (1.5 °C more than set, as doughs here have shown).", "rule of thumb 23.5 °C", "friction 13.5 °C (3 × 4.5 °C)"} {
		if got := sheetOf(t, warm, view.Bench{Mixer: 3}); !strings.Contains(got, want) {
			t.Errorf("learnt: %q is missing", want)
		}
	}
	unwanted := mixed(12)
	unwanted.Plan.Tasks[0].Celsius = 0
	if strings.Contains(sheetOf(t, unwanted, view.Bench{}), "heat balance") {
		t.Error("a temperature nobody wants is given")
	}
	// milk by hand, c = 3.90 kJ/(kg K) by its composition: [(1850 + 650×3.90)(26−3) − 37000]/(650×3.90) = 25.2 °C; at 22 °C less friction it must be colder than a fridge makes it
	milk := mixed(12)
	milk.Day.Breads[0].Formula.Ingredients[1].Food = "milk"
	if got := sheetOf(t, milk, view.Bench{Mixer: 3}); !strings.Contains(got, "whole milk at 25.2 °C by heat balance") || !strings.Contains(got, "rule of thumb 28 °C") || strings.Contains(got, "The tap gives") {
		t.Error("a dough of milk is not steered with its milk")
	}
	if got := sheetOf(t, milk, view.Bench{Mixer: 15}); !strings.Contains(got, "A fridge makes it 5 °C; chill the flour too.") {
		t.Error("milk is asked for colder than a fridge makes it")
	}
	eggs := mixed(12)
	eggs.Day.Breads[0].Formula.Ingredients[1].Food = "egg"
	if !strings.Contains(sheetOf(t, eggs, view.Bench{}), "neither water nor milk to steer it with") {
		t.Error("a dough with nothing to pour is not spoken of")
	}
}

// Labels follow the law chosen: rye is a gluten cereal in the European Union and
// no major allergen in the United States; ingredients go by weight.
func TestLabels(t *testing.T) {
	t.Parallel()
	m := mixed(12, dough.Ingredient{Food: "rye-flour", Percent: 70}, dough.Ingredient{Food: "egg", Percent: 5}, dough.Ingredient{Food: "moonseed", Percent: 1})
	label := func(r dough.Rules) string {
		var out bytes.Buffer
		if err := view.LabelsPage(view.Page{Day: &view.DayHead{ID: 1}}, m, view.Bench{Rules: r}).Render(t.Context(), &out); err != nil {
			t.Fatal(err)
		}
		page := webtest.Parse(t, &out)
		if len(page.All("script")) != 1 {
			t.Error("a name's markup is markup of the page")
		}
		return strings.ReplaceAll(page.Text(nil), "\u00a0", " ")
	}
	m.Day.Breads[0].Loss = 12
	m.Plan.Tasks = append(m.Plan.Tasks, schedule.Task{ID: "A1.9", Batch: "A", Portion: "A1", Kind: schedule.Bake, Name: "B", Start: m.Now.Add(4 * time.Hour), End: m.Now.Add(5 * time.Hour)})
	eu, us := label(""), label(dough.US)
	for _, want := range []string{"2 pieces", "wheat (", "rye (", "egg (", "Nobody has said of: moonseed", "825 g of dough each, about 726 g baked", "Baked Saturday 28 November 2026", "Your local code and licensed practice come first", "1169/2011"} {
		if !strings.Contains(eu, want) {
			t.Errorf("EU: %q is not in %s", want, eu)
		}
	}
	if strings.Contains(us, "rye (") || !strings.Contains(us, "wheat (") || !strings.Contains(us, "FALCPA") {
		t.Errorf("US: %s", us)
	}
	if _, list, _ := strings.Cut(eu, "Ingredients:"); strings.Index(strings.ToLower(list), "rye") > strings.Index(strings.ToLower(list), "water") {
		t.Errorf("not by weight: %s", list)
	}
	if strings.Contains(eu, "5 °C") {
		t.Errorf("who buys a baked loaf is told how to keep its dough: %s", eu)
	}
	in := &m.Day.Breads[0].Formula.Ingredients
	*in = append(*in, dough.Ingredient{Food: "custard", Percent: 30, Own: &dough.Food{Name: "custard, set", Role: dough.Inclusion, Cooked: true, Allergens: []dough.Allergen{dough.AllergenMilk}}})
	if got := label(""); !strings.Contains(got, "Filled goods after baking: 4 h") || !strings.Contains(got, "custard, set ;") && !strings.Contains(got, "custard, set;") {
		t.Errorf("filled: %s", got)
	}
}

// Notes stand on the sheet of the dough, line by line, as text.
func TestNotesOnTheSheet(t *testing.T) {
	t.Parallel()
	m := mixed(12)
	m.Day.Breads[0].Notes = "first <b>line</b>\nsecond"
	var out bytes.Buffer
	if err := view.BenchPage(view.Page{Day: &view.DayHead{ID: 1}, Now: m.Now}, m, view.Bench{}).Render(t.Context(), &out); err != nil {
		t.Fatal(err)
	}
	page := webtest.Parse(t, &out)
	if text := page.Text(nil); !strings.Contains(text, "first <b>line</b> second") || len(page.All("b")) != 0 {
		t.Errorf("%s", text)
	}
}
