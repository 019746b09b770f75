package store_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/store"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

// An invented bakery, small enough to read.
const dublin = "Europe/Dublin"

func sampleKitchen() schedule.Kitchen {
	return schedule.Kitchen{
		Places: []schedule.Place{
			{Name: "bench", Kind: schedule.Room, Curve: []schedule.Reading{{At: 0, Celsius: 18.5}, {At: 720, Celsius: 22}}},
			{Name: "fridge", Kind: schedule.Cold, Air: schedule.Fan, Curve: []schedule.Reading{{At: 0, Celsius: 4}}, Spaces: 6},
		},
		Ovens:  []schedule.Oven{{Name: "deck", Decks: 2, TraysPerDeck: 2, Max: 280, Heat: 6, Cool: 1.5, Holds: []schedule.Held{{Of: "long", Deck: 2, Count: 1}, {Count: 3}}}},
		Trays:  []schedule.Tray{{Name: "long"}},
		Bakers: []schedule.Baker{{Name: "Orla", Hours: []schedule.Hours{{From: 240, To: 780}}, Cannot: []schedule.StageKind{schedule.Fold}}},
		Tub:    8000, Flour: 19, Tap: 11.5,
	}
}

func sampleBase() schedule.Base {
	return schedule.Base{ID: "sweet", Name: "Sweet dough", Formula: formula(), Method: []schedule.Stage{{Kind: schedule.Mix, Minutes: 12, Machine: true}}}
}

func sampleBread(id, base string) schedule.Bread {
	return schedule.Bread{
		ID: id, Name: "Bread " + id, Base: base, Formula: formula(), Piece: 85, PerTray: 12, Loss: 11.5,
		Method: []schedule.Stage{
			{Kind: schedule.Proof, Until: schedule.Target{Word: schedule.ThreeQuarters}, Chill: &schedule.Chill{Place: "fridge", Least: 480, Most: 900}},
			{Kind: schedule.Bake, Steps: []schedule.BakeStep{{Celsius: 210, Minutes: 14, Steam: true}}},
		},
	}
}

func formula() dough.Formula {
	return dough.Formula{Ingredients: []dough.Ingredient{{Food: "bread-flour", Percent: 100}, {Food: "water", Percent: 62.5}}}
}

// sampleDay needs bun, on the base sweet, and loaf.
func sampleDay() schedule.Day {
	return schedule.Day{
		Format: schedule.DayFormat, Name: "Market", Zone: dublin, Now: "2026-11-27T18:00",
		Settings: schedule.Settings{Seed: 1 << 63, Slack: 10},
		Kitchen:  sampleKitchen(),
		Bases:    []schedule.Base{sampleBase()},
		Breads:   []schedule.Bread{sampleBread("bun", "sweet"), sampleBread("loaf", "")},
		Orders: []schedule.Order{
			{Bread: "bun", Pieces: 24, Ready: "2026-11-28T09:30", For: "stall", Weight: 2},
			{Bread: "loaf", Pieces: 6, Out: "2026-11-28T08:00"},
		},
	}
}

// clock gives an instant of the sample day in its zone.
func clock(t testing.TB, hhmm string) time.Time {
	t.Helper()
	loc, err := time.LoadLocation(dublin)
	if err != nil {
		t.Fatal(err)
	}
	at, err := time.ParseInLocation("2006-01-02 15:04", "2026-11-28 "+hhmm, loc)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// samplePlan shapes one bun dough and bakes it.
func samplePlan(t testing.TB) schedule.Plan {
	tooFar, ready := clock(t, "07:40"), clock(t, "07:05")
	return schedule.Plan{
		Format: schedule.PlanFormat, Day: "Market", Zone: dublin, Made: clock(t, "05:00"),
		Tasks: []schedule.Task{
			{ID: "A.1", Kind: schedule.Shape, Name: "Bun", Start: clock(t, "06:00"), End: clock(t, "06:20"), Hands: []schedule.Hands{{Baker: "Orla", From: clock(t, "06:00"), To: clock(t, "06:20")}}},
			{ID: "A.2", Kind: schedule.Bake, Name: "Bun", Start: clock(t, "07:10"), End: clock(t, "07:24"), TooFar: &tooFar,
				Window: &schedule.Window{Ready: ready, TooFar: tooFar}, Why: &schedule.Reason{Code: schedule.ByReady, At: &ready}},
		},
		Outcome: schedule.Outcome{Kept: true, Broken: []schedule.Violation{}, WorkStart: clock(t, "06:00"), WorkEnd: clock(t, "07:24")},
	}
}

// sampleAlerts calls for shaping, loading and unloading.
func sampleAlerts(t testing.TB) []schedule.Alert {
	return []schedule.Alert{
		{Task: "A.1", Kind: schedule.CallStart, Class: schedule.Due, Due: clock(t, "06:00"), Baker: "Orla"},
		{Task: "A.2", Kind: schedule.CallStart, Class: schedule.Due, Due: clock(t, "07:10"), TooFar: clock(t, "07:40"), Baker: "Orla"},
		{Task: "A.2", Kind: schedule.CallUnload, Class: schedule.NowOrLost, Due: clock(t, "07:24"), TooFar: clock(t, "07:29"), Baker: "Orla"},
	}
}

// planned imports the sample day and plans it.
func planned(t testing.TB, s *store.Store) (day int64) {
	t.Helper()
	day = must(s.ImportDay(t.Context(), sampleDay()))(t)
	savePlan(t, s, day, sampleAlerts(t), clock(t, "05:00"))
	return day
}

func savePlan(t testing.TB, s *store.Store, day int64, alerts []schedule.Alert, now time.Time) int {
	t.Helper()
	return must(s.SavePlan(t.Context(), day, sampleDay(), samplePlan(t), alerts, now))(t)
}

// states gives the state of every call of a day as "task kind state reason".
func states(t testing.TB, s *store.Store, day int64) []string {
	t.Helper()
	var out []string
	for _, a := range must(s.Alerts(t.Context(), day))(t) {
		line := a.Task + " " + string(a.Kind) + " " + string(a.State)
		if a.State == record.Suppressed {
			line += " " + string(a.Reason)
		}
		out = append(out, line)
	}
	return out
}

func must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// random gives any value of T that can be written down: finite numbers, whole
// milliseconds, times of day that exist.
func random[T any](r *rand.Rand) (v T) {
	storetest.Fill(r, &v)
	return v
}

// recordOf is a day of its own for one bread.
func recordOf(bread string) record.Day {
	return record.Day{Zone: dublin, Orders: []schedule.Order{{Bread: bread, Pieces: 4, Out: "2026-12-05T08:00"}}}
}
