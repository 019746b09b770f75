package web_test

import (
	"fmt"
	"testing"

	"ovenward/schedule"
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
