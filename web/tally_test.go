package web_test

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"ovenward/schedule/dough"
	"ovenward/web/webtest"
)

// formula writes lines of amount and food into the form of a new bread.
func formula(v url.Values, lines ...string) url.Values {
	for k := range v {
		if strings.HasPrefix(k, "formula.") {
			v.Del(k)
		}
	}
	for i, l := range lines {
		amount, food, _ := strings.Cut(l, "|")
		v.Set(fmt.Sprintf("formula.ingredients[%d].percent", i), amount)
		v.Set(fmt.Sprintf("formula.ingredients[%d].food", i), food)
	}
	return v
}

// A formula in cups and spoons is kept in percent of its flour. Weights of the
// measures are the USDA's (SR28: cup of bread flour 137 g, of water 237 g,
// teaspoon of salt 6 g and of active dry yeast 4 g, tablespoon of honey 21 g).
func TestAmountsBecomePercent(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/breads/slipway").Form("/breads/slipway")
	for i := range 12 {
		v.Del(fmt.Sprintf("method[%d].part", i))
	}
	formula(v, "4 cups|bread flour", "1 1/2 cups|water", "2 tsp|table salt", "1 ½ tsp|active dry yeast", "1 tbsp|honey", "27,4 g|butter, unsalted")
	for k := range v { // the poolish goes
		if strings.HasPrefix(k, "method[0]") || strings.HasPrefix(k, "method[1]") {
			v.Del(k)
		}
	}
	v.Set("do", "del method 0")
	v = webtest.Parse(t, s.post("/breads/slipway", v).Body).Form("/breads/slipway")
	v.Set("do", "del method 0")
	v = webtest.Parse(t, s.post("/breads/slipway", v).Body).Form("/breads/slipway")
	v.Del("do")
	s.sent("/breads/slipway", v)
	b, err := s.store.Bread(t.Context(), "slipway")
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"bread-flour": 100, "water": 100 * 355.5 / 548, "salt": 100 * 12. / 548, "active-dry-yeast": 100 * 6. / 548, "honey": 100 * 21. / 548, "butter": 5}
	if len(b.Formula.Ingredients) != len(want) {
		t.Errorf("%+v", b.Formula)
	}
	for _, in := range b.Formula.Ingredients {
		if got := float64(in.Percent); math.Abs(got-want[in.Food]) > 0.006 {
			t.Errorf("%s is %v %%, want %v", in.Food, got, want[in.Food])
		}
	}
}

// The totals beside the form: the worked example is the arithmetic of composition
// by hand, milk with 88.13 g of water, 5.05 g of sugar, 3.25 g of fat in 100 g
// and butter with 17.94 g of water, 81.11 g of fat (USDA SR 01077, 01145).
func TestTally(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := formula(url.Values{"piece_grams": {"100"}, "bake_loss": {"10"}}, "1 kg|bread-flour", "300 g|milk", "300 g|water", "100 g|butter, unsalted", "20 g|salt", "10 g|instant-yeast")
	p := webtest.Parse(t, s.post("/tally", v).Body)
	text := strings.ReplaceAll(p.Text(nil), "\u00a0", " ")
	for _, want := range []string{
		"For 1 kg of flour", "Water, all told 58.26 %", // 30 x 0.8813 + 30 x 0.999 + 10 x 0.1794, yeast and salt 0.05
		"Salt 2.03 %", "Sugars 1.52 %", "Fat 9.16 %", "Yeast, as fresh 3 %", "Dough 173 %",
		"One piece 100 g with 58 g of flour, about 90 g baked", "As written 1.73 kg 17 pieces, 30 g left over", "Contains wheat and milk.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}

// What is not known is said, with what it leaves open; what is wrong is said at
// the line and counted out.
func TestTallyUncertain(t *testing.T) {
	t.Parallel()
	s := example(t)
	p := webtest.Parse(t, s.post("/tally", formula(url.Values{}, "500 g|bread-flour", "1 pint|milk", "10 %|moon dust", "a pinch|salt", "3 eggs|egg", "2 cups|sea foam")).Body)
	text := strings.ReplaceAll(p.Text(nil), "\u00a0", " ")
	for _, want := range []string{
		"“1 pint” can be read as US pint (473 ml) or imperial pint (568 ml); write the one you mean, or a weight.",
		"“a pinch” is no amount; write a weight such as 5 g, or a percentage.",
		"large = 50 g, taken for granted",
		"“2 cups”: nothing says what a cup of sea foam weighs; say so beside it, or write a weight.",
		"Nothing is known of moon dust", "Not counted: whole milk, table salt and sea foam.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}

// What cannot be an amount is refused on saving, at its field, and stays.
func TestBadAmounts(t *testing.T) {
	t.Parallel()
	s := example(t)
	for typed, want := range map[string]string{
		"":             "There is no amount; write 62 %, 500 g or 2 cups.",
		"1,500 g":      "“1,500 g” can be read as 1500 or 1.500; write the one you mean, or a weight.",
		"2-3 tbsp":     `"2-3 tbsp" is from 2 to 3; write one amount.`,
		"300 g":        "“300 g” cannot be made a percentage while no flour is given by weight",
		"-5 %":         `"-5 %" is less than nothing`,
		"lots":         "“lots” is no amount",
		"1 cup packed": "“1 cup packed” cannot be made a percentage while no flour",
	} {
		at := "/breads/pan-loaf"
		v := s.page(at).Form(at)
		if !v.Has("formula.ingredients[0].food") {
			at = "/bases/milk-dough"
			v = s.page(at).Form(at)
		}
		const field = "formula.ingredients[1].percent"
		v.Set(field, typed)
		p := s.refused(at, v)
		if got := strings.ReplaceAll(p.Text(p.Class("problem")[0]), "\u00a0", " "); !strings.Contains(got, want) {
			t.Errorf("%q says %q, want %q", typed, got, want)
		}
		if got := p.Form(at).Get(field); got != typed {
			t.Errorf("typed %q, now %q", typed, got)
		}
	}
	if w := s.post("/tally", url.Values{"formula.ingredients[150].percent": {strings.Repeat("9", 500)}, "formula.flour": {"x"}}); w.Code != http.StatusOK {
		t.Errorf("nonsense: %d", w.Code)
	}
}

// “Check” shows what it comes to and keeps nothing.
func TestCheck(t *testing.T) {
	t.Parallel()
	s := example(t)
	at := "/bases/milk-dough"
	before, _ := s.store.Base(t.Context(), "milk-dough")
	v := formula(s.page(at).Form(at), "2 cups|bread-flour", "1 cup|water")
	v.Set("do", "check")
	p := webtest.Parse(t, s.post(at, v).Body)
	if text := strings.ReplaceAll(p.Text(p.ID("tally")), "\u00a0", " "); !strings.Contains(text, "cup = 137 g") || !strings.Contains(text, "water") || !strings.Contains(text, "86.5 %") {
		t.Errorf("it says %q", text)
	}
	if got := p.Form(at).Get("formula.ingredients[1].percent"); got != "1 cup" {
		t.Errorf("typed 1 cup, now %q", got)
	}
	if each := p.ID("formula.ingredients[0].each"); each == nil || webtest.Has(each.Parent, "hidden") {
		t.Error("what a cup weighs is not asked")
	}
	after, _ := s.store.Base(t.Context(), "milk-dough")
	if len(after.Formula.Ingredients) != len(before.Formula.Ingredients) || after.Formula.Ingredients[0].Food != dough.Foods()[0].ID {
		t.Errorf("something was kept: %+v", after.Formula)
	}
}
