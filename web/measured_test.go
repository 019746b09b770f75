package web_test

import (
	"math"
	"net/http"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/web/webtest"
)

// An oven that was timed and a tin that was measured are typed as they were seen.
// By hand: from 20 to 230 °C in 35 minutes are 6 °C a minute, from 230 to 180 in 25
// are 2; 30 × 11 × 10 cm are 3.3 l; 998.2 g of water are a litre at 20 °C (from
// memory), so 1696.94 g are 1.7 l. What is no measurement is refused and stays.
func TestMeasuredKitchen(t *testing.T) {
	t.Parallel()
	s := example(t)
	for _, x := range []struct {
		heats, cools, tin string
		heat, cool, holds float64
	}{
		{"20 to 230 in 35 min", "230 to 180 °C in 25 minutes", "30 x 11 x 10 cm", 6, 2, 3.3},
		{"20–230 °C, 35", "230-180/25", "1696,94 g water", 6, 2, 1.7},
		{"6,5", "2.25", "1.7 l", 6.5, 2.25, 1.7},
		{"20 to 230 in 35", "2", "1.69694 kg of water", 6, 2, 1.7},
	} {
		v := s.page("/kitchen").Form("/kitchen")
		v.Set("ovens[0].heats_per_minute", x.heats)
		v.Set("ovens[0].cools_per_minute", x.cools)
		v.Set("tins[0].litres", x.tin)
		if w := s.post("/kitchen", v); w.Code != http.StatusSeeOther {
			t.Fatalf("%+v: %d %s", x, w.Code, plainly(webtest.Parse(t, w.Body)))
		}
		k, err := s.store.Kitchen(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		o := k.Ovens[0]
		if math.Abs(float64(o.Heat)-x.heat) > 1e-3 || math.Abs(float64(o.Cool)-x.cool) > 1e-3 || math.Abs(float64(k.Tins[0].Litres)-x.holds) > 1e-3 {
			t.Errorf("%+v: %v, %v, %v", x, o.Heat, o.Cool, k.Tins[0].Litres)
		}
	}
	for field, bad := range map[string]string{"ovens[0].heats_per_minute": "20 to 230", "ovens[0].cools_per_minute": "230 to 180 in 0", "tins[0].litres": "30 x 11 cm"} {
		v := s.page("/kitchen").Form("/kitchen")
		v.Set(field, bad)
		w := s.post("/kitchen", v)
		if p := webtest.Parse(t, w.Body); w.Code != http.StatusUnprocessableEntity || p.Form("/kitchen").Get(field) != bad {
			t.Errorf("%s %q: %d", field, bad, w.Code)
		}
	}
}

// Who works on some days only is kept so, and shown so.
func TestHoursOnSomeDays(t *testing.T) {
	t.Parallel()
	s := example(t)
	v := s.page("/kitchen").Form("/kitchen")
	v["bakers[1].hours[0].days"] = []string{"sat", "sun"}
	if w := s.post("/kitchen", v); w.Code != http.StatusSeeOther {
		t.Fatalf("%d %s", w.Code, plainly(webtest.Parse(t, w.Body)))
	}
	k, err := s.store.Kitchen(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if got := k.Bakers[1].Hours[0].Days; got != schedule.On(time.Saturday, time.Sunday) {
		t.Errorf("kept as %q", got)
	}
	if got := k.Bakers[0].Hours[0].Days; got != 0 {
		t.Errorf("the other has %q", got)
	}
	back := s.page("/kitchen").Form("/kitchen")
	if got := back["bakers[1].hours[0].days"]; len(got) != 2 || got[0] != "sat" || got[1] != "sun" {
		t.Errorf("shown as %q", got)
	}
	v["bakers[1].hours[0].days"] = []string{"someday"}
	if w := s.post("/kitchen", v); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("a day that is none: %d", w.Code)
	}
}
