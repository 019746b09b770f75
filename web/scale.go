package web

import (
	"cmp"
	"errors"
	"math"
	"net/http"
	"net/url"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
	"ovenward/store/record"
	"ovenward/web/view"
)

// scalePage weighs a bread out at a size. All it is asked stands in the address.
func (s *server) scalePage(w http.ResponseWriter, r *http.Request) error {
	ctx := r.Context()
	b, err := s.store.Bread(ctx, r.PathValue("id"))
	if err != nil {
		return err
	}
	k, err := s.store.Kitchen(ctx)
	if err != nil {
		return err
	}
	l, err := s.store.Foods(ctx)
	if err != nil {
		return err
	}
	var base schedule.Base
	if b.Base != "" {
		if base, err = s.store.Base(ctx, b.Base); err != nil && !errors.Is(err, record.ErrNotFound) {
			return err
		}
	}
	b.Formula, base.Formula = l.Dress(b.Formula), l.Dress(base.Formula)
	bench, err := s.benchSettings(r)
	if err != nil {
		return err
	}
	m := view.ScaleModel{Bread: b, Base: base, Tins: k.Tins, Rules: bench.Rules, Form: view.Form{Values: r.URL.Query()}}
	usualScale(m.Form.Values, b, k, bench.Step)
	m.Scaled, m.Form.Faults = scale(m.Form.Values, b, base, k, s.words(r).Tin())
	if m.Scaled != nil {
		if m.Water, err = s.poured(r, b, base, k, bench, m.Scaled); err != nil {
			return err
		}
	}
	if m.Scaled != nil && m.Scaled.Pieces > 0 {
		if m.Days, err = s.daysToTake(r); err != nil {
			return err
		}
	}
	p := s.page(r, b.Name+", to scale")
	p.Tab = "breads"
	status := http.StatusOK
	if len(m.Form.Faults) > 0 {
		p.Title, status = "Error: "+p.Title, http.StatusUnprocessableEntity
	}
	return render(w, r, status, view.ScalePage(p, m))
}

// poured is how warm what is poured into a dough should be, were it mixed now.
func (s *server) poured(r *http.Request, b schedule.Bread, base schedule.Base, k schedule.Kitchen, bench view.Bench, size *view.Scaled) ([]string, error) {
	d := s.blank(k)
	d.Breads = []schedule.Bread{b}
	id, f, method := b.ID, b.Formula, b.Method
	if b.Base != "" {
		d.Bases = []schedule.Base{base}
		id, f, method = base.ID, base.Formula, base.Method
	}
	seen, err := s.store.Observations(r.Context())
	if err != nil {
		return nil, err
	}
	d.Learn(bookOf(seen), s.now())
	zone, err := s.newestZone(r.Context())
	if err != nil {
		return nil, err
	}
	now := s.now()
	if loc, err := time.LoadLocation(zone); err == nil {
		now = now.In(loc)
	}
	x := view.Mixing{Kitchen: &k, Room: k.Flour}
	if room, ok := k.Place(""); ok {
		x.Room = room.At(float64(60*now.Hour() + now.Minute()))
	}
	known, _ := d.LearnedOf(id)
	for _, st := range method {
		if st.Kind == schedule.Mix && st.Part == "" {
			x.Want, x.Warms = st.Dough, bench.Warms(st.Machine)+known.Friction
		}
	}
	x.Shown = known.Friction
	return x.Pour(f, f.ForFlour(size.Flour)), nil
}

// usualScale fills in what was left empty and has a usual answer: a tray of the
// bread as it is kept, on the scale of the settings or one that shows grams.
func usualScale(v url.Values, b schedule.Bread, k schedule.Kitchen, step unit.Grams) {
	usual := map[string]string{"each": decimal(float64(b.Piece)), "loss": decimal(float64(b.Loss)), "step": decimal(float64(cmp.Or(step, 1))), "of": view.AsDough}
	if !v.Has("by") {
		usual["by"], usual["pieces"] = view.ByPieces, decimal(float64(max(1, b.PerTray)))
	}
	if t, ok := tinNamed(k, b.Tin); ok && t.Litres > 0 {
		usual["per_litre"] = decimal(math.Round(10*float64(b.Piece)/float64(t.Litres)) / 10)
		if !v.Has("by") {
			usual["tin"] = t.Name
		}
	}
	for field, x := range usual {
		if v.Get(field) == "" && x != "0" {
			v.Set(field, x)
		}
	}
}

func tinNamed(k schedule.Kitchen, name string) (schedule.Tin, bool) {
	i := slices.IndexFunc(k.Tins, func(t schedule.Tin) bool { return t.Name == name && name != "" })
	if i < 0 {
		return schedule.Tin{}, false
	}
	return k.Tins[i], true
}

// daysToTake are the days to come, not begun, that can take an order.
func (s *server) daysToTake(r *http.Request) ([]record.Day, error) {
	from := s.now().AddDate(0, 0, -1) // it may still be yesterday where the kitchen is
	days, err := s.store.DaysFrom(r.Context(), from.Format(time.DateOnly))
	return slices.DeleteFunc(days, func(d record.Day) bool {
		loc, err := time.LoadLocation(d.Zone)
		return err != nil || d.Date < s.now().In(loc).Format(time.DateOnly) || s.begun(r.Context(), d.ID)
	}), err
}

// offered adds a line for pieces of a bread to a day's form, as another page has
// asked for; it is kept when the form is sent.
func (s *server) offered(f *view.Form, d record.Day, q url.Values) {
	f.Change("add orders", func(list string) url.Values {
		v := s.freshOrder(d)(list)
		v.Set("bread", q.Get("bread"))
		v.Set("pieces", q.Get("pieces"))
		return v
	})
}

// wholeFormula is the formula of all that is in a bread, in percent of one flour.
func wholeFormula(base, own dough.Formula) dough.Formula {
	return dough.Formula{Ingredients: append(slices.Clone(base.Ingredients), own.Ingredients...)}
}
