package web

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"ovenward/schedule"
	"ovenward/web/view"
)

// The form of the kitchen keeps beside every tin, tray and place what it was called
// when the page was opened: so breads can follow a new name.

// followedLists are the lists of the kitchen whose names breads and doughs use.
func followedLists() []string { return []string{"tins", "trays", "places"} }

// kitchenValues are the fields of a kitchen.
func kitchenValues(k *schedule.Kitchen) url.Values {
	out := encode(k)
	for _, list := range followedLists() {
		for i := range view.Count(out, list) {
			row := fmt.Sprintf("%s[%d].", list, i)
			out.Set(row+"was", out.Get(row+"name"))
		}
	}
	return out
}

// renames reads from a form what is called otherwise than in the kitchen that is
// kept.
func renames(form url.Values, kept *schedule.Kitchen) schedule.Renames {
	before := encode(kept)
	return schedule.Renames{Tins: renamed(form, before, "tins"), Trays: renamed(form, before, "trays"), Places: renamed(form, before, "places")}
}

func renamed(form, before url.Values, list string) map[string]string {
	var there []string
	for i := range view.Count(before, list) {
		there = append(there, before.Get(fmt.Sprintf("%s[%d].name", list, i)))
	}
	out := map[string]string{}
	for i := range view.Count(form, list) {
		row := fmt.Sprintf("%s[%d].", list, i)
		was, name := form.Get(row+"was"), strings.TrimSpace(form.Get(row+"name"))
		if slices.Contains(there, was) && name != "" && name != was {
			out[was] = name
		}
	}
	return out
}

// holdRenamed has what decks hold follow new names, in the form itself.
func holdRenamed(form url.Values, r schedule.Renames) {
	for field, of := range form {
		if !strings.HasPrefix(field, "ovens[") || view.Last(field) != "of" || len(of) != 1 {
			continue
		}
		if name := r.Tins[of[0]]; name != "" {
			form.Set(field, name)
		} else if name := r.Trays[of[0]]; name != "" {
			form.Set(field, name)
		}
	}
}
