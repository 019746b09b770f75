package web_test

import (
	"fmt"
	"math/rand/v2"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/webtest"
)

// Five answers give a usable kitchen, a bread and a planned day.
func TestGuide(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/guide").Form("/guide")
	for k, x := range map[string]string{"day_celsius": "23", "night_celsius": "19,5", "fridge_spaces": "3", "oven": "deck", "trays": "4", "max_celsius": "280",
		"heat_minutes": "50", "mixer": "mixer", "most_grams": "5000", "name": "Ana", "from": "04:00", "to": "13:00", "helper": "Leo", "helper_from": "08:00", "helper_to": "12:00"} {
		v.Set(k, x)
	}
	first := s.sent("/guide", v)
	k, err := s.store.Kitchen(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	want := schedule.Kitchen{
		Places: []schedule.Place{
			{Name: "Kitchen", Kind: schedule.Room, Curve: []schedule.Reading{{At: 300, Celsius: 19.5}, {At: 720, Celsius: 23}, {At: 1200, Celsius: 23}}},
			{Name: "Fridge", Kind: schedule.Cold, Curve: []schedule.Reading{{At: 0, Celsius: 5}}, Spaces: 3},
		},
		Mixers: []schedule.Mixer{{Name: "Mixer", Least: 1000, Most: 5000}},
		Ovens:  []schedule.Oven{{Name: "Deck oven", Decks: 1, TraysPerDeck: 4, Max: 280, Heat: 4, Cool: 1}},
		Bakers: []schedule.Baker{{Name: "Ana", Hours: []schedule.Hours{{From: 240, To: 780}}}, {Name: "Leo", Hours: []schedule.Hours{{From: 480, To: 720}}}},
		Tub:    5000, Flour: 21.25, Tap: 12,
	}
	if d := cmp.Diff(want, k); d != "" {
		t.Error(d)
	}
	if days, _ := s.store.Days(t.Context()); len(days) != 0 {
		t.Errorf("the example is still there: %+v", days)
	}
	order := first.Form("/guide/bread")
	if order.Get("zone") != "Europe/Dublin" || order.Get("date") != "2026-11-28" || order.Get("at") != "12:00" {
		t.Errorf("proposed: %v", order)
	}
	order.Set("bread", "slow")
	p := s.sent("/guide/bread", order)
	days, _ := s.store.Days(t.Context())
	if len(days) != 1 || days[0].Version != 1 || days[0].Orders[0].Out != "2026-11-28T12:00" {
		t.Fatalf("days: %+v\n%s", days, p.Text(nil))
	}
	if n := len(p.All("svg")); n == 0 {
		t.Errorf("no drawing: %s", p.Text(nil))
	}
}

// Whatever is answered within the limits, the kitchen has no fault, and every bread
// to begin with can be made in it.
func TestGuideAlwaysUsable(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(6, 11))
	for range 12 {
		s := empty(t)
		from := r.IntN(24)
		v := url.Values{
			"day_celsius": {fmt.Sprint(5 + r.IntN(41))}, "night_celsius": {fmt.Sprint(r.IntN(40))}, "fridge_spaces": {fmt.Sprint(r.IntN(4))},
			"oven": {[]string{"home", "deck"}[r.IntN(2)]}, "trays": {fmt.Sprint(1 + r.IntN(8))}, "max_celsius": {fmt.Sprint(150 + r.IntN(250))},
			"heat_minutes": {fmt.Sprint(5 + r.IntN(200))}, "mixer": {[]string{"hands", "mixer"}[r.IntN(2)]}, "most_grams": {fmt.Sprint(300 + r.IntN(20000))},
			"name": {"Ana"}, "from": {fmt.Sprintf("%02d:00", from)}, "to": {fmt.Sprintf("%02d:00", (from+1+r.IntN(22))%24)},
		}
		s.sent("/guide", v)
		if p := s.page("/kitchen"); len(p.Class("problem")) > 0 {
			t.Errorf("%v: %s", v, p.Text(p.Class("problem")[0]))
		}
		for _, b := range []string{"loaf", "rolls", "slow"} {
			s.sent("/guide/bread", url.Values{"bread": {b}, "pieces": {"2"}, "date": {"2026-11-28"}, "at": {"12:00"}, "zone": {"UTC"}})
		}
		breads, _ := s.store.Breads(t.Context())
		if len(breads) != 3 {
			t.Errorf("%d breads", len(breads))
		}
		for _, b := range breads {
			if p := s.page("/breads/" + b.ID); len(p.Class("problem")) > 0 {
				t.Errorf("%s in %v: %s", b.Name, v, p.Text(p.Class("problem")[0]))
			}
		}
	}
}

// Zones are taken over from the newest day.
func TestGuideZone(t *testing.T) {
	t.Parallel()
	s := empty(t)
	for date, zone := range map[string]string{"2020-01-04": "Europe/Oslo", "2026-12-05": "Europe/Dublin"} {
		if _, err := s.store.CreateDay(t.Context(), record.Day{Name: "One", Date: date, Zone: zone}); err != nil {
			t.Fatal(err)
		}
	}
	if zone := s.page("/guide").Form("/guide").Get("zone"); zone != "Europe/Dublin" {
		t.Errorf("the guide takes %s", zone)
	}
}

// Bad answers: what is wrong, where, how to mend it; what was typed stays.
func TestGuideBadInput(t *testing.T) {
	t.Parallel()
	s := example(t)
	for _, c := range []struct{ at, field, typed, want string }{
		{"/guide", "day_celsius", "", "A kitchen is not at 0 °C; give 5 to 45"},
		{"/guide", "day_celsius", "warm", "“warm” is not a number; write it like 62.5."},
		{"/guide", "night_celsius", "70", "A kitchen is not at 70 °C at night; give -5 to 45."},
		{"/guide", "trays", "0", "An oven does not take 0 trays; give 1 to 100."},
		{"/guide", "max_celsius", "500", "No bread oven is at its hottest at 500 °C; give 150 to 400."},
		{"/guide", "heat_minutes", "1", "An oven is not hot in 1 minutes; give 5 to 300."},
		{"/guide", "most_grams", "2", "2 g is no dough to knead at once"},
		{"/guide", "name", "", "Nobody is at work; give a name, such as Me."},
		{"/guide", "from", "7 am", "“7 am” is not a time of day; write it as 06:30."},
		{"/guide", "to", "07:00", "Work begins and ends at 07:00"},
		{"/guide", "helper", "Me", "Two people of one name"},
		{"/guide", "helper", "Leo", "This is empty; give a time like 06:30."},
		{"/guide/bread", "pieces", "0", "0 pieces cannot be baked; give 1 to 10000."},
		{"/guide/bread", "date", "soon", "“soon” is not a date; write it as 2026-11-28."},
		{"/guide/bread", "at", "25:00", "“25:00” is not a time of day; write it as 06:30."},
		{"/guide/bread", "zone", "Mars", "“Mars” is not a time zone; write one as Europe/Dublin."},
		{"/guide/bread", "bread", "cake", "No bread is chosen; choose one."},
	} {
		v := s.page(c.at).Form(c.at)
		v.Set(c.field, c.typed)
		p := s.refused(c.at, v)
		if got := strings.ReplaceAll(p.Text(p.Class("problem")[0]), "\u00a0", " "); !strings.Contains(got, c.want) {
			t.Errorf("%s %q says %q, want %q", c.field, c.typed, got, c.want)
		}
		if got := p.Form(c.at).Get(c.field); got != c.typed && c.field != "bread" {
			t.Errorf("%s: typed %q, now %q", c.field, c.typed, got)
		}
		if p.ID(c.field) == nil {
			t.Errorf("%s: the link leads nowhere", c.field)
		}
	}
	v := s.page("/guide/bread").Form("/guide/bread")
	v.Set("pieces", "many")
	p := s.refused("/guide/bread", v)
	if got, want := p.Text(p.Class("problem")[0]), "There is a problem “many” is not a whole number; write it like 24."; strings.Join(strings.Fields(got), " ") != want {
		t.Errorf("it says %q, want %q", got, want)
	}
	if d, _ := s.store.Days(t.Context()); len(d) != 1 {
		t.Errorf("something was kept: %+v", d)
	}
	if w := s.post("/guide", url.Values{}); w.Code != 422 {
		t.Errorf("nothing at all: %d %s", w.Code, webtest.Parse(t, w.Body).Text(nil))
	}
}

// The first bread, sent again, is one bread on one day; changed it begins another
// day, of the same bread while that is as it was.
func TestFirstBreadTwice(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/guide").Form("/guide")
	v.Set("example", "clear")
	form := s.sent("/guide", v).Form("/guide/bread")
	before := s.countDays()
	var to [3]string
	for i := range to {
		w := s.post("/guide/bread", form)
		to[i], _, _ = strings.Cut(w.Header().Get("Location"), "?")
		s.restart()
	}
	breads, err := s.store.Breads(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if to[0] == "" || to[1] != to[0] || to[2] != to[0] || s.countDays() != before+1 || len(breads) != 1 {
		t.Errorf("led to %q; %d days and %d breads, want one more than %d and one", to, s.countDays(), len(breads), before)
	}
	form.Set("pieces", "4")
	s.sent("/guide/bread", form)
	breads[0].Loss++
	if err := s.store.SaveBread(t.Context(), breads[0]); err != nil {
		t.Fatal(err)
	}
	form.Set("pieces", "6")
	s.sent("/guide/bread", form)
	if breads, err = s.store.Breads(t.Context()); err != nil || s.countDays() != before+3 || len(breads) != 2 {
		t.Errorf("%d days and %d breads, want three more than %d and two: the one of the baker's own stays as it is", s.countDays(), len(breads), before)
	}
}
