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
// when the page was opened: so breads can follow a new name. Lines of decks are held
// to what the page last showed.

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

// holdRenamed has what decks hold follow names typed since the page was shown, in the
// form itself.
func holdRenamed(form url.Values) {
	names := map[string]string{}
	for _, list := range []string{"tins", "trays"} {
		for i := range view.Count(form, list) {
			row := fmt.Sprintf("%s[%d].", list, i)
			if name := strings.TrimSpace(form.Get(row + "name")); name != "" {
				names[form.Get(row+"shown")] = name
			}
		}
	}
	for field, of := range form {
		if strings.HasPrefix(field, "ovens[") && view.Last(field) == "of" && of[0] != "" && names[of[0]] != "" {
			form.Set(field, names[of[0]])
		}
	}
}
