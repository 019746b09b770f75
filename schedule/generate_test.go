package schedule_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// randomDay invents a day that passes Validate: a kitchen of one or two ovens
// and one to three people, up to six breads of several kinds, promises 6 to 40
// hours ahead. The same seed gives the same day.
func randomDay(tb testing.TB, seed uint64) *schedule.Day {
	tb.Helper()
	return randomDayOf(tb, seed, 0)
}

// randomDayOf is randomDay with so many orders; 0 leaves that to chance.
func randomDayOf(tb testing.TB, seed uint64, orders int) *schedule.Day {
	tb.Helper()
	g := inventor{Rand: rand.New(rand.NewPCG(seed, 7))}
	g.day = &schedule.Day{
		Format: schedule.DayFormat, Name: fmt.Sprintf("Invented day %d", seed), Zone: "Europe/Dublin",
		Now: schedule.Wall(fmt.Sprintf("2026-%02d-%02dT%02d:%02d", 1+g.IntN(12), 1+g.IntN(28), 4+g.IntN(18), g.IntN(60))),
	}
	g.kitchen()
	g.breads()
	if orders == 0 {
		orders = len(g.day.Breads) + g.IntN(3)
	}
	g.orders(tb, orders)
	if err := g.day.Validate().Err(); err != nil {
		tb.Fatalf("seed %d is no valid day: %v", seed, err)
	}
	return g.day
}

// inventor makes up a day.
type inventor struct {
	*rand.Rand
	day *schedule.Day
}

func (g *inventor) chance(p float64) bool { return g.Float64() < p }

func (g *inventor) between(a, b float64) float64 { return a + (b-a)*g.Float64() }

func (g *inventor) minutes(a, b int) unit.Minutes { return unit.Minutes(a + g.IntN(b-a+1)) }

func (g *inventor) kitchen() {
	k := &g.day.Kitchen
	*k = schedule.Kitchen{Tub: unit.Grams(1000 * (2 + g.IntN(6))), Flour: 19, Tap: 11}
	night := g.between(16, 24)
	k.Places = []schedule.Place{
		{Name: "Bench", Kind: schedule.Room, Curve: []schedule.Reading{
			{At: 5 * 60, Celsius: unit.Celsius(night)}, {At: 14 * 60, Celsius: unit.Celsius(night + g.between(0, 4))}, {At: 21 * 60, Celsius: unit.Celsius(night + g.between(0, 2))}}},
		{Name: "Prover", Kind: schedule.Warm, Spaces: 4 + g.IntN(8), Curve: []schedule.Reading{{Celsius: unit.Celsius(g.between(26, 34))}}},
		{Name: "Fridge", Kind: schedule.Cold, Spaces: 3 + g.IntN(6), Curve: []schedule.Reading{{Celsius: unit.Celsius(g.between(2, 6))}}},
	}
	for i := range g.IntN(3) {
		k.Mixers = append(k.Mixers, schedule.Mixer{Name: fmt.Sprintf("Mixer %d", i+1), Least: unit.Grams(300 + g.IntN(600)), Most: unit.Grams(4000 + 1000*g.IntN(8))})
	}
	for i := range 1 + g.IntN(2) {
		k.Ovens = append(k.Ovens, schedule.Oven{
			Name: fmt.Sprintf("Oven %d", i+1), Decks: 1 + g.IntN(3), TraysPerDeck: 1 + g.IntN(2), Max: 260,
			Heat: unit.Kelvins(g.between(3, 12)), Cool: unit.Kelvins(g.between(1.5, 4)),
		})
	}
	k.Tins = []schedule.Tin{{Name: "Pan", Count: 4 + g.IntN(8), Litres: 1.6}}
	hours := [][]schedule.Hours{
		{{From: 4 * 60, To: 13 * 60}, {From: 17 * 60, To: 20 * 60}},
		{{From: 6 * 60, To: 22 * 60}},
		{{From: 21 * 60, To: 7 * 60}}, // over midnight
		{{From: 0, To: 24 * 60}},
	}
	for i, name := range []string{"Ana", "Ben", "Cleo"}[:1+g.IntN(3)] {
		b := schedule.Baker{Name: name, Hours: hours[g.IntN(len(hours))]}
		if i > 0 && g.chance(0.4) {
			b.Cannot = []schedule.StageKind{schedule.Shape, schedule.Mix}
		}
		k.Bakers = append(k.Bakers, b)
	}
}

// partly adds the ingredients of a preferment or soaker to a formula.
func partly(f dough.Formula, part string, pairs ...any) dough.Formula {
	own := formula(pairs...)
	for i := range own.Ingredients {
		own.Ingredients[i].Part = part
	}
	f.Ingredients = append(own.Ingredients, f.Ingredients...)
	return f
}

func (g *inventor) breads() {
	kinds := []func(i int){g.lean, g.pan, g.rolls, g.poolish, g.soaker, g.base}
	g.Shuffle(len(kinds), func(i, j int) { kinds[i], kinds[j] = kinds[j], kinds[i] })
	for i, kind := range kinds[:1+g.IntN(4)] {
		kind(i)
	}
	g.day.Breads = g.day.Breads[:min(6, len(g.day.Breads))]
}

func (g *inventor) add(b schedule.Bread) { g.day.Breads = append(g.day.Breads, b) }

// mix is the mix of a dough, by machine where there is one.
func (g *inventor) mix() schedule.Stage {
	machine := len(g.day.Kitchen.Mixers) > 0 && g.chance(0.8)
	return schedule.Stage{Kind: schedule.Mix, Minutes: g.minutes(8, 15), Dough: unit.Celsius(g.between(24, 27)), Machine: machine, Alone: machine && g.chance(0.5)}
}

func resting(least, most unit.Minutes) schedule.Stage {
	return schedule.Stage{Kind: schedule.Rest, Least: least, Most: most}
}

func risen(kind schedule.StageKind, word schedule.TargetWord, place string) schedule.Stage {
	return schedule.Stage{Kind: kind, Until: schedule.Target{Word: word}, Place: place}
}

func working(kind schedule.StageKind, minutes unit.Minutes, perPiece float64) schedule.Stage {
	return schedule.Stage{Kind: kind, Minutes: minutes, PerPiece: perPiece}
}

func baking(steps ...schedule.BakeStep) schedule.Stage {
	return schedule.Stage{Kind: schedule.Bake, Steps: steps}
}

func heated(t unit.Celsius, m unit.Minutes) schedule.BakeStep {
	return schedule.BakeStep{Celsius: t, Minutes: m}
}

func cooling(least unit.Minutes) schedule.Stage {
	return schedule.Stage{Kind: schedule.Cool, Least: least, Most: 600}
}

// proof is a final proof on the bench or in the prover, one of a few with the
// fridge as a choice.
func (g *inventor) proof(word schedule.TargetWord) schedule.Stage {
	s := risen(schedule.Proof, word, []string{"", "Prover"}[g.IntN(2)])
	if g.chance(0.2) {
		s.Chill = &schedule.Chill{Place: "Fridge", Least: 360, Most: 16 * 60}
	}
	return s
}

// lean is a hearth loaf, folded on the way; one of a few may rise overnight in
// the fridge.
func (g *inventor) lean(i int) {
	bulk := risen(schedule.Rise, schedule.HalfMore, "")
	bulk.Folds = [][]float64{nil, {0.5}, {0.35, 0.7}}[g.IntN(3)]
	if g.chance(0.3) {
		bulk.Chill = &schedule.Chill{Place: "Fridge", Least: 240, Most: 18 * 60}
	}
	g.add(schedule.Bread{
		ID: fmt.Sprintf("lean-%d", i), Name: fmt.Sprintf("Hearth loaf %d", i), Piece: unit.Grams(500 + g.IntN(500)), PerTray: 3, Loss: 15,
		Formula: formula("bread-flour", 100, "water", g.between(62, 72), "salt", 2, "instant-yeast", g.between(0.3, 0.8)),
		Method: []schedule.Stage{
			g.mix(), bulk, working(schedule.Divide, 1, 15), working(schedule.Round, 0, 20), resting(12, 35), working(schedule.Shape, 1, 40),
			g.proof(schedule.ThreeQuarters), working(schedule.Score, 2, 0), baking(heated(240, 15), heated(220, 22)), cooling(60),
		},
	})
}

// pan is a tin loaf with a knock-back and a second rise.
func (g *inventor) pan(i int) {
	g.add(schedule.Bread{
		ID: fmt.Sprintf("pan-%d", i), Name: fmt.Sprintf("Pan loaf %d", i), Piece: 800, PerTray: 4, Tin: "Pan", Loss: 10,
		Formula: formula("bread-flour", 100, "milk", 60, "butter", g.between(3, 12), "sugar", g.between(2, 10), "salt", 1.8, "instant-yeast", g.between(0.7, 1.4)),
		Method: []schedule.Stage{
			g.mix(), risen(schedule.Rise, schedule.Doubled, []string{"", "Prover"}[g.IntN(2)]), working(schedule.KnockBack, 3, 0), risen(schedule.Rise, schedule.Doubled, ""),
			working(schedule.Divide, 1, 15), resting(10, 25), working(schedule.Shape, 1, 40), g.proof(schedule.TinFull),
			baking(heated(200, g.minutes(28, 36))), cooling(60),
		},
	})
}

// rolls are small, and brushed when cool.
func (g *inventor) rolls(i int) {
	g.add(schedule.Bread{
		ID: fmt.Sprintf("roll-%d", i), Name: fmt.Sprintf("Roll %d", i), Piece: 75, PerTray: 12, Loss: 12,
		Formula: formula("bread-flour", 100, "water", 58, "butter", 6, "sugar", 5, "salt", 1.8, "fresh-yeast", g.between(2, 3.5)),
		Method: []schedule.Stage{
			g.mix(), risen(schedule.Rise, schedule.Doubled, ""), working(schedule.Divide, 1, 8), resting(8, 25), working(schedule.Shape, 1, 10),
			g.proof(schedule.ThreeQuarters), baking(heated(200, 16)), cooling(20), working(schedule.Finish, 3, 0),
		},
	})
}

// poolish is raised overnight by its preferment.
func (g *inventor) poolish(i int) {
	g.add(schedule.Bread{
		ID: fmt.Sprintf("poolish-%d", i), Name: fmt.Sprintf("Poolish loaf %d", i), Piece: 700, PerTray: 3, Loss: 16,
		Formula: partly(formula("bread-flour", 70, "water", 36, "salt", 2, "instant-yeast", 0.4),
			"poolish", "bread-flour", 30, "water", 30, "instant-yeast", 0.05),
		Method: []schedule.Stage{
			{Kind: schedule.Mix, Part: "poolish", Minutes: 5, Dough: 22},
			{Kind: schedule.Rise, Part: "poolish", Until: schedule.Target{Word: schedule.Ripe}},
			g.mix(), risen(schedule.Rise, schedule.HalfMore, ""), working(schedule.Divide, 1, 15), resting(15, 35), working(schedule.Shape, 1, 40),
			g.proof(schedule.ThreeQuarters), baking(heated(235, 38)), cooling(60),
		},
	})
}

// soaker has grain soaked for hours, and an autolyse.
func (g *inventor) soaker(i int) {
	g.add(schedule.Bread{
		ID: fmt.Sprintf("grain-%d", i), Name: fmt.Sprintf("Grain loaf %d", i), Piece: 850, PerTray: 4, Tin: "Pan", Loss: 11,
		Formula: partly(formula("bread-flour", 70, "whole-wheat-flour", 30, "water", 58, "salt", 2, "active-dry-yeast", g.between(0.8, 1.5)),
			"soaker", "rolled-oats", 15, "water", 20),
		Method: []schedule.Stage{
			{Kind: schedule.Prepare, Part: "soaker", Minutes: 5},
			{Kind: schedule.Rest, Part: "soaker", Place: "Fridge", Least: 120, Most: 20 * 60},
			working(schedule.Mix, 4, 0), resting(20, 60), g.mix(),
			risen(schedule.Rise, schedule.Doubled, ""), working(schedule.Divide, 1, 15), working(schedule.Shape, 1, 40),
			g.proof(schedule.TinFull), baking(heated(210, 40)), cooling(90),
		},
	})
}

// base is a dough parted into two or three breads.
func (g *inventor) base(i int) {
	id := fmt.Sprintf("base-%d", i)
	bulk := risen(schedule.Rise, schedule.Doubled, "")
	if g.chance(0.3) {
		bulk.Chill = &schedule.Chill{Place: "Fridge", Least: 300, Most: 20 * 60}
	}
	g.day.Bases = append(g.day.Bases, schedule.Base{
		ID: id, Name: "Milk dough",
		Formula: formula("bread-flour", 100, "milk", 52, "egg", 8, "butter", 8, "sugar", 8, "salt", 1.7, "instant-yeast", g.between(0.8, 1.4)),
		Method:  []schedule.Stage{g.mix(), bulk},
	})
	children := []schedule.Bread{
		{
			ID: id + "-loaf", Name: "Milk loaf", Piece: 780, PerTray: 4, Tin: "Pan",
			Method: []schedule.Stage{working(schedule.Divide, 1, 15), resting(10, 25), working(schedule.Shape, 1, 40), g.proof(schedule.TinFull), baking(heated(195, 33)), cooling(60)},
		}, {
			ID: id + "-bun", Name: "Milk bun", Piece: 70, PerTray: 12,
			Method: []schedule.Stage{working(schedule.Divide, 1, 10), resting(8, 25), working(schedule.Shape, 1, 10), g.proof(schedule.ThreeQuarters), working(schedule.Score, 3, 0), baking(heated(195, 15)), cooling(20)},
		}, {
			ID: id + "-fruit", Name: "Fruit bun", Piece: 80, PerTray: 12, Formula: formula("raisins", 18),
			Method: []schedule.Stage{working(schedule.KnockBack, 5, 0), resting(10, 25), working(schedule.Divide, 1, 10), working(schedule.Shape, 1, 12), g.proof(schedule.ThreeQuarters), baking(heated(205, 16)), cooling(20), working(schedule.Finish, 4, 0)},
		},
	}
	for _, b := range children[:2+g.IntN(2)] {
		b.Base, b.Loss = id, 11
		g.add(b)
	}
}

// orders promises every bread once, then any, on quarters of an hour.
func (g *inventor) orders(tb testing.TB, n int) {
	loc, err := g.day.Location()
	if err != nil {
		tb.Fatal(err)
	}
	now, err := g.day.Now.In(loc)
	if err != nil {
		tb.Fatal(err)
	}
	for i := range n {
		b := &g.day.Breads[i%len(g.day.Breads)]
		due := now.Add(time.Duration(g.between(6, 40)*4) * 15 * time.Minute).Truncate(15 * time.Minute)
		o := schedule.Order{Bread: b.ID, Pieces: 1 + g.IntN(2*b.PerTray), Weight: g.IntN(3)}
		if g.chance(0.5) {
			o.Out = schedule.WallOf(due)
		} else {
			o.Ready = schedule.WallOf(due)
		}
		g.day.Orders = append(g.day.Orders, o)
	}
}
