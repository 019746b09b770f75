package web

import (
	"errors"
	"net/http"
	"net/url"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/web/view"
)

// ribbon answers with how the dough of a form would rise in today's kitchen, while
// it is being typed. Nothing is kept.
func (s *server) ribbon(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	l, err := s.store.Foods(r.Context())
	if err != nil {
		return err
	}
	rib, err := s.ribbonOf(r, r.PostForm, l)
	if err != nil {
		return err
	}
	return render(w, r, http.StatusOK, view.RibbonPart(rib))
}

// ribbonOf plays the bread in a form through today's kitchen, or says which field
// stops that.
func (s *server) ribbonOf(r *http.Request, v url.Values, l dough.Library) (view.Ribbon, error) {
	if unwritten(v) {
		return view.Ribbon{Blank: true}, nil
	}
	e := enter(v, l)
	var b schedule.Bread
	faults := append(decode(e.Values, &b), e.Faults...)
	if b.ID == "" {
		b.ID = "new"
	}
	if b.Name == "" {
		b.Name = "This bread"
	}
	names(&b.Formula, l)
	here := "/breads/" + b.ID
	d, err := s.breadDay(r, b)
	if err != nil {
		return view.Ribbon{}, err
	}
	if len(faults) == 0 {
		faults = onPage(fieldFaults(&d, d.Validate()), here)
	}
	if len(faults) > 0 {
		return view.Ribbon{Stop: &faults[0]}, nil
	}
	day, plan, err := schedule.Forecast(r.Context(), &d, b.ID, false)
	if fs, ok := errors.AsType[schedule.Faults](err); ok {
		return view.Ribbon{Stop: &fieldFaults(day, fs)[0]}, nil
	}
	if err != nil {
		return view.Ribbon{}, err
	}
	traces, err := schedule.Traces(day, &plan)
	if err != nil {
		return view.Ribbon{}, err
	}
	return view.NewRibbon(&plan, traces, s.words(r)), nil
}

// unwritten reports whether a bread of its own dough has no ingredient yet.
func unwritten(v url.Values) bool {
	for i := range view.Count(v, ingredients) {
		if v.Get(lineField(i, "food"))+v.Get(lineField(i, "percent")) != "" {
			return false
		}
	}
	return v.Get("base") == ""
}

// breadDay is a day without orders of one bread in its kitchen.
func (s *server) breadDay(r *http.Request, b schedule.Bread) (schedule.Day, error) {
	k, err := s.store.Kitchen(r.Context())
	if err != nil {
		return schedule.Day{}, err
	}
	d := s.blank(k)
	d.Breads = []schedule.Bread{b}
	if d.Bases, err = s.store.Bases(r.Context()); err != nil {
		return d, err
	}
	l, err := s.store.Foods(r.Context())
	schedule.Dress(l, d.Bases, d.Breads)
	return d, err
}
