package web_test

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/web/webtest"
)

// deckForm is the form of the kitchen with a size of tray, and what the upper deck
// takes of it, added by the buttons for that and filled in.
func deckForm(s *site, of, deck, count string) url.Values {
	s.t.Helper()
	v := s.page("/kitchen").Form("/kitchen")
	for _, list := range []string{"trays", "ovens[0].holds"} {
		v.Set("do", "add "+list)
		v = webtest.Parse(s.t, s.post("/kitchen", v).Body).Form("/kitchen")
	}
	v.Set("usual_trays", "9")
	v.Set("trays[0].name", "Long tray")
	v.Set("trays[0].count", "3")
	v.Set("ovens[0].holds[0].of", of)
	v.Set("ovens[0].holds[0].deck", deck)
	v.Set("ovens[0].holds[0].count", count)
	return v
}

// What a deck takes of a tin is entered on the kitchen page, kept, shown again,
// and the next plan says what goes on which deck.
func TestDecksOnThePages(t *testing.T) {
	t.Parallel()
	s := example(t)
	before, _ := s.store.Kitchen(t.Context())
	if before.ByDeck() {
		t.Fatal("the example tells decks apart already")
	}
	v := deckForm(s, "Large tin", "2", "5")
	s.sent("/kitchen", v)
	want := before
	want.UsualTrays, want.Trays = 9, []schedule.Tray{{Name: "Long tray", Count: 3}}
	want.Ovens = []schedule.Oven{before.Ovens[0]}
	want.Ovens[0].Holds = []schedule.Held{{Of: "Large tin", Deck: 2, Count: 5}}
	after, err := s.store.Kitchen(t.Context())
	if diff := cmp.Diff(want, after); diff != "" || err != nil {
		t.Error(diff, err)
	}
	again := s.page("/kitchen").Form("/kitchen")
	for _, name := range []string{"usual_trays", "trays[0].name", "trays[0].count", "ovens[0].holds[0].of", "ovens[0].holds[0].deck", "ovens[0].holds[0].count"} {
		if again.Get(name) != v.Get(name) {
			t.Errorf("%s is shown as %q, was typed %q", name, again.Get(name), v.Get(name))
		}
	}
	bread := s.page("/breads/pan-loaf").Form("/breads/pan-loaf")
	bread.Set("tray", "Long tray")
	s.sent("/breads/pan-loaf", bread)
	if b, err := s.store.Bread(t.Context(), "pan-loaf"); err != nil || b.Tray != "Long tray" {
		t.Errorf("the bread is on %q, %v", b.Tray, err)
	}
	s.sent("/days/1/plan", s.page("/days/1/plan").Form("/days/1/plan"))
	loads := s.page("/days/1/sheet").Class("sheet")
	text := strings.ReplaceAll(s.page("/days/1/sheet").Text(loads[1]), "\u00a0", " ")
	for _, want := range []string{"Deck oven; deck 2: 4 × Large tin", "Deck oven; deck 1: 2 trays"} {
		if !strings.Contains(text, want) {
			t.Errorf("the loads do not say %q: %s", want, text)
		}
	}
	unfolded := strings.ReplaceAll(s.get("/days/1/calendar.ics").Body.String(), "\r\n ", "") // RFC 5545, 3.1
	if want := "\r\nLOCATION:Deck oven\\; deck 2: 4 × Large tin\r\n"; !strings.Contains(unfolded, want) {
		t.Errorf("the calendar does not say %q", want)
	}
	if csv := s.get("/days/1/day.csv").Body.String(); !strings.Contains(csv, ",deck 2: 4 × Large tin\r\n") {
		t.Error("the table does not say what lies on deck 2")
	}
}

// What cannot be said of a deck is refused at its field, and stays as typed.
func TestDecksRefused(t *testing.T) {
	t.Parallel()
	s := example(t)
	for _, row := range []struct{ of, deck, count, field, want string }{
		{"Large tin", "", "0", "count", "A deck does not take 0 of Large tin; give how many fit on the deck when nothing else is on it"},
		{"Large tin", "", "", "count", "A deck does not take 0 of Large tin; give how many"},
		{"Large tin", "1", "-4", "count", "A deck does not take -4 of Large tin; give how many"},
		{"", "1", "0", "count", "A deck does not take 0 of the usual tray; give how many usual trays fit on the deck, 1 or more."},
		{"Large tin", "1", "some", "count", "“some” is not a whole number; write it like 24."},
		{"Ring mould", "1", "4", "of", "There is no tin or tray called \"Ring mould\"; choose Large tin or Long tray."},
		{"Large tin", "7", "4", "deck", "Deck oven has no deck 7; give a deck from 1 to 2"},
	} {
		v := deckForm(s, row.of, row.deck, row.count)
		p := s.refused("/kitchen", v)
		field := "ovens[0].holds[0]." + row.field
		if got := strings.ReplaceAll(p.Text(p.Class("problem")[0]), "\u00a0", " "); !strings.Contains(got, row.want) {
			t.Errorf("%+v says %q", row, got)
		}
		if in := p.ID(field); in == nil || webtest.Attr(in, "aria-invalid") != "true" {
			t.Errorf("%+v: the field is not marked", row)
		}
		if got := p.Form("/kitchen").Get(field); got != v.Get(field) {
			t.Errorf("%s: typed %q, now %q", field, v.Get(field), got)
		}
	}
}

// A tin and a place that are called otherwise take the breads that name them
// along; what decks take follows, too, and the page says beforehand who will.
func TestRenamedInTheKitchen(t *testing.T) {
	t.Parallel()
	s := example(t)
	before, _ := s.store.Bread(t.Context(), "pan-loaf")
	v := deckForm(s, before.Tin, "2", "5")
	tin, cold := "", ""
	for i := range 9 {
		if row := fmt.Sprintf("tins[%d].name", i); v.Get(row) == before.Tin {
			tin = row
		}
		if row := fmt.Sprintf("places[%d].name", i); v.Get(row) == "Fridge" {
			cold = row
		}
	}
	text := strings.Join(strings.Fields(s.page("/kitchen").Text(nil)), " ")
	for _, want := range []string{"1 bread uses it, and follows a new name", "bread or dough uses it, and follows a new name"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	v.Set(tin, " Old tin ")
	v.Set(cold, "Walk-in")
	v.Set("do", "add mixers") // a button on the way forgets nothing
	v = webtest.Parse(t, s.post("/kitchen", v).Body).Form("/kitchen")
	v.Set("do", "del mixers 1")
	v = webtest.Parse(t, s.post("/kitchen", v).Body).Form("/kitchen")
	v.Set(tin, "Older tin") // nor does another name on the way
	v.Set("do", "add mixers")
	v = webtest.Parse(t, s.post("/kitchen", v).Body).Form("/kitchen")
	v.Set("do", "del mixers 1")
	v = webtest.Parse(t, s.post("/kitchen", v).Body).Form("/kitchen")
	v.Set(tin, "Oldest tin")
	v.Del("do")
	if said := s.sent("/kitchen", v).Text(nil); !strings.Contains(said, "Breads and doughs follow the new names.") {
		t.Error("it is not said that breads follow")
	}
	want := before
	want.Tin = "Oldest tin"
	after, err := s.store.Bread(t.Context(), "pan-loaf")
	if diff := cmp.Diff(want, after); diff != "" || err != nil {
		t.Error(diff, err)
	}
	if k, _ := s.store.Kitchen(t.Context()); k.Ovens[0].Holds[0].Of != "Oldest tin" {
		t.Errorf("the deck takes %v", k.Ovens[0].Holds)
	}
	if b, _ := s.store.Bread(t.Context(), "potato-loaf"); !slices.ContainsFunc(b.Method, func(x schedule.Stage) bool { return x.Place == "Walk-in" }) {
		t.Error("the mash still cools in the fridge")
	}
}
