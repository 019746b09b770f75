package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
	"ovenward/web/view"
)

// wish is the plan page's form: what must be out of the oven, and when.
type wish struct {
	Name     string            `json:"name"`
	Date     string            `json:"date"`
	Zone     string            `json:"zone"`
	Now      schedule.Wall     `json:"now"`
	Noon     unit.Celsius      `json:"noon_celsius"`
	Settings schedule.Settings `json:"settings"`
	Orders   []wished          `json:"orders"`
}

// wished is one order. At is as the browser's date and time field gives it;
// Which tells two equal hours apart on the night clocks go back.
type wished struct {
	Bread  string        `json:"bread"`
	Pieces int           `json:"pieces"`
	By     string        `json:"by"` // "out" or "cool"
	At     schedule.Wall `json:"at"`
	Which  schedule.Wall `json:"which"`
	For    string        `json:"for"`
	Weight int           `json:"weight"`
}

// wishOf writes a day into the form.
func wishOf(d record.Day) wish {
	w := wish{Name: d.Name, Date: d.Date, Zone: d.Zone, Now: d.Now, Settings: d.Settings}
	if d.Room != nil {
		w.Noon = schedule.Place{Curve: d.Room}.At(noon)
	}
	for _, o := range d.Orders {
		x := wished{Bread: o.Bread, Pieces: o.Pieces, By: "out", At: o.Promise(), For: o.For, Weight: o.Weight}
		if o.Out == "" && o.Ready != "" {
			x.By = "cool"
		}
		if len(x.At) > len("2026-11-28T08:00") {
			x.Which, x.At = x.At, x.At[:len("2026-11-28T08:00")]
		}
		w.Orders = append(w.Orders, x)
	}
	return w
}

// noon is the minute of the day the room's temperature is asked for.
const noon = 12 * 60

// apply takes the form over into the day.
func (w wish) apply(d *record.Day, bench *schedule.Place) []view.FieldFault {
	d.Name, d.Date, d.Zone, d.Now, d.Settings = w.Name, w.Date, w.Zone, w.Now, w.Settings
	var faults []view.FieldFault
	fault := func(field, what string, args ...any) {
		faults = append(faults, view.FieldFault{Field: field, What: fmt.Sprintf(what, args...)})
	}
	if w.Name == "" {
		fault("name", "The day has no name; give it one, such as Saturday.")
	}
	loc, err := time.LoadLocation(w.Zone)
	if err != nil || w.Zone == "" || w.Zone == "Local" {
		fault("zone", "“%s” is not a time zone; write one as Europe/Dublin.", w.Zone)
		loc = time.UTC
	}
	if _, err := time.Parse(time.DateOnly, w.Date); err != nil {
		fault("date", "“%s” is not a date; write it as 2026-11-28.", w.Date)
	}
	if w.Now != "" {
		if _, err := w.Now.In(loc); err != nil {
			fault("now", "%s", view.Sentence(err.Error()))
		}
	}
	d.Room = shifted(bench, w.Noon)
	d.Orders = nil
	for i, x := range w.Orders {
		o, what := x.order(loc)
		if what != "" {
			fault(fmt.Sprintf("orders[%d].at", i), "%s", what)
		}
		d.Orders = append(d.Orders, o)
	}
	return faults
}

// shifted is the bench's curve moved as a whole so that noon has a temperature;
// nil leaves the kitchen's.
func shifted(bench *schedule.Place, at unit.Celsius) []schedule.Reading {
	if at == 0 || bench == nil {
		return nil
	}
	by := at - bench.At(noon)
	out := slices.Clone(bench.Curve)
	for i := range out {
		out[i].Celsius += by
	}
	return out
}

// order is the order wished for, and what is wrong with its time.
func (x wished) order(loc *time.Location) (schedule.Order, string) {
	o := schedule.Order{Bread: x.Bread, Pieces: x.Pieces, For: x.For, Weight: x.Weight}
	at, what := x.At, ""
	_, err := at.In(loc)
	double, ok := errors.AsType[*schedule.WallError](err)
	switch {
	case at == "":
		what = "No time is promised; say when it must be out of the oven, or cooled."
	case ok && !double.Gap && strings.HasPrefix(string(x.Which), string(at)):
		at = x.Which
	case ok && !double.Gap:
		what = "This time happens twice, as clocks go back; choose which one is meant."
	case err != nil:
		what = view.Sentence(err.Error())
	}
	if x.By == "cool" {
		o.Ready = at
	} else {
		o.Out = at
	}
	return o, what
}

func (s *server) planPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	x := wishOf(d)
	f := view.Form{Values: encode(&x)}
	if q := r.URL.Query(); q.Get("bread") != "" {
		s.offered(&f, d, q)
	} else if len(d.Orders) == 0 {
		f.Change("add orders", s.freshOrder(d))
	}
	return s.showPlan(w, r, http.StatusOK, d, f)
}

// freshOrder is what a new line begins with.
func (s *server) freshOrder(d record.Day) func(string) url.Values {
	return func(string) url.Values {
		return url.Values{"bread": {""}, "by": {"out"}, "at": {d.Date + "T09:00"}}
	}
}

func (s *server) savePlanPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f := view.Form{Values: r.PostForm}
	if err := s.knowBreads(r.Context(), f.Values); err != nil {
		return err
	}
	faults := joinMoments(f.Values)
	if f.Change(f.Values.Get("do"), s.freshOrder(d)) {
		return s.showPlan(w, r, http.StatusOK, d, f)
	}
	var x wish
	f.Faults = append(faults, decode(f.Values, &x)...)
	k, err := s.store.Kitchen(r.Context())
	if err != nil {
		return err
	}
	bench, _ := k.Place("")
	f.Faults = append(f.Faults, newFaults(f.Faults, x.apply(&d, bench))...)
	if len(f.Faults) == 0 {
		f.Faults, err = s.saveAndPlan(r, &d, &f)
		if err != nil {
			return err
		}
	}
	if len(f.Faults) > 0 {
		return s.showPlan(w, r, http.StatusUnprocessableEntity, d, f)
	}
	return seeOther(w, r, view.DayHead{ID: d.ID}.At("/plan")+f.Values.Get("said"))
}

// saveAndPlan keeps the wish and plans it. What was wished is kept even where it
// cannot be planned yet.
func (s *server) saveAndPlan(r *http.Request, d *record.Day, f *view.Form) ([]view.FieldFault, error) {
	ctx := r.Context()
	for i, o := range d.Orders {
		if _, err := s.store.Bread(ctx, o.Bread); errors.Is(err, record.ErrNotFound) {
			return []view.FieldFault{{Field: fmt.Sprintf("orders[%d].bread", i), What: "No bread is chosen; choose one from the list."}}, nil
		}
	}
	if err := s.store.SaveDay(ctx, *d); err != nil {
		return nil, err
	}
	changes, err := s.plan(ctx, d.ID, s.words(r))
	if fs, ok := errors.AsType[schedule.Faults](err); ok {
		return s.linked(ctx, d.ID, fs)
	}
	if err != nil {
		return nil, err
	}
	f.Values.Set("said", s.notices.keep(append([]string{"Saved and planned."}, changes...)))
	return nil, nil
}

// linked turns the faults of a day into links.
func (s *server) linked(ctx context.Context, id int64, fs schedule.Faults) ([]view.FieldFault, error) {
	day, err := s.store.Day(ctx, id, s.now())
	if err != nil {
		return nil, err
	}
	out := fieldFaults(&day, fs)
	for i := range out {
		for _, end := range []string{".out_by", ".cool_by"} {
			if at, ok := strings.CutSuffix(out[i].Field, end); ok {
				out[i].Field = at + ".at"
			}
		}
	}
	return out, nil
}

func (s *server) showPlan(w http.ResponseWriter, r *http.Request, status int, d record.Day, f view.Form) error {
	breads, err := s.store.BreadNames(r.Context())
	if err != nil {
		return err
	}
	k, err := s.store.Kitchen(r.Context())
	if err != nil {
		return err
	}
	p := s.dayFrame(r, d, "plan", "Plan")
	m := view.PlanModel{Form: f, Breads: breads, Kitchen: k}
	pic, ok, err := s.picture(r, d, &p)
	if err != nil {
		return err
	}
	if ok {
		m.Picture, m.Plan, m.Begun = pic, pic.Plan, s.begun(r.Context(), d.ID)
	}
	m.Which = twice(f)
	if len(f.Faults) > 0 {
		p.Title = "Error: " + p.Title
	}
	return render(w, r, status, view.PlanPage(p, m))
}

// twice lists, for every order whose time happens twice, the two it may mean.
func twice(f view.Form) map[int][]view.Option {
	loc, err := time.LoadLocation(f.Values.Get("zone"))
	if err != nil {
		return nil
	}
	out := map[int][]view.Option{}
	for i := range view.Count(f.Values, "orders") {
		_, err := schedule.Wall(f.Values.Get(fmt.Sprintf("orders[%d].at", i))).In(loc)
		if e, ok := errors.AsType[*schedule.WallError](err); ok && !e.Gap {
			for _, t := range e.Choices {
				out[i] = append(out[i], view.Option{Value: string(schedule.WallOf(t)), Word: t.Format("15:04 MST")})
			}
		}
	}
	return out
}
