package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"ovenward/store/record"
)

// What is noted on three mornings changes the curve, when the baker says so.
func TestReadings(t *testing.T) {
	t.Parallel()
	s := coming(t)
	if p := s.page("/kitchen"); strings.Contains(p.Text(nil), "Forget what was read") {
		t.Error("there is nothing to forget")
	}
	for i, c := range []string{"23,4", "23.6", "23.5"} {
		s.now = time.Date(2026, 11, 24+i, 6, 10, 0, 0, time.UTC)
		if p := s.sent("/kitchen/readings", url.Values{"do": {"note"}, "key": {fmt.Sprint("k", i)}, "place": {"Bench"}, "celsius": {c}}); !strings.Contains(p.Text(nil), "Noted: Bench 23.") {
			t.Error(p.Text(nil))
		}
	}
	s.sent("/kitchen/readings", url.Values{"do": {"note"}, "key": {"k2"}, "place": {"Bench"}, "celsius": {"40"}}) // sent twice
	p := s.page("/kitchen")
	if text := p.Text(nil); !strings.Contains(text, "06:00 – 06:59") || !strings.Contains(text, "23.5 °C 23.4 – 23.6 °C 3") || !strings.Contains(text, "By what was read:") {
		t.Errorf("the page says %s", text)
	}
	before, _ := s.store.Kitchen(t.Context())
	p = s.sent("/kitchen/readings", url.Values{"do": {"take"}, "place": {"Bench"}})
	if !strings.Contains(p.Text(nil), "Bench is planned by what was read.") {
		t.Error(p.Text(nil))
	}
	after, _ := s.store.Kitchen(t.Context())
	bench, _ := after.Place("Bench")
	if got := bench.At(6*60 + 30); got < 23.4 || got > 23.6 {
		t.Errorf("at 06:30 the bench has %v", got)
	}
	if was, _ := before.Place("Fridge"); was.At(300) != mustPlace(t, s, "Fridge") {
		t.Error("another place has changed")
	}
	s.sent("/kitchen/readings", url.Values{"do": {"forget"}, "place": {"Bench"}})
	if all, _ := s.store.Readings(t.Context()); len(all) != 0 {
		t.Errorf("left: %v", all)
	}
}

func mustPlace(t *testing.T, s *site, name string) any {
	t.Helper()
	k, err := s.store.Kitchen(t.Context())
	p, ok := k.Place(name)
	if err != nil || !ok {
		t.Fatal(err, ok)
	}
	return p.At(300)
}

// What is said of a place at the bench is kept, once; of a rehearsal it is not.
func TestReadingOfTheBench(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		s    *site
		want int
	}{{coming(t), 1}, {example(t), 0}} {
		s := tt.s
		d, err := s.store.DayRecord(t.Context(), s.id)
		if err != nil {
			t.Fatal(err)
		}
		if tt.want > 0 {
			if err := s.store.KeepExample(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		form := url.Values{"do": {"place"}, "room.of": {"Bench"}, "room.celsius": {"23.5"}, "version": {fmt.Sprint(d.Version)}, "key": {"tap-1"}}
		for range 2 {
			if w := s.post("/days/1/slip", form); w.Code != http.StatusSeeOther {
				t.Fatalf("%d", w.Code)
			}
		}
		all, err := s.store.Readings(t.Context())
		if err != nil || len(all) != tt.want {
			t.Fatalf("%+v, %v", all, err)
		}
		if want := (record.Reading{ID: "tap-1", Place: "Bench", At: s.now, Minute: 16 * 60, Celsius: 23.5}); tt.want == 1 && all[0] != want {
			t.Errorf("%+v, want %+v", all[0], want)
		}
	}
}

func TestReadingsRefuse(t *testing.T) {
	t.Parallel()
	s := example(t)
	for c, want := range map[string]string{
		"": "No temperature is given", "warm": "“warm” is not a number", "1e3": "is not a number", "200": "“200” °C is no temperature", "-80": "give -40 to 70", "NaN": "is not a number",
		"<script>": "is not a number",
	} {
		p := s.refused("/kitchen/readings", url.Values{"do": {"note"}, "place": {"Fridge"}, "celsius": {c}})
		if !strings.Contains(p.Text(nil), want) || p.Form("/kitchen/readings").Get("celsius") != c {
			t.Errorf("%q: %s", c, p.Text(nil))
		}
	}
	for _, v := range []url.Values{{"do": {"note"}, "place": {"Attic"}, "celsius": {"20"}}, {"do": {"take"}, "place": {"Bench"}}, {"do": {"take"}, "place": {""}}} {
		if w := s.post("/kitchen/readings", v); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%v: %d", v, w.Code)
		}
	}
	if w := s.post("/kitchen/readings", url.Values{"do": {"burn"}, "place": {"Bench"}}); w.Code != http.StatusBadRequest {
		t.Errorf("no such thing to do: %d", w.Code)
	}
	if all, _ := s.store.Readings(t.Context()); len(all) != 0 {
		t.Errorf("kept: %v", all)
	}
}
