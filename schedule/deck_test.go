package schedule_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ovenward/schedule"
)

// The shares of a deck are common practice, no source: what six tins fill, one
// fills to a sixth.

// What a deck takes: the usual tray goes everywhere, a tin or tray that is named
// only where it is.
func TestTakes(t *testing.T) {
	t.Parallel()
	o := schedule.Oven{Decks: 3, TraysPerDeck: 2, Holds: []schedule.Held{
		{Of: "Pan", Deck: 2, Count: 4}, {Of: "Pan", Count: 6}, {Of: "Tall", Deck: 3, Count: 5}, {Deck: 1, Count: 1},
	}}
	for of, want := range map[string][]int{"": {1, 2, 2}, "Pan": {6, 4, 6}, "Tall": {0, 0, 5}, "Other": {0, 0, 0}} {
		if diff := cmp.Diff(want, o.Takes(of)); diff != "" {
			t.Errorf("%q: %s", of, diff)
		}
	}
	k := schedule.Kitchen{Ovens: []schedule.Oven{{Decks: 1, TraysPerDeck: 1}, o}}
	type stands struct {
		Of   string
		Each int
	}
	for _, row := range []struct {
		bread schedule.Bread
		want  stands
	}{
		{schedule.Bread{PerTray: 4}, stands{"", 4}},
		{schedule.Bread{PerTray: 4, Tin: "Pan"}, stands{"Pan", 1}},
		{schedule.Bread{PerTray: 4, Tin: "Small"}, stands{"", 4}},
		{schedule.Bread{PerTray: 5, Tray: "Tall"}, stands{"Tall", 5}},
		{schedule.Bread{PerTray: 5, Tin: "Small", Tray: "Tall"}, stands{"Tall", 5}},
	} {
		var got stands
		got.Of, got.Each = k.Stands(&row.bread)
		if got != row.want {
			t.Errorf("%+v: %+v, want %+v", row.bread, got, row.want)
		}
	}
}

// deckDay is loafDay with an oven whose lower deck takes six pans or two trays,
// and its upper one four pans or two trays.
func deckDay(pieces int) *schedule.Day {
	d := loafDay(22)
	d.Kitchen.Tins[0].Count = 40
	d.Kitchen.Ovens[0].Decks = 2
	d.Kitchen.Ovens[0].Holds = []schedule.Held{{Of: "Pan", Deck: 1, Count: 6}, {Of: "Pan", Deck: 2, Count: 4}}
	d.Orders[0].Pieces = pieces
	return d
}

// rollsToo adds rolls on trays, baked at the heat of the loaves, out when they are.
func rollsToo(d *schedule.Day, pieces int) {
	b := whiteLoaf()
	b.ID, b.Name, b.Piece, b.PerTray, b.Tin = "roll", "Roll", 70, 12, ""
	b.Method = slices.Clone(b.Method)
	b.Method[5] = risen(schedule.Proof, schedule.ThreeQuarters, "")
	b.Method[6] = baking(heated(210, 20))
	d.Breads = append(d.Breads, b)
	d.Orders = append(d.Orders, schedule.Order{Bread: "roll", Pieces: pieces, Out: d.Orders[0].Out})
}

// decksOf is what every bake has on the decks, in order of the words.
func decksOf(p *schedule.Plan) (out []string) {
	for _, k := range p.Tasks {
		if k.Kind == schedule.Bake {
			out = append(out, fmt.Sprint(k.Decks))
		}
	}
	slices.Sort(out)
	return out
}

func TestDeckByDeck(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name   string
		pieces int
		change func(*schedule.Day)
		want   []string
		loads  int
	}{
		{"both decks full of pans", 10, func(*schedule.Day) {}, []string{"[{1 Pan 6} {2 Pan 4}]"}, 1},
		{"one pan more is another load", 11, func(*schedule.Day) {}, []string{"[{1 Pan 5}]", "[{1 Pan 6}]"}, 2},
		{"half a deck of pans and half of a tray", 3, func(d *schedule.Day) {
			d.Kitchen.Ovens[0].Decks, d.Kitchen.Ovens[0].Holds = 1, d.Kitchen.Ovens[0].Holds[:1]
			rollsToo(d, 12)
		}, []string{"[{1  1}]", "[{1 Pan 3}]"}, 1},
		{"four pans leave no room for a tray", 4, func(d *schedule.Day) {
			d.Kitchen.Ovens[0].Decks, d.Kitchen.Ovens[0].Holds = 1, d.Kitchen.Ovens[0].Holds[:1]
			rollsToo(d, 12)
		}, []string{"[{1  1}]", "[{1 Pan 4}]"}, 2},
		{"rolls on a tray that the upper deck alone takes", 6, func(d *schedule.Day) {
			d.Kitchen.Trays = []schedule.Tray{{Name: "Long tray"}}
			rollsToo(d, 24)
			d.Breads[1].Tray = "Long tray"
			d.Kitchen.Ovens[0].Holds = append(d.Kitchen.Ovens[0].Holds, schedule.Held{Of: "Long tray", Deck: 2, Count: 2})
		}, []string{"[{1 Pan 6}]", "[{2 Long tray 2}]"}, 1},
		{"a tin that no deck names stands on trays", 7, func(d *schedule.Day) {
			d.Kitchen.Tins = append(d.Kitchen.Tins, schedule.Tin{Name: "Small", Count: 20, Litres: 1})
			d.Breads[0].Tin = "Small"
		}, []string{"[{1  2}]"}, 1},
	} {
		d := deckDay(row.pieces)
		row.change(d)
		if err := d.Validate().Err(); err != nil {
			t.Fatalf("%s: %v", row.name, err)
		}
		p := planned(t, d)
		agreesWithCheck(t, d, &p)
		if diff := cmp.Diff(row.want, decksOf(&p)); diff != "" || len(p.Loads) != row.loads || len(p.Outcome.Broken) > 0 {
			t.Errorf("%s: %d loads, want %d, broken %v; %s", row.name, len(p.Loads), row.loads, p.Outcome.Broken, diff)
		}
	}
}

// What Check says of a plan whose decks are filled otherwise.
func TestCheckDecks(t *testing.T) {
	t.Parallel()
	day := deckDay(6)
	rollsToo(day, 24)
	plan := planned(t, day)
	if got := decksOf(&plan); !slices.Equal(got, []string{"[{1 Pan 6}]", "[{2  2}]"}) {
		t.Fatalf("the plan to be spoilt has %v", got)
	}
	loaf := func(p *schedule.Plan) *schedule.Task {
		i := slices.IndexFunc(p.Tasks, func(k schedule.Task) bool { return k.Kind == schedule.Bake && k.Decks[0].Of == "Pan" })
		return &p.Tasks[i]
	}
	type said struct {
		Code schedule.ViolationCode
		Of   string
		Deck int
		Over float64
	}
	for _, row := range []struct {
		name  string
		decks []schedule.OnDeck
		want  []said
	}{
		{"as planned", []schedule.OnDeck{{1, "Pan", 6}}, nil},
		{"seven on a deck for six", []schedule.OnDeck{{1, "Pan", 7}}, []said{{schedule.OvenFull, "Oven", 1, 1. / 6}, {schedule.BadTask, "Oven", 0, 0}}},
		{"one on the deck that is full of trays", []schedule.OnDeck{{1, "Pan", 5}, {2, "Pan", 1}}, []said{{schedule.OvenFull, "Oven", 2, 1. / 4}}},
		{"one forgotten", []schedule.OnDeck{{1, "Pan", 5}}, []said{{schedule.BadTask, "Oven", 0, 0}}},
		{"not said where", nil, []said{{schedule.BadTask, "Oven", 0, 0}}},
		{"on a deck there is not", []schedule.OnDeck{{3, "Pan", 6}}, []said{{schedule.BadTask, "Oven", 0, 0}}},
		{"on trays", []schedule.OnDeck{{1, "", 2}}, []said{{schedule.BadTask, "Oven", 0, 0}}},
		{"none of it", []schedule.OnDeck{{1, "Pan", 6}, {2, "Pan", 0}}, []said{{schedule.BadTask, "Oven", 0, 0}}},
	} {
		p := plan
		p.Tasks = slices.Clone(plan.Tasks)
		loaf(&p).Decks = row.decks
		var got []said
		for _, v := range schedule.Check(day, &p) {
			got = append(got, said{v.Code, v.Of, v.Deck, v.Over})
		}
		if diff := cmp.Diff(row.want, got, cmpopts.EquateApprox(0, 1e-12)); diff != "" {
			t.Errorf("%s: %s", row.name, diff)
		}
	}
}

// manyDecks gives a random day tins and trays of several kinds, and decks that
// take some of them, not all; nil where that leaves a bread without a deck.
func manyDecks(tb testing.TB, seed uint64) *schedule.Day {
	tb.Helper()
	d := randomDay(tb, seed)
	r := rand.New(rand.NewPCG(seed, 23))
	k := &d.Kitchen
	k.Tins = append(k.Tins, schedule.Tin{Name: "Small tin", Count: 3 + r.IntN(12), Litres: 0.9})
	k.Trays = []schedule.Tray{{Name: "Long tray"}, {Name: "Ring plate"}}
	for i := range d.Breads {
		b := &d.Breads[i]
		if b.Tin != "" && r.IntN(2) == 0 {
			b.Tin = "Small tin"
		}
		if r.IntN(2) == 0 {
			b.Tray = k.Trays[r.IntN(2)].Name
		}
		b.PerTray = 1 + r.IntN(b.PerTray)
	}
	for i := range k.Ovens {
		o := &k.Ovens[i]
		for _, of := range []string{"", "Pan", "Small tin", "Long tray", "Ring plate"} {
			for _, deck := range r.Perm(o.Decks + 1)[:r.IntN(o.Decks+1)] {
				o.Holds = append(o.Holds, schedule.Held{Of: of, Deck: deck, Count: 1 + r.IntN(7)})
			}
		}
	}
	if d.Validate() != nil || !k.ByDeck() {
		return nil
	}
	return d
}

// wholeItems counts minute by minute what is on every deck, in integers, and every
// tin and tray of every bake.
func wholeItems(t *testing.T, d *schedule.Day, p *schedule.Plan) {
	t.Helper()
	const whole = 2 * 2 * 3 * 5 * 7 // a deck: its takers are up to 7
	on := map[string]int{}
	pieces := map[string]int{}
	for _, b := range p.Batches {
		for _, q := range b.Portions {
			pieces[q.ID] = q.Pieces
		}
	}
	for _, k := range p.Tasks {
		if k.Kind != schedule.Bake {
			continue
		}
		i := slices.IndexFunc(d.Kitchen.Ovens, func(o schedule.Oven) bool { return o.Name == k.Oven })
		b, _ := d.Bread(portionOf(p, k.Portion).Bread)
		of, each := d.Kitchen.Stands(b)
		carried := 0
		for _, x := range k.Decks {
			carried += x.Items * each
			takes := d.Kitchen.Ovens[i].Takes(of)[x.Deck-1]
			if x.Of != of || takes == 0 {
				t.Errorf("%s: %q on deck %d of %s", k.ID, x.Of, x.Deck, k.Oven)
				continue
			}
			for m := k.Start; m.Before(k.End); m = m.Add(time.Minute) {
				key := fmt.Sprintf("deck %d of %s at %s", x.Deck, k.Oven, m.Format("02 15:04 -07"))
				if on[key] += x.Items * whole / takes; on[key] > whole {
					t.Errorf("%s is filled to %d of %d", key, on[key], whole)
				}
			}
		}
		if n := pieces[k.Portion]; carried < n || carried >= n+each {
			t.Errorf("%s: room for %d on the decks, for %d pieces at %d", k.ID, carried, n, each)
		}
	}
}

func portionOf(p *schedule.Plan, id string) schedule.Portion {
	for _, b := range p.Batches {
		for _, q := range b.Portions {
			if q.ID == id {
				return q
			}
		}
	}
	return schedule.Portion{}
}

// Whatever decks take of whatever tins and trays, plans hold them to it, at first
// and when the day slips.
func TestDecksProperties(t *testing.T) {
	t.Parallel()
	tried, seed := uint64(0), uint64(7000)
	for ; tried < invented(); seed++ {
		d := manyDecks(t, seed)
		if d == nil {
			continue
		}
		tried++
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			p := planned(t, d)
			agreesWithCheck(t, d, &p)
			wholeOrders(t, d, &p)
			wholeItems(t, d, &p)
			thereAndBack(t, &p)
			if len(p.Outcome.Broken) > 0 {
				return
			}
			r := rand.New(rand.NewPCG(seed, 5))
			now := p.Tasks[0].Start.Add(time.Duration(r.Int64N(int64(p.Tasks[len(p.Tasks)-1].End.Sub(p.Tasks[0].Start))))).Truncate(time.Minute)
			twice(t, r, d, p, now)
		})
	}
}

// What a baker reads who says of decks what cannot be.
func TestValidateDecks(t *testing.T) {
	t.Parallel()
	held := func(d *schedule.Day) *schedule.Held { return &d.Kitchen.Ovens[0].Holds[0] }
	for _, row := range []struct {
		name   string
		change func(*schedule.Day)
		want   string
	}{
		{"none", func(d *schedule.Day) { held(d).Count = 0 },
			"kitchen.ovens[0].holds[0].count: a deck does not take 0 of Pan; give how many fit on the deck when nothing else is on it; where none fit, take the line away and name the decks that take it"},
		{"fewer than none", func(d *schedule.Day) { held(d).Count = -3 },
			"kitchen.ovens[0].holds[0].count: a deck does not take -3 of Pan; give how many fit on the deck when nothing else is on it; where none fit, take the line away and name the decks that take it"},
		{"no usual tray", func(d *schedule.Day) { *held(d) = schedule.Held{Deck: 1} },
			"kitchen.ovens[0].holds[0].count: a deck does not take 0 of the usual tray; give how many usual trays fit on the deck, 1 or more"},
		{"too many", func(d *schedule.Day) { held(d).Count = 501 },
			"kitchen.ovens[0].holds[0].count: a deck does not take 501 of Pan; give how many fit on the deck when nothing else is on it; where none fit, take the line away and name the decks that take it"},
		{"unknown", func(d *schedule.Day) { held(d).Of = "Fan" },
			`kitchen.ovens[0].holds[0].of: there is no tin or tray called "Fan"; choose Pan or Long tray`},
		{"no such deck", func(d *schedule.Day) { held(d).Deck = 3 },
			"kitchen.ovens[0].holds[0].deck: Oven has no deck 3; give a deck from 1 to 2, or leave it out for every deck"},
		{"twice", func(d *schedule.Day) { d.Kitchen.Ovens[0].Holds[1].Deck = 1 },
			"kitchen.ovens[0].holds[1]: what a deck takes of Pan is said twice; keep one of the two lines"},
		{"a tray without a name", func(d *schedule.Day) { d.Kitchen.Trays[0].Name = "" },
			"kitchen.trays[0].name: this tray has no name; give it one of its own"},
		{"a tray named as a tin", func(d *schedule.Day) { d.Kitchen.Trays[0].Name = "pan" },
			`kitchen.trays[0].name: "pan" is the name of a tin already; give the tray another`},
		{"no such tray", func(d *schedule.Day) { d.Breads[0].Tray = "Round" },
			`breads[0].tray: there is no tray called "Round"; choose Long tray`},
		{"in an oven not hot enough", func(d *schedule.Day) {
			k := &d.Kitchen
			o := k.Ovens[0]
			o.Name, o.Holds = "Hot", nil
			k.Ovens[0].Max = 200
			k.Ovens = append(k.Ovens, o)
		}, `breads[0].tin: no oven that gets to 210 °C takes "Pan"; say in the kitchen what a deck of such an oven takes of it, or bake this bread in or on something else`},
		{"shares that do not add up", func(d *schedule.Day) {
			k := &d.Kitchen
			for i, n := range []int{499, 491, 487, 479, 467} {
				name := fmt.Sprintf("Tray %d", i)
				k.Trays = append(k.Trays, schedule.Tray{Name: name})
				k.Ovens[0].Holds = append(k.Ovens[0].Holds, schedule.Held{Of: name, Count: n})
				b := d.Breads[0]
				b.ID, b.Name, b.Tin, b.Tray = fmt.Sprintf("loaf-%d", i), name, "", name
				b.Method = slices.Clone(b.Method)
				b.Method[5] = risen(schedule.Proof, schedule.ThreeQuarters, "")
				d.Breads = append(d.Breads, b)
				d.Orders = append(d.Orders, schedule.Order{Bread: b.ID, Pieces: 1, Out: d.Orders[0].Out})
			}
		}, `kitchen.ovens[0].holds: the numbers that deck 1 of Oven takes of different tins and trays have too little in common to add their shares up; give rounder numbers, such as 6, 8 or 12
kitchen.ovens[0].holds: the numbers that deck 2 of Oven takes of different tins and trays have too little in common to add their shares up; give rounder numbers, such as 6, 8 or 12`},
	} {
		d := deckDay(4)
		d.Kitchen.Trays = []schedule.Tray{{Name: "Long tray"}}
		if err := d.Validate().Err(); err != nil {
			t.Fatal(err)
		}
		row.change(d)
		if diff := cmp.Diff(row.want, fmt.Sprint(d.Validate())); diff != "" {
			t.Errorf("%s: %s", row.name, diff)
		}
	}
}

// A kitchen whose decks are told apart, or not any more, while a load is in the
// oven: what comes is planned by what is said now.
func TestDecksSaidMeanwhile(t *testing.T) {
	t.Parallel()
	for _, later := range []bool{false, true} {
		plain, named := deckDay(11), deckDay(11)
		plain.Kitchen.Ovens[0].Holds = nil
		plain.Kitchen.Ovens[0].Decks = 1 // eight pans at once: two loads, too
		first, then := named, plain
		if later {
			first, then = plain, named
		}
		p := planned(t, first)
		if len(p.Loads) < 2 {
			t.Fatalf("%d loads", len(p.Loads))
		}
		now := p.Loads[0].Start.Add(10 * time.Minute)
		bake := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Bake && k.Start.Before(now) })
		log := []schedule.Slip{{ID: "x", Kind: schedule.NotYet, At: now, Task: bake.ID, Minutes: 30}}
		for _, c := range replan(t, then, &p, now, log...) {
			honest(t, then, &c, log, now)
			if len(c.Broken) > 0 {
				t.Errorf("later %v: %s breaks %v", later, c.Kind, c.Broken)
			}
			for _, k := range c.Plan.Tasks {
				if k.Kind == schedule.Bake && !k.Start.Before(now) && (len(k.Decks) > 0) != then.Kitchen.ByDeck() {
					t.Errorf("later %v: %s of %s lies on %v", later, k.ID, c.Kind, k.Decks)
				}
			}
		}
	}
}
