package web_test

import (
	"fmt"
	"net/url"
	"reflect"
	"strings"
	"testing"

	"ovenward/schedule"
	"ovenward/web/webtest"
)

// Whatever type the planner reads, the form has its fields: a field added to the
// kitchen or to a bread and forgotten on its page fails here.
func TestEveryFieldOfTheTypesIsOnAForm(t *testing.T) {
	t.Parallel()
	s := example(t)
	full(t, s, "/kitchen", url.Values{}, reflect.TypeFor[schedule.Kitchen]())
	stages := url.Values{}
	for i, k := range schedule.StageKinds() {
		stages.Set(fmt.Sprintf("method[%d].kind", i), string(k))
	}
	full(t, s, "/breads/slipway", stages, reflect.TypeFor[schedule.Bread]())
	full(t, s, "/bases/milk-dough", stages, reflect.TypeFor[schedule.Base]())
}

// full posts a form with something in every field of a type and wants every
// field back, in whatever row it may stand.
func full(t *testing.T, s *site, at string, v url.Values, typ reflect.Type) {
	t.Helper()
	fields := leaves(typ, "")
	for _, f := range fields {
		rows := 1
		if strings.HasPrefix(f, "method[") {
			rows = len(schedule.StageKinds())
		}
		for i := range rows {
			if name := strings.Replace(f, "[0]", fmt.Sprintf("[%d]", i), 1); !v.Has(name) {
				v.Set(name, "1")
			}
		}
	}
	v.Set("do", "up mixers 0") // the form comes back and nothing is saved
	back := webtest.Parse(t, s.post(at, v).Body).Form(at)
	ticks := map[string]bool{}
	for _, n := range webtest.Parse(t, s.post(at, v).Body).All("input") {
		ticks[webtest.Attr(n, "name")] = true
	}
	for _, f := range fields {
		found := back.Has(f) || ticks[f]
		for i := range schedule.StageKinds() {
			name := strings.Replace(f, "[0]", fmt.Sprintf("[%d]", i), 1)
			found = found || back.Has(name) || ticks[name]
		}
		if !found {
			t.Errorf("%s has no field for %s", at, f)
		}
	}
}

// leaves are the paths of all values of a type, first rows of lists.
func leaves(typ reflect.Type, path string) []string {
	switch {
	case typ.Kind() == reflect.Pointer:
		return leaves(typ.Elem(), path)
	case typ.Kind() == reflect.Slice && typ.Elem().Kind() == reflect.Struct:
		return leaves(typ.Elem(), path+"[0]")
	case typ.Kind() != reflect.Struct:
		return []string{path}
	}
	var out []string
	for i := range typ.NumField() {
		name, _, _ := strings.Cut(typ.Field(i).Tag.Get("json"), ",")
		if typ == reflect.TypeFor[schedule.Baker]() && name == "stays" {
			continue // said of one day as it runs, never of the kitchen
		}
		out = append(out, leaves(typ.Field(i).Type, strings.TrimPrefix(path+"."+name, "."))...)
	}
	return out
}
