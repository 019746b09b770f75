package web

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"slices"

	"ovenward/schedule"
	"ovenward/web/view"
)

func (s *server) kitchenPage(w http.ResponseWriter, r *http.Request) error {
	k, err := s.store.Kitchen(r.Context())
	if err != nil {
		return err
	}
	f := view.Form{Values: kitchenValues(&k)}
	f.Faults = s.kitchenFaults(r, k)
	if len(k.Places) == 0 {
		f.Faults = nil // an empty kitchen is not wrong, only new
	}
	return s.showKitchen(w, r, http.StatusOK, f)
}

func (s *server) showKitchen(w http.ResponseWriter, r *http.Request, status int, f view.Form) error {
	p := s.page(r, "Kitchen")
	p.Tab = "kitchen"
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	if len(f.Faults) > 0 {
		p.Title = "Error: " + p.Title
	}
	k, err := s.store.Kitchen(r.Context())
	if err != nil {
		return err
	}
	measured, err := s.measured(r.Context(), &k)
	if err != nil {
		return err
	}
	named, err := s.store.Named(r.Context())
	if err != nil {
		return err
	}
	return render(w, r, status, view.KitchenPage(p, f, measured, named, newKey()))
}

func (s *server) saveKitchen(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f := view.Form{Values: r.PostForm}
	kept, err := s.store.Kitchen(r.Context())
	if err != nil {
		return err
	}
	faults, names := joinMoments(f.Values), renames(f.Values, &kept)
	holdRenamed(f.Values)
	if f.Change(f.Values.Get("do"), freshKitchen) {
		return s.showKitchen(w, r, http.StatusOK, f)
	}
	var k schedule.Kitchen
	if f.Faults = append(faults, decode(measuredKitchen(f.Values), &k)...); len(f.Faults) == 0 {
		sortReadings(f.Values, &k)
		f.Faults = s.kitchenFaults(r, k)
	}
	if len(f.Faults) > 0 {
		return s.showKitchen(w, r, http.StatusUnprocessableEntity, f)
	}
	if err := s.store.RenameKitchen(r.Context(), k, names); err != nil {
		return err
	}
	saved := "The kitchen is saved."
	if !names.None() {
		saved += " Breads and doughs follow the new names."
	}
	said := append([]string{saved}, s.replanAhead(r.Context(), s.words(r))...)
	return seeOther(w, r, "/kitchen"+s.notices.keep(said))
}

// sortReadings puts the readings of every place by the hour, in the form as well:
// nobody has to type them in order.
func sortReadings(form url.Values, k *schedule.Kitchen) {
	for i := range k.Places {
		curve := k.Places[i].Curve
		byHour := func(a, b schedule.Reading) int { return cmp.Compare(a.At, b.At) }
		if slices.IsSortedFunc(curve, byHour) {
			continue
		}
		slices.SortStableFunc(curve, byHour)
		for n, r := range curve {
			at := fmt.Sprintf("places[%d].curve[%d]", i, n)
			form.Set(at+".at", r.At.String())
			form.Set(at+".celsius", decimal(float64(r.Celsius)))
		}
	}
}

// kitchenFaults judges a kitchen by itself, without breads and orders.
func (s *server) kitchenFaults(r *http.Request, k schedule.Kitchen) []view.FieldFault {
	d := s.blank(k)
	return onPage(fieldFaults(&d, d.Validate()), "/kitchen")
}

// blank is a day that has nothing but a kitchen.
func (s *server) blank(k schedule.Kitchen) schedule.Day {
	now := s.now().UTC()
	return schedule.Day{Format: schedule.DayFormat, Name: "-", Zone: "UTC", Now: schedule.WallOf(now), Kitchen: k}
}

// freshKitchen is what a new row of the kitchen begins with.
func freshKitchen(list string) url.Values {
	switch {
	case list == "places":
		return url.Values{"name": {""}, "kind": {"room"}, "spaces": {""}, "curve[0].at": {"00:00"}, "curve[0].celsius": {"20"}}
	case list == "ovens":
		return url.Values{"name": {""}, "decks": {"1"}, "trays_per_deck": {"1"}, "max_celsius": {"250"}, "heats_per_minute": {"6"}, "cools_per_minute": {"2"}}
	case list == "bakers":
		return url.Values{"name": {""}, "hours[0].from": {"05:00"}, "hours[0].to": {"13:00"}}
	case list == "mixers":
		return url.Values{"name": {""}, "least_grams": {""}, "most_grams": {""}}
	case list == "trays":
		return url.Values{"name": {""}, "count": {""}}
	case view.Last(list) == "holds":
		return url.Values{"of": {""}, "deck": {""}, "count": {""}}
	case list == "tins":
		return url.Values{"name": {""}, "count": {""}, "litres": {""}}
	case view.Last(list) == "curve":
		return url.Values{"at": {""}, "celsius": {""}}
	}
	return url.Values{"from": {""}, "to": {""}}
}
