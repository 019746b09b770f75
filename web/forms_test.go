package web_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/web/view"
	"ovenward/web/webtest"
)

// A form sent back as it came changes nothing: every field the planner uses is
// on it and survives.
func TestFormsGiveBackWhatTheyShow(t *testing.T) {
	t.Parallel()
	s := example(t)
	ctx := t.Context()
	k, _ := s.store.Kitchen(ctx)
	s.sent("/kitchen", s.page("/kitchen").Form("/kitchen"))
	after, err := s.store.Kitchen(ctx)
	if d := cmp.Diff(k, after); d != "" || err != nil {
		t.Error(d, err)
	}
	breads, _ := s.store.Breads(ctx)
	for _, b := range breads {
		at := "/breads/" + b.ID
		s.sent(at, s.page(at).Form(at))
		after, err := s.store.Bread(ctx, b.ID)
		if d := cmp.Diff(b, after); d != "" || err != nil {
			t.Error(d, err)
		}
	}
	bases, _ := s.store.Bases(ctx)
	for _, b := range bases {
		at := "/bases/" + b.ID
		s.sent(at, s.page(at).Form(at))
		after, err := s.store.Base(ctx, b.ID)
		if d := cmp.Diff(b, after); d != "" || err != nil {
			t.Error(d, err)
		}
	}
	d, _ := s.store.DayRecord(ctx, s.id)
	s.sent("/days/1/plan", s.page("/days/1/plan").Form("/days/1/plan"))
	again, err := s.store.DayRecord(ctx, s.id)
	d.Version, d.Updated = again.Version, again.Updated
	if d := cmp.Diff(d, again); d != "" || err != nil {
		t.Error(d, err)
	}
}

// Every value of a day file stands in a field named by its path.
func TestEveryFieldIsOnAForm(t *testing.T) {
	t.Parallel()
	s := example(t)
	k, _ := s.store.Kitchen(t.Context())
	holds(t, s.page("/kitchen").Form("/kitchen"), k)
	breads, _ := s.store.Breads(t.Context())
	for _, b := range breads {
		at := "/breads/" + b.ID
		holds(t, s.page(at).Form(at), b)
	}
}

// holds wants a field for every leaf of v's file.
func holds(t *testing.T, form url.Values, v any) {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(b, &tree); err != nil {
		t.Fatal(err)
	}
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, x := range v {
				walk(strings.TrimPrefix(path+"."+k, "."), x)
			}
		case []any:
			for i, x := range v {
				if _, row := x.(map[string]any); row {
					walk(fmt.Sprintf("%s[%d]", path, i), x)
				} else {
					walk(path, x)
				}
			}
		case nil:
		default:
			if !form.Has(path) {
				t.Errorf("no field for %s", path)
			}
		}
	}
	walk("", tree)
}

// Bad input: what is wrong, where, how to mend it; what was typed stays.
func TestBadInput(t *testing.T) {
	t.Parallel()
	s := example(t)
	for _, c := range []struct{ at, field, typed, want string }{
		{"/kitchen", "ovens[0].max_celsius", "hot", "“hot” is not a number; write it like 62.5."},
		{"/kitchen", "ovens[0].max_celsius", "900", "900 °C is hotter than any bread oven; give the hottest the oven really gets, 230 to 350 °C."},
		{"/kitchen", "ovens[0].decks", "1.5", "“1.5” is not a whole number; write it like 24."},
		{"/kitchen", "ovens[0].decks", "", "An oven does not have 0 decks; give 1 or more."},
		{"/kitchen", "bakers[0].hours[0].from", "4 o'clock", "“4 o'clock” is not a time of day; write it as 06:30."},
		{"/kitchen", "bakers[0].hours[0].from", "", "This is empty; give a time like 06:30."},
		{"/kitchen", "places[0].curve[1].at", "04:00", "04:00 does not come after the reading before it; put the readings in the order of the day, one for each time."},
		{"/kitchen", "tap_celsius", "NaN", "“NaN” is not a number; write it like 62.5."},
		{"/kitchen", "tap_celsius", "0x10", "“0x10” is not a number; write it like 62.5."},
		{"/kitchen", "tap_celsius", "1e400", "“1e400” is not a number; write it like 62.5."},
		{"/breads/pan-loaf", "piece_grams", "", "A piece does not weigh 0 g; give the dough of one piece, 10 to 10000 g."},
		{"/breads/pan-loaf", "method[2].least_minutes", "long", "“long” is not a number; write it like 62.5."},
		{"/days/1/plan", "orders[0].pieces", "many", "“many” is not a whole number; write it like 24."},
		{"/days/1/plan", "orders[0].pieces", "0", "0 pieces cannot be baked; give 1 to 10000."},
		{"/days/1/plan", "orders[0].at", "", "No time is promised; say when it must be out of the oven, or cooled."},
		{"/days/1/plan", "orders[0].bread", "", "No bread is chosen; choose one from the list."},
		{"/days/1/plan", "zone", "Mars/Olympus", "“Mars/Olympus” is not a time zone; write one as Europe/Dublin."},
		{"/days/1/plan", "name", "", "The day has no name; give it one, such as Saturday."},
	} {
		v := s.page(c.at).Form(c.at)
		if !v.Has(c.field) {
			t.Errorf("%s has no field %s", c.at, c.field)
			continue
		}
		v.Set(c.field, c.typed)
		v.Set(untouched(c.at), "Typed and kept")
		p := s.refused(c.at, v)
		summary := p.Class("problem")
		if len(summary) != 1 {
			t.Errorf("%s %q: no summary", c.field, c.typed)
			continue
		}
		if got := strings.ReplaceAll(p.Text(summary[0]), "\u00a0", " "); !strings.Contains(got, c.want) {
			t.Errorf("%s %q says %q, want %q", c.field, c.typed, got, c.want)
		}
		if in := p.ID(c.field); in == nil || webtest.Attr(in, "aria-invalid") != "true" {
			t.Errorf("%s %q: the field is not marked", c.field, c.typed)
		}
		after := p.Form(c.at)
		if got := after.Get(c.field); got != c.typed {
			t.Errorf("%s: typed %q, now %q", c.field, c.typed, got)
		}
		if got := after.Get(untouched(c.at)); got != "Typed and kept" && untouched(c.at) != c.field {
			t.Errorf("%s: another field was lost: %q", c.field, got)
		}
		if !strings.HasPrefix(p.Text(p.All("title")[0]), "Error: ") {
			t.Errorf("%s: the title does not say so", c.at)
		}
	}
}

// Readings are typed in any order; they are kept, and complained of, by the hour.
func TestReadingsByTheHour(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/kitchen").Form("/kitchen")
	last := view.Count(v, "places[0].curve") - 1
	at := fmt.Sprintf("places[0].curve[%d].", last)
	v.Set(at+"at", "03:10")
	v.Set(at+"celsius", "17.5")
	if w := s.post("/kitchen", v); w.Code != http.StatusSeeOther {
		t.Fatalf("%d: %s", w.Code, webtest.Parse(t, w.Body).Text(nil))
	}
	k, err := s.store.Kitchen(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if got, want := k.Places[0].Curve[0], (schedule.Reading{At: 3*60 + 10, Celsius: 17.5}); got != want || len(k.Places[0].Curve) != last+1 {
		t.Errorf("first of %d readings is %v, want %v", len(k.Places[0].Curve), got, want)
	}
	v.Set(at+"celsius", "99")
	p := s.refused("/kitchen", v)
	if in := p.ID("places[0].curve[0].celsius"); in == nil || webtest.Attr(in, "aria-invalid") != "true" || webtest.Attr(in, "value") != "99" {
		t.Error("what is wrong of a reading moved up is not marked there")
	}
}

// untouched is a field of a form that the table above leaves alone.
func untouched(at string) string {
	switch at {
	case "/kitchen":
		return "mixers[0].name"
	case "/days/1/plan":
		return "orders[1].for"
	}
	return "method[0].label"
}

// On the night clocks go back 01:30 happens twice in Dublin, on the night they
// go forward not at all (IANA tzdata, Europe/Dublin, 2026).
func TestClockChanges(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/days/1/plan").Form("/days/1/plan")
	v.Set("orders[0].at", "2026-03-29T01:30")
	if got := s.refused("/days/1/plan", v).Text(nil); !strings.Contains(got, "2026-03-29T01:30 does not exist in Europe/Dublin") {
		t.Errorf("gap: %s", got)
	}
	v.Set("orders[0].at", "2026-10-25T01:30")
	p := s.refused("/days/1/plan", v)
	if got := p.Text(nil); !strings.Contains(got, "This time happens twice, as clocks go back; choose which one is meant.") {
		t.Errorf("fold: %s", got)
	}
	if p.ID("orders[0].which") == nil {
		t.Error("nothing to choose from")
	}
}

// Buttons of rows need no script: they come back as the form with the row added,
// moved or gone, and nothing saved.
func TestRows(t *testing.T) {
	t.Parallel()
	s := example(t)
	kinds := func(v url.Values) (out []string) {
		for i := 0; v.Has(fmt.Sprintf("method[%d].kind", i)); i++ {
			out = append(out, v.Get(fmt.Sprintf("method[%d].kind", i)))
		}
		return out
	}
	at := "/breads/plain-bun"
	was := s.page(at).Form(at)
	for _, c := range []struct {
		do   string
		want []string
	}{
		{"up method 2", []string{"divide", "shape", "rest", "proof", "score", "bake", "cool"}},
		{"down method 0", []string{"rest", "divide", "shape", "proof", "score", "bake", "cool"}},
		{"del method 4", []string{"divide", "rest", "shape", "proof", "bake", "cool"}},
		{"add method", []string{"divide", "rest", "shape", "proof", "score", "bake", "cool", "finish"}},
		{"dup method 1", []string{"divide", "rest", "rest", "shape", "proof", "score", "bake", "cool"}},
		{"dup method 99", kinds(was)},
		{"up method 0", kinds(was)},
		{"del method 99", kinds(was)},
	} {
		v := s.page(at).Form(at)
		v.Set("do", c.do)
		w := s.post(at, v)
		if got := kinds(webtest.Parse(t, w.Body).Form(at)); !cmp.Equal(got, c.want) {
			t.Errorf("%s: %v", c.do, got)
		}
	}
	if d := cmp.Diff(was, s.page(at).Form(at)); d != "" {
		t.Errorf("something was saved: %s", d)
	}
}
