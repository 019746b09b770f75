package web

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
	"ovenward/web/view"
)

// readingsPath is where temperatures of places are noted and taken over.
const readingsPath = "/kitchen/readings"

// keepReading notes what was said of a place at the bench. A rehearsal and an
// invented day say nothing of this kitchen.
func (s *server) keepReading(ctx context.Context, d record.Day, t record.Tap, slip *schedule.Slip) error {
	if slip == nil || slip.Kind != schedule.RoomIs || d.Now != "" || d.Example {
		return nil
	}
	loc, err := time.LoadLocation(d.Zone)
	if err != nil {
		return err
	}
	r := readingAt(t.ID, slip.Of, slip.At.In(loc), slip.Celsius)
	k, err := s.store.Kitchen(ctx)
	if err != nil {
		return err
	}
	if p, ok := k.Place(slip.Of); ok {
		r.Place = p.Name
	}
	return s.store.Read(ctx, r)
}

func readingAt(id, place string, at time.Time, c unit.Celsius) record.Reading {
	return record.Reading{ID: id, Place: place, At: at, Minute: at.Hour()*60 + at.Minute(), Celsius: c}
}

// measured is what was read in each place of a kitchen, by the hour.
func (s *server) measured(ctx context.Context, k *schedule.Kitchen) ([]view.Measured, error) {
	all, err := s.store.Readings(ctx)
	if err != nil {
		return nil, err
	}
	by := map[string][]schedule.Measured{}
	for _, r := range all {
		by[r.Place] = append(by[r.Place], schedule.Measured{Day: dayOfTime(r.At), Minute: r.Minute, Celsius: r.Celsius})
	}
	var out []view.Measured
	for _, p := range k.Places {
		m := view.Measured{Place: p, Hours: schedule.ByHour(by[p.Name], dayOfTime(s.now()))}
		m.Taught = p.Taught(m.Hours)
		out = append(out, m)
	}
	return out, nil
}

// dayOfTime counts days; which day it begins with does not matter.
func dayOfTime(t time.Time) int { return int(t.Unix() / 86400) }

// saveReading notes a temperature, takes what was read over into the kitchen, or
// forgets it.
func (s *server) saveReading(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	k, err := s.store.Kitchen(r.Context())
	if err != nil {
		return err
	}
	f := view.Form{Values: r.PostForm}
	name := f.Values.Get("place")
	p, ok := k.Place(name)
	if !ok || name == "" { // which would be the room
		return &Error{http.StatusUnprocessableEntity, "There is no such place in the kitchen.", "Go back and choose one.", "/kitchen"}
	}
	switch f.Values.Get("do") {
	case "note":
		return s.noteReading(w, r, &k, p, f)
	case "take":
		return s.takeReadings(w, r, k, p)
	case "forget":
		if err := s.store.ForgetReadings(r.Context(), p.Name); err != nil {
			return err
		}
		return seeOther(w, r, "/kitchen"+s.notices.keep([]string{"What was read of " + p.Name + " is forgotten."}))
	}
	return badForm(nil)
}

func (s *server) noteReading(w http.ResponseWriter, r *http.Request, k *schedule.Kitchen, p *schedule.Place, f view.Form) error {
	in := decoder{in: f.Values}
	text := strings.TrimSpace(f.Values.Get("celsius"))
	c := in.number("celsius", text)
	if text == "" {
		in.fault("celsius", "No temperature is given; write it like 23.5.")
	} else if len(in.faults) == 0 && (math.IsNaN(c) || c < -40 || c > 70) {
		in.fault("celsius", "“%s” °C is no temperature of a place where dough waits; give -40 to 70.", text)
	}
	if f.Faults = in.faults; len(f.Faults) > 0 {
		kitchen := view.Form{Values: kitchenValues(k), Faults: f.Faults}
		kitchen.Values.Set("place", p.Name)
		kitchen.Values.Set("celsius", text)
		return s.showKitchen(w, r, http.StatusUnprocessableEntity, kitchen)
	}
	zone, err := s.newestZone(r.Context())
	if err != nil {
		return err
	}
	loc, err := time.LoadLocation(zone)
	if err != nil {
		return err
	}
	key := f.Values.Get("key")
	if key == "" {
		key = newKey()
	}
	if err := s.store.Read(r.Context(), readingAt(key, p.Name, s.now().In(loc), unit.Celsius(c))); err != nil {
		return err
	}
	return seeOther(w, r, "/kitchen"+s.notices.keep([]string{fmt.Sprintf("Noted: %s %s.", p.Name, unit.Celsius(c))}))
}

// takeReadings makes what was read the curve of the place.
func (s *server) takeReadings(w http.ResponseWriter, r *http.Request, k schedule.Kitchen, p *schedule.Place) error {
	all, err := s.measured(r.Context(), &k)
	if err != nil {
		return err
	}
	for _, m := range all {
		if m.Place.Name == p.Name {
			p.Curve = m.Taught
		}
	}
	if p.Curve == nil {
		return &Error{http.StatusUnprocessableEntity, fmt.Sprintf("Too little was read of %s so far.", p.Name),
			fmt.Sprintf("An hour counts from %d readings on.", schedule.LeastReadings), "/kitchen"}
	}
	if faults := s.kitchenFaults(r, k); len(faults) > 0 {
		return s.showKitchen(w, r, http.StatusUnprocessableEntity, view.Form{Values: kitchenValues(&k), Faults: faults})
	}
	if err := s.store.SaveKitchen(r.Context(), k); err != nil {
		return err
	}
	said := append([]string{p.Name + " is planned by what was read."}, s.replanAhead(r.Context(), s.words(r))...)
	return seeOther(w, r, "/kitchen"+s.notices.keep(said))
}
