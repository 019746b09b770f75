package web

import (
	"context"
	"net/http"
	"strconv"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/live"
	"ovenward/web/view"
)

// mostLike is from how many days a new one may take its orders.
const mostLike = 30

func (s *server) daysPage(w http.ResponseWriter, r *http.Request) error {
	return s.showDays(w, r, http.StatusOK, nil)
}

func (s *server) showDays(w http.ResponseWriter, r *http.Request, status int, typed *view.Form) error {
	g := paging(r, "/days", "Find a day")
	days, n, err := s.store.FindDays(r.Context(), g.Find)
	if err != nil {
		return err
	}
	g.All = n
	newest, _, err := s.store.FindDays(r.Context(), record.Find{Most: mostLike})
	if err != nil {
		return err
	}
	p := s.page(r, "Days")
	p.Tab = "days"
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	if typed == nil {
		typed = &view.Form{Values: map[string][]string{
			"date": {s.now().AddDate(0, 0, 1).Format(time.DateOnly)}, "zone": {lastZone(newest)}, "key": {newKey()},
		}}
	} else {
		p.Title = "Error: " + p.Title
	}
	return render(w, r, status, view.DaysPage(p, g, days, newest, *typed))
}

// lastZone is the zone of the newest day: kitchens seldom move.
func lastZone(newest []record.Day) string {
	if len(newest) == 0 {
		return "UTC"
	}
	return newest[0].Zone
}

// newestZone is lastZone where no days are at hand.
func (s *server) newestZone(ctx context.Context) (string, error) {
	newest, _, err := s.store.FindDays(ctx, record.Find{Most: 1})
	return lastZone(newest), err
}

func (s *server) createDay(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f := view.Form{Values: r.PostForm}
	d := record.Day{Name: f.Values.Get("name"), Date: f.Values.Get("date"), Zone: f.Values.Get("zone")}
	date, err := time.Parse(time.DateOnly, d.Date)
	if err != nil {
		f.Faults = append(f.Faults, view.FieldFault{Field: "date", What: "“" + d.Date + "” is not a date; write it as 2026-11-28."})
	}
	if _, err := time.LoadLocation(d.Zone); err != nil || d.Zone == "" || d.Zone == "Local" {
		f.Faults = append(f.Faults, view.FieldFault{Field: "zone", What: "“" + d.Zone + "” is not a time zone; write one as Europe/Dublin."})
	}
	if len(f.Faults) > 0 {
		return s.showDays(w, r, http.StatusUnprocessableEntity, &f)
	}
	if d.Name == "" {
		d.Name = view.DateName(date)
	}
	var said []string
	if like, err := strconv.ParseInt(f.Values.Get("like"), 10, 64); err == nil {
		old, err := s.store.DayRecord(r.Context(), like)
		if err != nil {
			return err
		}
		d.Orders, said = settlePromises(moved(old, date), d.Zone)
		d.Settings = old.Settings
	}
	id, begun, err := s.store.BeginDay(r.Context(), sentKey(r), d, s.now())
	if err != nil {
		return err
	}
	if !begun {
		said = []string{begunBefore}
	}
	return seeOther(w, r, view.DayHead{ID: id}.At("/plan")+s.notices.keep(said))
}

// moved gives a day's orders for another date, at the same times of the clock.
func moved(old record.Day, date time.Time) []schedule.Order {
	from, err := time.Parse(time.DateOnly, old.Date)
	if err != nil {
		return nil
	}
	by := int(date.Sub(from).Hours() / 24)
	out := make([]schedule.Order, len(old.Orders))
	for i, o := range old.Orders {
		o.Out, o.Ready = o.Out.AddDays(by), o.Ready.AddDays(by)
		out[i] = o
	}
	return out
}

func (s *server) deleteDay(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	if err := s.store.DeleteDay(r.Context(), d.ID); err != nil {
		return err
	}
	s.hub.Publish(live.Resync{Reason: "changed"})
	return seeOther(w, r, "/days"+s.notices.keep([]string{d.Name + " is deleted."}))
}

// example clears the invented example or makes it the baker's own.
func (s *server) example(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	var err error
	said := "The example is yours now; change it as you like."
	switch r.PostForm.Get("do") {
	case "keep":
		err = s.store.KeepExample(r.Context())
	case "clear":
		said = "The example is cleared."
		err = s.store.ClearExample(r.Context())
	default:
		return errNoPage
	}
	if err != nil {
		return err
	}
	s.hub.Publish(live.Resync{Reason: "changed"})
	return seeOther(w, r, "/days"+s.notices.keep([]string{said}))
}
