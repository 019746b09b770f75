package web

import (
	"errors"
	"net/http"
	"net/url"
	"reflect"
	"slices"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
	"ovenward/web/live"
	"ovenward/web/view"
)

// guided are the answers to the five questions a kitchen is set up from.
type guided struct {
	Day    unit.Celsius `json:"day_celsius"`
	Night  unit.Celsius `json:"night_celsius"`
	Fridge int          `json:"fridge_spaces"`

	Oven  string       `json:"oven"`
	Trays int          `json:"trays"`
	Max   unit.Celsius `json:"max_celsius"`

	Heating unit.Minutes `json:"heat_minutes"` // from cold to heatedTo

	Mixer string     `json:"mixer"` // "hands" or "mixer"
	Most  unit.Grams `json:"most_grams"`

	Name    string         `json:"name"`
	From    schedule.Clock `json:"from"`
	To      schedule.Clock `json:"to"`
	Helper  string         `json:"helper"`
	Arrives string         `json:"helper_from"`
	Leaves  string         `json:"helper_to"`
}

const (
	heatedTo = 220 // °C, what heating is asked up to
	cold     = 20  // °C, an oven that is not lit

	atGuide      = "/guide"
	atFirstBread = "/guide/bread"
)

// usualKitchen is what the questions are answered with beforehand: a home.
var usualKitchen = url.Values{
	"day_celsius": {"21"}, "night_celsius": {"18"}, "fridge_spaces": {"2"},
	"oven": {"home"}, "trays": {"1"}, "max_celsius": {"250"}, "heat_minutes": {"25"},
	"mixer": {"hands"}, "most_grams": {"2000"},
	"name": {"Me"}, "from": {"07:00"}, "to": {"19:00"},
	"example": {"clear"},
}

// faults says which answers cannot be, and how to mend them.
func (g guided) faults() []view.FieldFault {
	var d decoder
	within := func(field string, x, low, high float64, what string) {
		if !(x >= low && x <= high) {
			d.fault(field, what, x, low, high)
		}
	}
	within("day_celsius", float64(g.Day), 5, 45, "A kitchen is not at %g °C; give %g to %g, as a thermometer on the bench says.")
	within("night_celsius", float64(g.Night), -5, 45, "A kitchen is not at %g °C at night; give %g to %g.")
	within("fridge_spaces", float64(g.Fridge), 0, 100, "%g trays or tubs cannot be; give %g to %g.")
	within("trays", float64(g.Trays), 1, 100, "An oven does not take %g trays; give %g to %g.")
	within("max_celsius", float64(g.Max), 150, 400, "No bread oven is at its hottest at %g °C; give %g to %g.")
	within("heat_minutes", float64(g.Heating), 5, 300, "An oven is not hot in %g minutes; give %g to %g.")
	within("most_grams", float64(g.Most), 300, 100e3, "%g g is no dough to knead at once; give %g to %g.")
	if g.Name == "" {
		d.fault("name", "Nobody is at work; give a name, such as Me.")
	}
	if g.Name != "" && g.Name == g.Helper {
		d.fault("helper", "Two people of one name cannot be told apart; give another.")
	}
	if g.From == g.To {
		d.fault("to", "Work begins and ends at %v; give when it ends.", g.To)
	}
	if g.Helper != "" {
		d.clock("helper_from", g.Arrives)
		d.clock("helper_to", g.Leaves)
	}
	return d.faults
}

// kitchen is what the answers come to. What an oven cools by, where flour stands
// and how cold the tap is are common practice, no source; the kitchen's page has
// them.
func (g guided) kitchen() schedule.Kitchen {
	k := schedule.Kitchen{
		Places: []schedule.Place{{Name: "Kitchen", Kind: schedule.Room, Curve: []schedule.Reading{{At: 5 * 60, Celsius: g.Night}, {At: 12 * 60, Celsius: g.Day}, {At: 20 * 60, Celsius: g.Day}}}},
		Ovens: []schedule.Oven{{Name: "Oven", Decks: 1, TraysPerDeck: g.Trays, Max: g.Max,
			Heat: unit.Kelvins((min(heatedTo, g.Max) - cold) / unit.Celsius(g.Heating)), Cool: 2}},
		Tub: max(500, min(g.Most, 6000)), Flour: (g.Day + g.Night) / 2, Tap: 12,
	}
	if g.Oven == "deck" {
		k.Ovens[0].Name, k.Ovens[0].Cool = "Deck oven", 1
	}
	if g.Fridge > 0 {
		k.Places = append(k.Places, schedule.Place{Name: "Fridge", Kind: schedule.Cold, Curve: []schedule.Reading{{Celsius: 5}}, Spaces: g.Fridge})
	}
	if g.Mixer == "mixer" {
		k.Mixers = []schedule.Mixer{{Name: "Mixer", Least: g.Most / 5, Most: g.Most}}
	}
	k.Bakers = []schedule.Baker{{Name: g.Name, Hours: []schedule.Hours{{From: g.From, To: g.To}}}}
	if g.Helper != "" {
		var d decoder
		k.Bakers = append(k.Bakers, schedule.Baker{Name: g.Helper, Hours: []schedule.Hours{{From: d.clock("", g.Arrives), To: d.clock("", g.Leaves)}}})
	}
	return k
}

func (s *server) guidePage(w http.ResponseWriter, r *http.Request) error {
	return s.showGuide(w, r, http.StatusOK, view.Form{Values: usualKitchen})
}

func (s *server) showGuide(w http.ResponseWriter, r *http.Request, status int, f view.Form) error {
	days, err := s.store.Days(r.Context())
	if err != nil {
		return err
	}
	k, err := s.store.Kitchen(r.Context())
	if err != nil {
		return err
	}
	p := s.page(r, "Set up my kitchen")
	p.Tab = "kitchen"
	if len(f.Faults) > 0 {
		p.Title = "Error: " + p.Title
	}
	zone, err := s.newestZone(r.Context())
	if err != nil {
		return err
	}
	m := view.GuideModel{Form: f, Zone: zone, Example: slices.ContainsFunc(days, func(d record.Day) bool { return d.Example })}
	m.Replaces = len(k.Places) > 0 && !m.Example
	return render(w, r, status, view.GuidePage(p, m))
}

// saveGuide makes a kitchen of the answers, and leads on to the first bread.
func (s *server) saveGuide(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f := view.Form{Values: r.PostForm}
	var g guided
	if f.Faults = decode(f.Values, &g); len(f.Faults) == 0 {
		f.Faults = g.faults()
	}
	if len(f.Faults) > 0 {
		return s.showGuide(w, r, http.StatusUnprocessableEntity, f)
	}
	if f.Values.Get("example") == "clear" {
		if err := s.store.ClearExample(r.Context()); err != nil {
			return err
		}
		s.hub.Publish(live.Resync{Reason: "changed"})
	}
	if err := s.store.SaveKitchen(r.Context(), g.kitchen()); err != nil {
		return err
	}
	s.replanAhead(r.Context(), s.words(r))
	return seeOther(w, r, atFirstBread+"?zone="+url.QueryEscape(f.Values.Get("zone")))
}

// firstOrder is what is asked for the first bread.
type firstOrder struct {
	Bread  string `json:"bread"` // of the beginnings
	Pieces int    `json:"pieces"`
	Date   string `json:"date"`
	At     string `json:"at"`
	Zone   string `json:"zone"`
}

func (s *server) firstBreadPage(w http.ResponseWriter, r *http.Request) error {
	k, err := s.store.Kitchen(r.Context())
	if err != nil {
		return err
	}
	if len(k.Bakers) == 0 {
		return seeOther(w, r, atGuide)
	}
	zone := r.URL.Query().Get("zone")
	if zone == "" {
		if zone, err = s.newestZone(r.Context()); err != nil {
			return err
		}
	}
	loc, err := time.LoadLocation(zone)
	if err != nil || zone == "" || zone == "Local" {
		zone, loc = "UTC", time.UTC
	}
	f := view.Form{Values: url.Values{"key": {newKey()}, "bread": {"loaf"}, "pieces": {"2"}, "zone": {zone},
		"date": {s.now().In(loc).AddDate(0, 0, 1).Format(time.DateOnly)}, "at": {outBefore(k.Bakers[0])}}}
	return s.showFirstBread(w, r, http.StatusOK, f)
}

// outBefore is a time to have bread out by: an hour before the work ends.
func outBefore(b schedule.Baker) string {
	to := b.Hours[0].To - 60
	if to < 0 {
		to += 24 * 60
	}
	return to.String()
}

func (s *server) showFirstBread(w http.ResponseWriter, r *http.Request, status int, f view.Form) error {
	p := s.page(r, "First bread, first order")
	p.Tab = "breads"
	if len(f.Faults) > 0 {
		p.Title = "Error: " + p.Title
	}
	return render(w, r, status, view.FirstBreadPage(p, f, beginnings()))
}

// saveFirstBread keeps the bread, begins the day and plans it.
func (s *server) saveFirstBread(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f := view.Form{Values: r.PostForm}
	var o firstOrder
	f.Faults = decode(f.Values, &o)
	out, faults := o.out()
	for _, x := range faults { // what was not understood is wrong in one way only
		if !slices.ContainsFunc(f.Faults, func(y view.FieldFault) bool { return x.Field == y.Field }) {
			f.Faults = append(f.Faults, x)
		}
	}
	k, err := s.store.Kitchen(r.Context())
	if err != nil {
		return err
	}
	b, ok := beginning(o.Bread, k)
	if !ok {
		f.Faults = append(f.Faults, view.FieldFault{Field: "bread", What: "No bread is chosen; choose one."})
	}
	if len(f.Faults) > 0 {
		return s.showFirstBread(w, r, http.StatusUnprocessableEntity, f)
	}
	if err := s.keepBeginning(r, &b); err != nil {
		return err
	}
	date, _ := time.Parse(time.DateOnly, o.Date)
	id, begun, err := s.store.BeginDay(r.Context(), sentKey(r), record.Day{Name: view.DateName(date), Date: o.Date, Zone: o.Zone,
		Orders: []schedule.Order{{Bread: b.ID, Pieces: o.Pieces, Out: out}}}, s.now())
	if err != nil {
		return err
	}
	at := view.DayHead{ID: id}.At("")
	if !begun {
		return seeOther(w, r, at+s.notices.keep([]string{begunBefore}))
	}
	said := []string{b.Name + " is saved; its page is under Breads."}
	if changes, err := s.plan(r.Context(), id, s.words(r)); err == nil {
		said = append(said, changes...)
	} else {
		at = view.DayHead{ID: id}.At("/plan")
		said = append(said, "It cannot be planned yet: "+err.Error()+".")
	}
	return seeOther(w, r, at+s.notices.keep(said))
}

// keepBeginning saves a bread to begin with, unless it is there as it is, from this
// form sent before or from another.
func (s *server) keepBeginning(r *http.Request, b *schedule.Bread) error {
	b.ID = slugOf(b.Name, "bread")
	switch there, err := s.store.Bread(r.Context(), b.ID); {
	case err == nil && reflect.DeepEqual(encode(&there), encode(b)):
		return nil
	case err != nil && !errors.Is(err, record.ErrNotFound):
		return err
	}
	b.ID = s.slug(r, true, b.Name)
	return s.store.SaveBread(r.Context(), *b)
}

// out is when the bread is promised, and what is wrong with the order.
func (o firstOrder) out() (schedule.Wall, []view.FieldFault) {
	var d decoder
	if o.Pieces < 1 || o.Pieces > 10000 {
		d.fault("pieces", "%d pieces cannot be baked; give 1 to 10000.", o.Pieces)
	}
	loc, err := time.LoadLocation(o.Zone)
	if err != nil || o.Zone == "" || o.Zone == "Local" {
		d.fault("zone", "“%s” is not a time zone; write one as Europe/Dublin.", o.Zone)
		return "", d.faults
	}
	if _, err := time.Parse(time.DateOnly, o.Date); err != nil {
		d.fault("date", "“%s” is not a date; write it as 2026-11-28.", o.Date)
		return "", d.faults
	}
	at := schedule.Wall(o.Date + "T" + d.clock("at", strings.TrimSpace(o.At)).String())
	if _, err := at.In(loc); err != nil {
		d.fault("at", "%s", view.Sentence(err.Error()))
	}
	return at, d.faults
}
