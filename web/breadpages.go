package web

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"ovenward/schedule"
	"ovenward/web/view"
)

func (s *server) breadsPage(w http.ResponseWriter, r *http.Request) error {
	g := paging(r, "/breads", "Find a bread")
	breads, n, err := s.store.FindBreads(r.Context(), g.Find)
	if err != nil {
		return err
	}
	g.All = n
	bases, err := s.store.Bases(r.Context())
	if err != nil {
		return err
	}
	l, err := s.store.Foods(r.Context())
	if err != nil {
		return err
	}
	schedule.Dress(l, bases, breads)
	bench, err := s.benchSettings(r)
	if err != nil {
		return err
	}
	p := s.page(r, "Breads")
	p.Tab = "breads"
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	return render(w, r, http.StatusOK, view.BreadsPage(p, g, breads, bases, bench.Rules))
}

func (s *server) breadPage(w http.ResponseWriter, r *http.Request) error {
	b, err := s.store.Bread(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	return s.dishPage(w, r, s.bread(&b))
}

func (s *server) newBreadPage(w http.ResponseWriter, r *http.Request) error {
	r.SetPathValue("id", "new")
	f := view.Form{Values: url.Values{"base": {r.URL.Query().Get("base")}, "per_tray": {"1"}, "bake_loss": {"12"}}, New: true}
	if f.Values.Get("base") == "" { // a base brings its own
		f.Change("add formula.ingredients", freshBread)
	}
	f.Change("add method", freshBread)
	return s.showBread(w, r, http.StatusOK, f)
}

func (s *server) saveBread(w http.ResponseWriter, r *http.Request) error {
	return s.saveDish(w, r, s.bread(new(schedule.Bread)))
}

func (s *server) showBread(w http.ResponseWriter, r *http.Request, status int, f view.Form) error {
	bases, err := s.store.Bases(r.Context())
	if err != nil {
		return err
	}
	k, err := s.store.Kitchen(r.Context())
	if err != nil {
		return err
	}
	m := view.DishModel{Form: f, ID: r.PathValue("id"), Bases: bases, Kitchen: k}
	if m.Foods, err = s.store.Foods(r.Context()); err != nil {
		return err
	}
	if m.Tally, err = s.tallyOf(r, f.Values, m.Foods); err != nil {
		return err
	}
	if f.Values.Get("do") == "check" {
		if m.Ribbon, err = s.ribbonOf(r, f.Values, m.Foods); err != nil {
			return err
		}
	}
	p := s.page(r, view.TitleOf(f, "bread"))
	p.Tab = "breads"
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	return render(w, r, status, view.BreadPage(p, m))
}

// breadFaults judges a bread in its kitchen, without orders.
func (s *server) breadFaults(r *http.Request, b schedule.Bread) ([]view.FieldFault, error) {
	d, err := s.breadDay(r, b)
	if err != nil {
		return nil, err
	}
	return onPage(fieldFaults(&d, d.Validate()), "/breads/"+b.ID), nil
}

func (s *server) deleteBread(w http.ResponseWriter, r *http.Request) error {
	b, err := s.store.Bread(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	if err := s.store.DeleteBread(r.Context(), b.ID, s.now()); err != nil {
		return err
	}
	return seeOther(w, r, "/breads"+s.notices.keep([]string{b.Name + " is deleted."}))
}

// slug is the short name of a bread or base: what it is saved under, or made
// from its name when it is new.
func (s *server) slug(r *http.Request, fresh bool, name string) string {
	if !fresh {
		return r.PathValue("id")
	}
	return freeSlug(slugOf(name, "bread"), func(id string) bool { return s.taken(r, id) })
}

// slugOf is the short name of a name, or another for one in a script that has none
// of its letters.
func slugOf(name, otherwise string) string { return cmp.Or(schedule.Slug(name), otherwise) }

// freeSlug is a short name that is not taken, as near to the wanted as can be.
func freeSlug(want string, taken func(string) bool) string {
	for n := 1; n <= 9; n++ {
		id := want
		if n > 1 {
			id = fmt.Sprintf("%s-%d", want, n)
		}
		if !taken(id) {
			return id
		}
	}
	return want + "-" + strings.ToLower(newKey()[:6])
}

func (s *server) taken(r *http.Request, id string) bool {
	_, err1 := s.store.Bread(r.Context(), id)
	_, err2 := s.store.Base(r.Context(), id)
	return err1 == nil || err2 == nil || id == "new" || id == "import"
}

// freshBread is what a new row of a formula or method begins with.
func freshBread(list string) url.Values {
	switch view.Last(list) {
	case "ingredients":
		return url.Values{"food": {""}, "percent": {""}}
	case "method":
		return url.Values{"kind": {"mix"}, "minutes": {"10"}}
	case "steps":
		return url.Values{"celsius": {"220"}, "minutes": {"30"}}
	case "measures":
		return url.Values{"name": {""}, "grams": {""}}
	}
	return url.Values{}
}
