package web_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/net/html"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/web/webtest"
)

// A new bread's method, stage after stage as proposed, can be baked: every kind
// begins with all it needs.
func TestStagesBeginComplete(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/breads/new").Form("/breads/new")
	formula(v, "1 kg|bread-flour", "650 g|water", "20 g|salt", "9 g|instant-yeast")
	v.Set("name", "Step by step")
	v.Set("piece_grams", "500")
	for range 7 {
		v.Set("do", "add method")
		v = webtest.Parse(t, s.post("/breads/new", v).Body).Form("/breads/new")
	}
	v.Del("do")
	s.sent("/breads/new", v)
	b, err := s.store.Bread(t.Context(), "step-by-step")
	if err != nil {
		t.Fatal(err)
	}
	var got []schedule.StageKind
	for _, st := range b.Method {
		got = append(got, st.Kind)
	}
	if fmt.Sprint(got) != "[mix rise divide rest shape proof bake cool]" {
		t.Errorf("proposed %v", got)
	}
	if p := s.page("/breads/step-by-step/forecast"); len(p.All("svg")) == 0 {
		t.Error("it cannot be followed")
	}
	// Another kind fills in its own; what is filled in stays.
	v = s.page("/breads/step-by-step").Form("/breads/step-by-step")
	v.Set("method[1].kind", "bake")
	v.Set("method[3].most_minutes", "25")
	v.Set("do", "fields")
	v = webtest.Parse(t, s.post("/breads/step-by-step", v).Body).Form("/breads/step-by-step")
	if v.Get("method[1].steps[0].celsius") != "220" || v.Get("method[3].most_minutes") != "25" || v.Get("method[3].least_minutes") != "10" {
		t.Errorf("%v", v)
	}
}

// A stage is folded into one line that says what it is, open where something is
// wrong or has just been changed; what is folded away is sent all the same.
func TestStagesFoldIntoOneLine(t *testing.T) {
	t.Parallel()
	s := example(t)
	const at = "/breads/pan-loaf"
	b, err := s.store.Bread(t.Context(), "pan-loaf")
	if err != nil {
		t.Fatal(err)
	}
	open := func(p *webtest.Page) (out []string) {
		for _, n := range p.Class("stage") {
			if slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == "open" }) {
				out = append(out, webtest.Attr(n, "id"))
			}
		}
		return out
	}
	line := func(p *webtest.Page, i int) string {
		return strings.ReplaceAll(p.Text(p.ID(fmt.Sprintf("method[%d].line", i))), "\u00a0", " ")
	}
	p := s.page(at)
	if n := len(p.Class("stage")); n != len(b.Method) || open(p) != nil {
		t.Errorf("%d stages, open %v; want %d closed", n, open(p), len(b.Method))
	}
	v := p.Form(at)
	v.Set("method[0].kind", "rise")
	v.Set("method[0].until.word", "")
	v.Set("method[0].until.expansion", "2.0")
	v.Set("method[0].chill.place", "Fridge")
	v.Set("method[0].chill.least_minutes", "360")
	v.Set("method[0].chill.most_minutes", "720")
	v.Set("do", "check")
	p = webtest.Parse(t, s.post(at, v).Body)
	if got, want := line(p, 0), "1. Bulk rise · until ×2.0 · may be held cold, 6 h to 12 h"; !strings.HasPrefix(got, "1. Bulk rise") || !strings.HasSuffix(got, want[len("1. Bulk rise"):]) {
		t.Errorf("the line says %q, want %q", got, want)
	}
	// The same while it is being typed.
	if got := line(webtest.Parse(t, s.post("/tally", v).Body), 0); got != line(p, 0) {
		t.Errorf("while typing %q", got)
	}
	for do, want := range map[string]string{
		"add method": fmt.Sprintf("[method[%d]]", len(b.Method)), "up method 2": "[method[1]]", "down method 2": "[method[3]]",
		"dup method 2": "[method[3]]", "put method 2": "[method[3]]", "fields method 1": "[method[1]]", "add method[2].steps": "[method[2]]", "check": "[]", "del method 2": "[]",
	} {
		v := s.page(at).Form(at)
		v.Set("do", do)
		if got := fmt.Sprint(open(webtest.Parse(t, s.post(at, v).Body))); got != want {
			t.Errorf("%s opens %s, want %s", do, got, want)
		}
	}
	v = s.page(at).Form(at)
	v.Set("method[2].least_minutes", "long")
	if p := s.refused(at, v); fmt.Sprint(open(p)) != "[method[2]]" || !strings.Contains(line(p, 2), "long") {
		t.Errorf("with a fault in stage 3 open %v: %s", open(p), line(p, 2))
	}
	s.sent(at, s.page(at).Form(at))
	if again, err := s.store.Bread(t.Context(), "pan-loaf"); err != nil || cmp.Diff(b.Method, again.Method) != "" {
		t.Errorf("saved again it is another: %v %s", err, cmp.Diff(b.Method, again.Method))
	}
}

// Folds typed in minutes are kept in minutes, told wherever the method is told,
// and sent again unchanged; one after the dough is ready is told beside the
// forecast, and both ways at once are refused with what was typed.
func TestFoldsAtMinutes(t *testing.T) {
	t.Parallel()
	s := example(t)
	const at = "/breads/slipway"
	b, err := s.store.Bread(t.Context(), "slipway")
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(b.Method, func(st schedule.Stage) bool { return st.Kind == schedule.Rise && st.Part == "" })
	minutes, shares := fmt.Sprintf("method[%d].fold_minutes", i), fmt.Sprintf("method[%d].folds", i)
	v := s.page(at).Form(at)
	v.Set(minutes, "20, 40 and 62,5 min")
	v.Set(shares, "")
	s.sent(at, v)
	want := []unit.Minutes{20, 40, 62.5}
	if b, err = s.store.Bread(t.Context(), "slipway"); err != nil || !slices.Equal(b.Method[i].FoldTimes, want) {
		t.Fatalf("%v kept, want %v: %v", b.Method[i].FoldTimes, want, err)
	}
	p := s.page(at)
	v = p.Form(at)
	if got := v.Get(minutes); got != "20 40 62.5" {
		t.Errorf("shown as %q", got)
	}
	if line := p.Text(p.ID(fmt.Sprintf("method[%d].line", i))); !strings.Contains(strings.ReplaceAll(line, "\u00a0", " "), "folds at 20, 40 and 62.5 min") {
		t.Errorf("the line says %q", line)
	}
	if body := s.get(at + "/recipe.json").Body.String(); !strings.Contains(body, "folded after 20, 40 and 62.5\u00a0min") {
		t.Errorf("the recipe does not say when it is folded: %s", body)
	}
	if body := s.get("/api/breads").Body.String(); !strings.Contains(body, `"fold_minutes":[20,40,62.5]`) && !strings.Contains(body, `"fold_minutes": [`) {
		t.Errorf("other programs are not told: %s", body)
	}
	const told = "comes when the dough has been ready for about"
	if text := s.get(at + "/forecast").Body.String(); strings.Contains(text, told) {
		t.Errorf("early folds are warned of: %s", text)
	}
	v.Set(minutes, "20 600")
	v.Set("do", "check")
	if text := s.post(at, v).Body.String(); !strings.Contains(text, told) {
		t.Error("a fold after ten hours is not warned of while typing")
	}
	v.Del("do")
	s.sent(at, v)
	if text := s.get(at + "/forecast").Body.String(); !strings.Contains(text, "its fold after 10\u00a0h "+told) {
		t.Error("a fold after ten hours is not warned of")
	}
	v.Set(shares, "50")
	if p = s.refused(at, v); p.Form(at).Get(minutes) != "20 600" || !strings.Contains(p.Text(p.ID("main")), "Keep one of them") && !strings.Contains(p.Text(p.ID("main")), "keep one of them") {
		t.Error("both ways at once are not told")
	}
}
