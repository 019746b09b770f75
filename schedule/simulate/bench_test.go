package simulate_test

import (
	"math"
	"testing"

	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// lean is the dough of the published tables the model was checked with.
func lean(yeast unit.Percent) *simulate.Dough {
	return &simulate.Dough{Recipe: rise.Recipe{Yeast: yeast, Salt: 1.8, Water: 62, DoughPerFlour: 1.65}}
}

// kitchen is two days of a room that swings between night and afternoon.
func kitchen(minutes int) *simulate.Air {
	a := &simulate.Air{H: heat.StillCovered}
	for m := range minutes {
		a.Temps = append(a.Temps, 21-3*math.Cos(2*math.Pi*float64(m-240)/1440))
	}
	return a
}

func mustStart(tb testing.TB, d *simulate.Dough, minute float64, b heat.Body, t unit.Celsius) simulate.State {
	tb.Helper()
	s, err := simulate.Start(d, minute, b, t)
	if err != nil {
		tb.Fatal(err)
	}
	return s
}

func BenchmarkDay(b *testing.B) {
	room, fridge := kitchen(2880), simulate.Steady(4, heat.FridgeStatic)
	start := mustStart(b, lean(1), 360, heat.Ball(1000), 26)
	b.ReportAllocs()
	for b.Loop() {
		s := start
		s.Wait(room, 120)
		s.Handle(rise.KnockBack)
		s.Wait(fridge, 14*60)
		s.Handle(rise.Shape)
		s.Wait(room, 8*60)
	}
}

func BenchmarkStart(b *testing.B) {
	d := lean(1)
	b.ReportAllocs()
	for b.Loop() {
		mustStart(b, d, 360, heat.Ball(1000), 26)
	}
}

func BenchmarkWindow(b *testing.B) {
	room := kitchen(2880)
	start := mustStart(b, lean(2), 360, heat.Ball(1000), 26)
	t := simulate.Target{Target: rise.Target{Expansion: rise.DoubledByEye}}
	b.ReportAllocs()
	for b.Loop() {
		start.Window(room, t, 2880)
	}
}

// BenchmarkTables is a planner's need: twelve doughs, three rises each, begun
// at any minute of 36 hours.
func BenchmarkTables(b *testing.B) {
	room := kitchen(2160)
	b.ReportAllocs()
	for b.Loop() {
		for i := range 12 {
			s := mustStart(b, lean(unit.Percent(1+float64(i)*0.25)), 0, heat.Ball(unit.Grams(500+250*i)), 25)
			for _, t := range []rise.Target{{Expansion: 2.25}, {Expansion: 2.25}, {Expansion: 1.75, Stage: rise.FreeStanding}} {
				simulate.Table(s, room, simulate.Target{Target: t}, 2160)
				s.Wait(room, 90)
				s.Handle(rise.KnockBack)
			}
		}
	}
}

// BenchmarkTableAlong is one rise in the fridge after half an hour in the room.
func BenchmarkTableAlong(b *testing.B) {
	room, fridge := kitchen(2160), simulate.Steady(4, heat.FridgeStatic)
	s := mustStart(b, lean(1), 0, heat.Ball(1000), 25)
	b.ReportAllocs()
	for b.Loop() {
		target := simulate.Target{Target: rise.Target{Expansion: 2.25}}.Cautious()
		simulate.TableAlong(s, []simulate.Leg{{Air: room, Minutes: 30}, {Air: fridge}}, target, 2160)
	}
}
