package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/web/webtest"
)

// weighable is the example with a bread of flour 100, water 60, salt 2, yeast 3.
func weighable(t *testing.T) *site {
	t.Helper()
	s := example(t)
	b := schedule.Bread{ID: "plain", Name: "Plain", Piece: 500, PerTray: 4, Loss: 12}
	b.Formula.Ingredients = []dough.Ingredient{{Food: "bread-flour", Percent: 100}, {Food: "water", Percent: 60}, {Food: "salt", Percent: 2}, {Food: "fresh-yeast", Percent: 3}}
	if err := s.store.SaveBread(t.Context(), b); err != nil {
		t.Fatal(err)
	}
	return s
}

// figures are the last cells of the table of weights.
func figures(p *webtest.Page) []string {
	var out []string
	for _, td := range p.Class("much") {
		out = append(out, strings.ReplaceAll(p.Text(td), "\u00a0", " "))
	}
	return out
}

// Worked from the definition of baker's percent (bakingbusiness.com dictionary):
// flour 100, water 60, salt 2, yeast 3 make 165, so 16.5 kg of dough hold 10 kg
// of flour. All ways lead there: 33 pieces of 500 g, or of 440 g baked with 12 %
// lost; 10 kg of flour; 50 tins of 1.32 l with 250 g a litre, measured
// (22 × 10 × 6 cm) or filled with 1317.624 g of water (998.2 g a litre at 20 °C,
// from memory); 200 g of salt that are left.
func TestScale(t *testing.T) {
	t.Parallel()
	s := weighable(t)
	want := []string{"16.5 kg", "10 kg", "6 kg", "200 g", "300 g"}
	for name, row := range map[string]struct{ query, made string }{
		"pieces":   {"by=pieces&pieces=33&each=500", "33 of 500 g"},
		"baked":    {"by=pieces&pieces=33&each=440&of=baked&loss=12", "33 of 500 g"},
		"flour":    {"by=flour&flour=10000", "33 of 500 g"},
		"measured": {"by=tin&tins=50&long=22&wide=10&high=6&per_litre=250", "50 of 330 g"},
		"water":    {"by=tin&tins=50&water=1317,624&per_litre=250", "50 of 330 g"},
		"left":     {"by=left&food=salt&left=200", "33 of 500 g"},
	} {
		p := s.page("/breads/plain/scale?" + row.query)
		if got := figures(p); strings.Join(got, "|") != strings.Join(want, "|") {
			t.Errorf("%s: %v, want %v", name, got, want)
		}
		if text := plainly(p); !strings.Contains(text, row.made) || strings.Contains(text, "Left over") {
			t.Errorf("%s: no %q in %s", name, row.made, text)
		}
	}
}

// Asked for nothing, it weighs out a tray of the bread as it is kept.
func TestScaleUsual(t *testing.T) {
	t.Parallel()
	s := weighable(t)
	p := s.page("/breads/plain/scale")
	text := plainly(p)
	for _, want := range []string{"4 of 500 g", "about 440 g", "Contains wheat."} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
	if got := figures(p)[0]; got != "1.999 kg" && got != "2 kg" && got != "2.001 kg" { // the lines rounded, added up
		t.Errorf("%s of dough", got)
	}
	for path, want := range map[string]string{"/breads/plain": "/breads/plain/scale", "/breads": "/breads/plain/scale"} {
		if !leads(s.page(path), want) {
			t.Errorf("%s does not lead to %s", path, want)
		}
	}
}

func leads(p *webtest.Page, href string) bool {
	for _, a := range p.All("a") {
		if webtest.Attr(a, "href") == href {
			return true
		}
	}
	return false
}

// Whoever weighs a bread out without a plan is told how warm to pour, too; the
// figures are those of the sheet, TestMixWater.
func TestScalePours(t *testing.T) {
	t.Parallel()
	s := example(t)
	text := plainly(s.page("/breads/pan-loaf/scale"))
	if !strings.Contains(text, "For dough at 26.5 °C off the mixer, whole milk at ") || !strings.Contains(text, "by heat balance") || !strings.Contains(text, "The room is the bench as it is at this hour.") {
		t.Errorf("%s", text)
	}
	if text := plainly(weighable(t).page("/breads/plain/scale")); strings.Contains(text, "off the mixer") {
		t.Errorf("a bread without a mix asks for a temperature: %s", text)
	}
}

// What makes no whole piece is said, and where the scale is coarse what it does:
// 100 g of flour take 2 g of salt and 3 g of yeast; a scale of 5 g makes 5 of both.
// By hand: 165 g of dough are 3 pieces of 50 g and 15 g.
func TestScaleRounds(t *testing.T) {
	t.Parallel()
	s := weighable(t)
	p := s.page("/breads/plain/scale?by=flour&flour=100&step=5&each=50")
	if got := strings.Join(figures(p), "|"); got != "170 g|100 g|60 g|5 g|5 g" {
		t.Errorf("%s", got)
	}
	text := plainly(p)
	if strings.Count(text, "rounded, it is 5 %") != 2 || !strings.Contains(text, "The scale is coarse") || !strings.Contains(text, "3 of 50 g") || !strings.Contains(text, "15 g") {
		t.Errorf("%s", text)
	}
	fine := s.page("/breads/plain/scale?by=flour&flour=100&step=0.1")
	if got := strings.Join(figures(fine), "|"); got != "165 g|100 g|60 g|2 g|3 g" || strings.Contains(plainly(fine), "coarse") {
		t.Errorf("to a tenth: %s", got)
	}
	short := plainly(s.page("/breads/plain/scale?by=left&food=bread-flour&left=1003&step=5"))
	if !strings.Contains(short, "2 g more than is left") {
		t.Errorf("1003 g to 5 g: %s", short)
	}
}

// A bread of a base dough is weighed in two: the base, and what is added. The sum
// of its percentages is shared by both.
func TestScaleFromBase(t *testing.T) {
	t.Parallel()
	s := example(t)
	b, err := s.store.Bread(t.Context(), "currant-bun")
	if err != nil {
		t.Fatal(err)
	}
	base, err := s.store.Base(t.Context(), b.Base)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, f := range []dough.Formula{base.Formula, b.Formula} {
		for _, in := range f.Ingredients {
			sum += float64(in.Percent)
		}
	}
	p := s.page(fmt.Sprintf("/breads/currant-bun/scale?by=pieces&pieces=10&each=%v", sum))
	text := plainly(p)
	for _, want := range []string{"Base dough", "Added to it", "for 1 kg of flour"} { // 10 × sum g of dough hold 10 × 100 g of flour
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
}

// Bad questions are answered with what is wrong, where, and how to mend it; what
// was typed stays.
func TestScaleRefuses(t *testing.T) {
	t.Parallel()
	s := weighable(t)
	for query, want := range map[string]struct{ field, what string }{
		"by=weight":                                      {"by", "“weight” is no way to scale; choose one"},
		"by=pieces&pieces=":                              {"pieces", "The number of pieces is missing; give 1 to 10000."},
		"by=pieces&pieces=many":                          {"pieces", "“many” is not a whole number; write it like 24."},
		"by=pieces&pieces=0":                             {"pieces", "0 pieces cannot be; give 1 to 10000."},
		"by=pieces&pieces=-3":                            {"pieces", "-3 pieces cannot be"},
		"by=pieces&pieces=3&each=-5":                     {"each", "One piece cannot be -5 g; give 1 to 1000000 g."},
		"by=pieces&pieces=3&of=raw":                      {"of", "“raw” is neither dough nor baked"},
		"by=pieces&pieces=10000&each=900000":             {"by", "at most 10000 kg are weighed out at once"},
		"by=pieces&pieces=3&loss=100":                    {"loss", "The bake loss cannot be 100 %; give 0 to 30 %."},
		"by=flour&flour=1e9":                             {"flour", "“1e9” is not a number; write it like 62.5."},
		"by=flour&flour=":                                {"flour", "The flour is missing; give 1 to 1000000 g."},
		"by=flour&flour=500&step=0":                      {"step", "The scale cannot be 0 g; give 0.01 to 1000 g."},
		"by=tin&tins=2&per_litre=250":                    {"tin", "No tin is told; choose one of the kitchen, or give"},
		"by=tin&tins=2&long=20&wide=10&per_litre=250":    {"high", "How high the tin is is missing; give 1 to 200 cm."},
		"by=tin&tins=2&water=1000":                       {"per_litre", "The dough for a litre of tin is missing; give 50 to 1000 g."},
		"by=tin&tins=2&water=1000&long=20&per_litre=250": {"tin", "told in more than one way"},
		"by=tin&tins=2&tin=Bucket&per_litre=250":         {"tin", "no tin called “Bucket”"},
		"by=left&left=200":                               {"food", "No ingredient is chosen"},
		"by=left&left=200&food=butter":                   {"food", "“butter” is not in this bread"},
		"by=left&left=none&food=salt":                    {"left", "“none” is not a number"},
		"by=tin&tins=x&per_litre=%3Cscript%3E&water=" + strings.Repeat("9", 400): {"water", "is not a number"},
	} {
		w := s.get("/breads/plain/scale?" + query)
		p := webtest.Parse(t, w.Body)
		if text := plainly(p); w.Code != http.StatusUnprocessableEntity || !strings.Contains(text, want.what) || len(p.Class("much")) > 0 {
			t.Errorf("%s: %d %s", query, w.Code, text)
		}
		if !leads(p, "#"+want.field) {
			t.Errorf("%s: nothing leads to %s", query, want.field)
		}
		typed, _ := url.ParseQuery(query)
		kept := p.Form("/breads/plain/scale")
		for field := range typed {
			if typed.Get(field) != "" && kept.Get(field) != typed.Get(field) {
				t.Errorf("%s: %s became %q", query, field, kept.Get(field))
			}
		}
	}
	if w := s.get("/breads/none/scale"); w.Code != http.StatusNotFound {
		t.Errorf("an unknown bread answered %d", w.Code)
	}
}

// The pieces go into a day to come on a new line of its plan, kept when sent; a
// bread without a formula says what is wanting.
func TestScaleIntoOrder(t *testing.T) {
	t.Parallel()
	s := weighable(t)
	const day = "/days/1/plan?bread=plain&pieces=33"
	if !leads(s.page("/breads/plain/scale?by=pieces&pieces=33"), day) {
		t.Error("no day takes the pieces")
	}
	d, _ := s.store.DayRecord(t.Context(), s.id)
	v := s.page(day).Form("/days/1/plan")
	line := fmt.Sprintf("orders[%d].", len(d.Orders))
	if v.Get(line+"bread") != "plain" || v.Get(line+"pieces") != "33" || v.Get(line+"at") == "" {
		t.Errorf("the new line is %q of %q at %q", v.Get(line+"pieces"), v.Get(line+"bread"), v.Get(line+"at"))
	}
	if after, _ := s.store.DayRecord(t.Context(), s.id); len(after.Orders) != len(d.Orders) {
		t.Error("looking has ordered")
	}
	if err := s.store.SaveBread(t.Context(), schedule.Bread{ID: "empty", Name: "Empty"}); err != nil {
		t.Fatal(err)
	}
	if text := plainly(s.page("/breads/empty/scale")); !strings.Contains(text, "no formula yet") {
		t.Errorf("%s", text)
	}
}
