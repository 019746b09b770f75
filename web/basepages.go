package web

import (
	"net/http"
	"net/url"

	"ovenward/schedule"
	"ovenward/web/view"
)

func (s *server) basePage(w http.ResponseWriter, r *http.Request) error {
	b, err := s.store.Base(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	return s.dishPage(w, r, s.base(&b))
}

func (s *server) newBasePage(w http.ResponseWriter, r *http.Request) error {
	r.SetPathValue("id", "new")
	f := view.Form{Values: url.Values{}, New: true}
	f.Change("add formula.ingredients", freshBread)
	f.Change("add method", freshBread)
	return s.showBase(w, r, http.StatusOK, f)
}

func (s *server) saveBase(w http.ResponseWriter, r *http.Request) error {
	return s.saveDish(w, r, s.base(new(schedule.Base)))
}

func (s *server) showBase(w http.ResponseWriter, r *http.Request, status int, f view.Form) error {
	k, err := s.store.Kitchen(r.Context())
	if err != nil {
		return err
	}
	m := view.DishModel{Form: f, ID: r.PathValue("id"), Kitchen: k}
	if m.Foods, err = s.store.Foods(r.Context()); err != nil {
		return err
	}
	if m.Tally, err = s.tallyOf(r, f.Values, m.Foods); err != nil {
		return err
	}
	p := s.page(r, view.TitleOf(f, "base dough"))
	p.Tab = "breads"
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	return render(w, r, status, view.BasePage(p, m))
}

// baseFaults judges a base dough in its kitchen.
func (s *server) baseFaults(r *http.Request, b schedule.Base) ([]view.FieldFault, error) {
	k, err := s.store.Kitchen(r.Context())
	if err != nil {
		return nil, err
	}
	d := s.blank(k)
	d.Bases = []schedule.Base{b}
	l, err := s.store.Foods(r.Context())
	if err != nil {
		return nil, err
	}
	schedule.Dress(l, d.Bases, nil)
	return onPage(fieldFaults(&d, d.Validate()), "/bases/"+b.ID), nil
}

func (s *server) deleteBase(w http.ResponseWriter, r *http.Request) error {
	b, err := s.store.Base(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	if err := s.store.DeleteBase(r.Context(), b.ID); err != nil {
		return err
	}
	return seeOther(w, r, "/breads"+s.notices.keep([]string{b.Name + " is deleted."}))
}
