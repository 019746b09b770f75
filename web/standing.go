package web

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// standingWish is the form of a standing order. At is as it was typed;
// Zone is asked for while none is said.
type standingWish struct {
	Bread  string         `json:"bread"`
	Pieces int            `json:"pieces"`
	Days   []string       `json:"days"`
	By     string         `json:"by"` // "out" or "cool"
	At     string         `json:"at"`
	From   string         `json:"from"`
	Until  string         `json:"until"`
	For    string         `json:"for"`
	Weight int            `json:"weight"`
	Except []exceptedWish `json:"except"`
	Zone   string         `json:"zone"`
}

type exceptedWish struct {
	Date   string `json:"date"`
	Pieces int    `json:"pieces"`
	At     string `json:"at"`
}

// wishOfStanding writes a standing order into the form.
func wishOfStanding(o schedule.Standing) standingWish {
	w := standingWish{Bread: o.Bread, Pieces: o.Pieces, Days: strings.Fields(o.Days.String()), By: "out", At: o.At.String(),
		From: o.From, Until: o.Until, For: o.For, Weight: o.Weight}
	if o.Cool {
		w.By = "cool"
	}
	for _, e := range o.Except {
		x := exceptedWish{Date: e.Date, Pieces: e.Pieces}
		if e.At != nil {
			x.At = e.At.String()
		}
		w.Except = append(w.Except, x)
	}
	return w
}

// order is the standing order wished for, and what is wrong with it.
func (w standingWish) order(id string, breads []record.Name) (schedule.Standing, []view.FieldFault) {
	o := schedule.Standing{ID: id, Bread: view.BreadOf(breads, w.Bread), Pieces: w.Pieces, Cool: w.By == "cool",
		From: w.From, Until: w.Until, For: w.For, Weight: w.Weight}
	var faults []view.FieldFault
	fault := func(field, what string) {
		if !slices.ContainsFunc(faults, func(f view.FieldFault) bool { return f.Field == field }) {
			faults = append(faults, view.FieldFault{Field: field, What: what})
		}
	}
	if !slices.ContainsFunc(breads, func(b record.Name) bool { return b.ID == o.Bread }) {
		fault("bread", "No bread is chosen; choose one from the list.")
	}
	if err := o.Days.UnmarshalText([]byte(strings.Join(w.Days, " "))); err != nil {
		fault("days", view.Sentence(err.Error()))
	}
	var err error
	if o.At, err = schedule.TypedClock(w.At); err != nil {
		fault("at", view.Sentence(err.Error()))
	}
	for i, x := range w.Except {
		e := schedule.Exception{Date: x.Date, Pieces: x.Pieces}
		if x.At != "" {
			at, err := schedule.TypedClock(x.At)
			if err != nil {
				fault(fmt.Sprintf("except[%d].at", i), view.Sentence(err.Error()))
			}
			e.At = &at
		}
		o.Except = append(o.Except, e)
	}
	for _, f := range o.Validate() {
		fault(f.Where, view.Sentence(f.What+"; "+f.Remedy))
	}
	slices.SortStableFunc(o.Except, func(a, b schedule.Exception) int { return strings.Compare(a.Date, b.Date) })
	return o, faults
}

func (s *server) standingPage(w http.ResponseWriter, r *http.Request) error {
	return s.showStanding(w, r, http.StatusOK, nil)
}

func (s *server) showStanding(w http.ResponseWriter, r *http.Request, status int, typed *view.Form) error {
	a, err := s.outlook(r.Context(), "9999-12-31")
	if err != nil {
		return err
	}
	p := s.page(r, "Standing orders")
	p.Tab = "days"
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	m := view.StandingModel{Orders: a.listed, Today: a.today, Days: a.days, Zone: a.zone, Stale: a.staleDays()}
	for i := range mostAhead + 1 {
		date := a.date(i)
		d := view.AheadDay{Date: date, Coming: a.comings[date.Format(time.DateOnly)], Own: a.own[date.Format(time.DateOnly)].Name}
		if waiting := a.waiting(date); d.Coming.Day != 0 || waiting && i <= cmp.Or(a.days, usualAhead) {
			m.Ahead = append(m.Ahead, d)
		}
		_, moved := schedule.OrdersOn(a.standing, date, a.loc)
		m.Moved = append(m.Moved, moved...)
	}
	if m.Form = (view.Form{Values: url.Values{"days": {strconv.Itoa(a.days)}, "zone": {a.zone}}}); typed != nil {
		m.Form, p.Title = *typed, "Error: "+p.Title
	} else if a.zone == "" {
		zone, err := s.newestZone(r.Context())
		if err != nil {
			return err
		}
		m.Form.Values.Set("zone", zone)
	}
	return render(w, r, status, view.StandingPage(p, m))
}

// standingOf finds the standing order a path speaks of.
func (s *server) standingOf(r *http.Request) (record.Standing, error) {
	all, err := s.store.StandingOrders(r.Context())
	if err != nil {
		return record.Standing{}, err
	}
	i := slices.IndexFunc(all, func(o record.Standing) bool { return o.ID == r.PathValue("id") })
	if i < 0 {
		return record.Standing{}, &Error{http.StatusNotFound, "There is no such standing order.", "Choose one from the list.", "/standing"}
	}
	return all[i], nil
}

func (s *server) newStandingPage(w http.ResponseWriter, r *http.Request) error {
	x := standingWish{By: "out", From: s.now().AddDate(0, 0, 1).Format(time.DateOnly)}
	f := view.Form{Values: encode(&x), New: true}
	zone, err := s.newestZone(r.Context())
	if err != nil {
		return err
	}
	f.Values.Set("zone", zone)
	return s.showStandingForm(w, r, http.StatusOK, record.Standing{}, f)
}

func (s *server) standingOrderPage(w http.ResponseWriter, r *http.Request) error {
	o, err := s.standingOf(r)
	if err != nil {
		return err
	}
	x := wishOfStanding(o.Standing)
	return s.showStandingForm(w, r, http.StatusOK, o, view.Form{Values: encode(&x)})
}

func (s *server) showStandingForm(w http.ResponseWriter, r *http.Request, status int, o record.Standing, f view.Form) error {
	breads, err := s.store.BreadNames(r.Context())
	if err != nil {
		return err
	}
	zone, err := s.store.Setting(r.Context(), settingZone)
	if err != nil {
		return err
	}
	title := "A standing order"
	if len(f.Faults) > 0 {
		title = "Error: " + title
	}
	p := s.page(r, title)
	p.Tab = "days"
	return render(w, r, status, view.StandingForm(p, view.StandingFormModel{Form: f, Order: o, Breads: breads, AskZone: zone == ""}))
}

func (s *server) saveStanding(w http.ResponseWriter, r *http.Request) error {
	var o record.Standing // zero for a new one
	var err error
	if r.PathValue("id") != "new" {
		if o, err = s.standingOf(r); err != nil {
			return err
		}
	}
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f := view.Form{Values: r.PostForm, New: o.ID == ""}
	if f.Change(f.Values.Get("do"), freshException) {
		return s.showStandingForm(w, r, http.StatusOK, o, f)
	}
	breads, err := s.store.BreadNames(r.Context())
	if err != nil {
		return err
	}
	var x standingWish
	f.Faults = decode(f.Values, &x)
	next, faults := x.order(cmp.Or(o.ID, newKey()), breads)
	f.Faults = append(f.Faults, faults...)
	zone, err := s.store.Setting(r.Context(), settingZone)
	if err != nil {
		return err
	}
	if zone == "" {
		f.Faults = append(f.Faults, zoneFaults(x.Zone)...)
	}
	if len(f.Faults) > 0 {
		return s.showStandingForm(w, r, http.StatusUnprocessableEntity, o, f)
	}
	if zone == "" {
		if err := s.store.SetSetting(r.Context(), settingZone, x.Zone); err != nil {
			return err
		}
	}
	if err := s.store.SaveStanding(r.Context(), next, s.now()); err != nil {
		return err
	}
	return s.comingsMade(w, r, strings.Join(append([]string{"Saved."}, idle(next)...), " "))
}

// idle names the dates on which none are wanted of a standing order that is not for
// them: a date that was mistaken for another.
func idle(o schedule.Standing) (said []string) {
	for _, e := range o.Except {
		if on, err := time.Parse(time.DateOnly, e.Date); err == nil && e.Pieces == 0 && !o.Days.Has(on.Weekday()) {
			said = append(said, view.DateName(on)+" is none of its days: look whether another date was meant.")
		}
	}
	return said
}

func freshException(string) url.Values { return url.Values{"date": {""}} }

func zoneFaults(zone string) []view.FieldFault {
	if _, err := time.LoadLocation(zone); err != nil || zone == "" || zone == "Local" {
		return []view.FieldFault{{Field: "zone", What: "“" + zone + "” is not a time zone; write one as Europe/Dublin."}}
	}
	return nil
}

// comingsMade makes the days ahead that are wanting now and says so.
func (s *server) comingsMade(w http.ResponseWriter, r *http.Request, said string) error {
	made, err := s.makeComing(r.Context(), max(planFor, s.patience))
	if err != nil {
		return err
	}
	lines := []string{said}
	if len(made) > 0 {
		lines = append(lines, view.Made(made))
	}
	return seeOther(w, r, "/standing"+s.notices.keep(lines))
}

func (s *server) deleteStanding(w http.ResponseWriter, r *http.Request) error {
	if err := s.store.DeleteStanding(r.Context(), r.PathValue("id")); errors.Is(err, record.ErrNotFound) {
		return &Error{http.StatusNotFound, "There is no such standing order.", "Choose one from the list.", "/standing"}
	} else if err != nil {
		return err
	}
	return seeOther(w, r, "/standing"+s.notices.keep([]string{"The standing order is deleted. Days that were made of it stay until you renew or delete them."}))
}

// saveComing keeps how far ahead days are made, and where.
func (s *server) saveComing(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f := view.Form{Values: r.PostForm}
	days, zone := strings.TrimSpace(f.Values.Get("days")), strings.TrimSpace(f.Values.Get("zone"))
	if n, err := strconv.Atoi(days); err != nil || n < 0 || n > mostAhead {
		f.Faults = append(f.Faults, view.FieldFault{Field: "days", What: "“" + days + "” is not a number of days; give 0 for none, or 1 to 13: a plan reaches no farther."})
	}
	if f.Faults = append(f.Faults, zoneFaults(zone)...); len(f.Faults) > 0 {
		return s.showStanding(w, r, http.StatusUnprocessableEntity, &f)
	}
	for key, value := range map[string]string{settingAhead: days, settingZone: zone} {
		if err := s.store.SetSetting(r.Context(), key, value); err != nil {
			return err
		}
	}
	return s.comingsMade(w, r, "Saved.")
}
