package web

import (
	"context"
	"net/http"
	"net/url"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/web/recipe"
	"ovenward/web/view"
)

// dish is a bread or a base dough with what its page does.
type dish struct {
	of       any // the bread or the base, a pointer
	id, name *string
	formula  *dough.Formula
	at       string // its pages
	faults   func(r *http.Request) ([]view.FieldFault, error)
	save     func(ctx context.Context) error
	show     func(w http.ResponseWriter, r *http.Request, status int, f view.Form) error
}

func (s *server) bread(b *schedule.Bread) dish {
	return dish{b, &b.ID, &b.Name, &b.Formula, "/breads/",
		func(r *http.Request) ([]view.FieldFault, error) { return s.breadFaults(r, *b) },
		func(ctx context.Context) error { return s.store.SaveBread(ctx, *b) }, s.showBread}
}

func (s *server) base(b *schedule.Base) dish {
	return dish{b, &b.ID, &b.Name, &b.Formula, "/bases/",
		func(r *http.Request) ([]view.FieldFault, error) { return s.baseFaults(r, *b) },
		func(ctx context.Context) error { return s.store.SaveBase(ctx, *b) }, s.showBase}
}

// dishPage shows what is stored.
func (s *server) dishPage(w http.ResponseWriter, r *http.Request, d dish) error {
	l, err := s.store.Foods(r.Context())
	if err != nil {
		return err
	}
	f := view.Form{Values: named(encode(d.of), l)}
	if f.Faults, err = d.faults(r); err != nil {
		return err
	}
	return d.show(w, r, http.StatusOK, f)
}

// saveDish carries out a button of the form or saves what was typed.
func (s *server) saveDish(w http.ResponseWriter, r *http.Request, d dish) error {
	l, err := s.store.Foods(r.Context())
	if err != nil {
		return err
	}
	f, changed, err := dishForm(r, l)
	if err != nil {
		return err
	}
	if changed {
		if f.Values.Get("do") == "check" {
			f.Faults = enter(f.Values, l).Faults
		}
		return d.show(w, r, http.StatusOK, f)
	}
	e := enter(f.Values, l)
	f.Faults = append(decode(e.Values, d.of), e.Faults...)
	*d.id = s.slug(r, f.New, *d.name)
	names(d.formula, l)
	if len(f.Faults) == 0 {
		if f.Faults, err = d.faults(r); err != nil {
			return err
		}
	}
	if len(f.Faults) > 0 {
		return d.show(w, r, http.StatusUnprocessableEntity, f)
	}
	if err := d.save(r.Context()); err != nil {
		return err
	}
	said := append([]string{*d.name + " is saved."}, s.replanAhead(r.Context(), s.words(r))...)
	return seeOther(w, r, d.at+*d.id+s.notices.keep(said))
}

// dishForm reads the form of a bread or a base and carries out a row's button.
func dishForm(r *http.Request, l dough.Library) (f view.Form, changed bool, err error) {
	if err := r.ParseForm(); err != nil {
		return f, false, badForm(err)
	}
	f = view.Form{Values: r.PostForm, New: r.PathValue("id") == "new"}
	do := f.Values.Get("do")
	if path, ok := strings.CutPrefix(do, "own "); ok {
		var food dough.Food
		if found := recipe.NewNames(l).Find(f.Values.Get(path + ".food")); len(found) == 1 {
			food, _ = l.Find(found[0])
		}
		for k, v := range encode(&food) {
			f.Values[path+".own."+k] = v
		}
		f.Touched = path + ".own"
		return f, true, nil
	}
	if word := strings.Fields(do); len(word) > 0 && word[0] == "fields" {
		fillStages(&f)
		if len(word) == 3 {
			f.Touched = word[1] + "[" + word[2] + "]"
		}
		return f, true, nil
	}
	if path, slug, ok := strings.Cut(strings.TrimPrefix(do, "name "), " "); ok && strings.HasPrefix(do, "name ") {
		f.Values.Set(path, slug)
		f.Touched = strings.TrimSuffix(path, ".food")
		return f, true, nil
	}
	fresh := func(list string) url.Values {
		if list == "method" {
			return freshStage(&f)
		}
		return freshBread(list)
	}
	return f, f.Change(do, fresh) || do == "check", nil
}
