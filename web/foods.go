package web

import (
	"net/http"
	"net/url"
	"strings"

	"ovenward/schedule/dough"
	"ovenward/web/view"
)

func (s *server) foodsPage(w http.ResponseWriter, r *http.Request) error {
	l, err := s.store.Foods(r.Context())
	if err != nil {
		return err
	}
	p := s.page(r, "Ingredients")
	p.Tab = "breads"
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	return render(w, r, http.StatusOK, view.FoodsPage(p, l))
}

func (s *server) newFoodPage(w http.ResponseWriter, r *http.Request) error {
	r.SetPathValue("id", "new")
	f := view.Form{Values: url.Values{"name": {r.URL.Query().Get("name")}, "role": {dough.Other.String()}}, New: true}
	return s.showFood(w, r, http.StatusOK, f)
}

func (s *server) foodPage(w http.ResponseWriter, r *http.Request) error {
	l, err := s.store.Foods(r.Context())
	if err != nil {
		return err
	}
	food, ok := l.Find(r.PathValue("id"))
	if !ok {
		return errNoPage
	}
	return s.showFood(w, r, http.StatusOK, view.Form{Values: encode(&food)})
}

func (s *server) showFood(w http.ResponseWriter, r *http.Request, status int, f view.Form) error {
	ctx := r.Context()
	l, err := s.store.Foods(ctx)
	if err != nil {
		return err
	}
	m := view.FoodModel{Form: f, ID: r.PathValue("id")}
	_, m.Own = l.Own(m.ID)
	if built, ok := dough.Find(m.ID); ok {
		m.Built = &built
	}
	if m.In, err = s.store.FoodUsers(ctx, m.ID, false); err != nil {
		return err
	}
	if m.Was, err = s.store.FoodUsers(ctx, m.ID, true); err != nil {
		return err
	}
	p := s.page(r, view.TitleOf(f, "ingredient"))
	p.Tab = "breads"
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	return render(w, r, status, view.FoodPage(p, m))
}

// saveFood keeps an ingredient of the baker's own, or a correction.
func (s *server) saveFood(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f := view.Form{Values: r.PostForm, New: r.PathValue("id") == "new"}
	if f.Change(f.Values.Get("do"), freshBread) {
		return s.showFood(w, r, http.StatusOK, f)
	}
	l, err := s.store.Foods(r.Context())
	if err != nil {
		return err
	}
	if _, ok := l.Find(r.PathValue("id")); !ok && !f.New {
		return errNoPage
	}
	var food dough.Food
	f.Faults = append(decode(f.Values, &food), foodFaults(f, l)...)
	food.ID = r.PathValue("id")
	if f.New {
		food.ID = freeSlug(slugOf(food.Name, "food"), func(id string) bool { _, taken := l.Find(id); return taken || id == "new" })
	}
	for _, x := range food.Validate() {
		f.Faults = append(f.Faults, view.FieldFault{Field: x.Where, What: view.Sentence(x.What + "; " + x.Remedy)})
	}
	if len(f.Faults) > 0 {
		return s.showFood(w, r, http.StatusUnprocessableEntity, f)
	}
	if err := s.store.SaveFood(r.Context(), food); err != nil {
		return err
	}
	said := append([]string{food.Name + " is saved."}, s.replanAhead(r.Context(), s.words(r))...)
	return seeOther(w, r, "/foods/"+food.ID+s.notices.keep(said))
}

// foodFaults judges the name.
func foodFaults(f view.Form, l dough.Library) []view.FieldFault {
	name := strings.TrimSpace(f.Values.Get("name"))
	if name == "" {
		return []view.FieldFault{{Field: "name", What: "The ingredient has no name; give it one, such as malted flakes."}}
	}
	if _, named := l.Named(name); f.New && named {
		return []view.FieldFault{{Field: "name", What: "There is an ingredient of this name already; correct that one, or give another name."}}
	}
	return nil
}

// resetFood takes away the baker's own word on an ingredient.
func (s *server) resetFood(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("id")
	if err := s.store.DeleteFood(r.Context(), id); err != nil {
		return err
	}
	built, ok := dough.Find(id)
	if !ok {
		return seeOther(w, r, "/foods"+s.notices.keep([]string{"The ingredient is deleted."}))
	}
	said := append([]string{"What is built in for " + built.Name + " counts again."}, s.replanAhead(r.Context(), s.words(r))...)
	return seeOther(w, r, "/foods/"+id+s.notices.keep(said))
}
