package schedule_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// dayOf reads one of the repository's days.
func dayOf(tb testing.TB, name string) *schedule.Day {
	tb.Helper()
	data, err := os.ReadFile(filepath.Join("..", "testdata", "day", name+".json"))
	if err != nil {
		tb.Fatal(err)
	}
	d, err := dayfile.DecodeDay(name, data)
	if err != nil {
		tb.Fatal(err)
	}
	return d
}

// steady is a place of one temperature.
func steady(name string, kind schedule.PlaceKind, t unit.Celsius) schedule.Place {
	return schedule.Place{Name: name, Kind: kind, Curve: []schedule.Reading{{Celsius: t}}}
}

// whiteLoaf is a lean tin loaf with the room as its only place.
func whiteLoaf() schedule.Bread {
	return schedule.Bread{
		ID: "loaf", Name: "Loaf", Piece: 800, PerTray: 4, Tin: "Pan", Loss: 10,
		Formula: formula("bread-flour", 100, "water", 62, "salt", 1.8, "instant-yeast", 0.8),
		Method: []schedule.Stage{
			{Kind: schedule.Mix, Minutes: 10, Dough: 25}, risen(schedule.Rise, schedule.Doubled, ""),
			working(schedule.Divide, 2, 0), resting(10, 25), working(schedule.Shape, 4, 0),
			risen(schedule.Proof, schedule.TinFull, ""), baking(heated(210, 35)), cooling(60),
		},
	}
}

// loafDay is a kitchen of two people around the clock, one oven of two trays,
// and an order of four loaves.
func loafDay(room unit.Celsius) *schedule.Day {
	round := []schedule.Hours{{From: 0, To: 24 * 60}}
	return &schedule.Day{
		Format: schedule.DayFormat, Name: "Loaves", Zone: "UTC", Now: "2026-11-27T12:00",
		Kitchen: schedule.Kitchen{
			Places: []schedule.Place{steady("Bench", schedule.Room, room), steady("Fridge", schedule.Cold, 4)},
			Ovens:  []schedule.Oven{{Name: "Oven", Decks: 1, TraysPerDeck: 2, Max: 260, Heat: 5, Cool: 2}},
			Bakers: []schedule.Baker{{Name: "Ana", Hours: round}, {Name: "Ben", Hours: round}},
			Tins:   []schedule.Tin{{Name: "Pan", Count: 8, Litres: 1.7}},
			Tub:    8000, Flour: 20, Tap: 10,
		},
		Breads: []schedule.Bread{whiteLoaf()},
		Orders: []schedule.Order{{Bread: "loaf", Pieces: 4, Out: "2026-11-28T10:00"}},
	}
}

// find is the task of a batch or portion and kind.
func find(tb testing.TB, p *schedule.Plan, kind schedule.StageKind) schedule.Task {
	tb.Helper()
	i := slices.IndexFunc(p.Tasks, func(t schedule.Task) bool { return t.Kind == kind })
	if i < 0 {
		tb.Fatalf("the plan has no %s", kind)
	}
	return p.Tasks[i]
}

func kept(tb testing.TB, d *schedule.Day) schedule.Plan {
	tb.Helper()
	p := planned(tb, d)
	if !p.Outcome.Kept {
		tb.Fatalf("%s: not kept: late %v, broken %v", d.Name, p.Outcome.LateTotal, p.Outcome.Broken)
	}
	return p
}

// A dough in a cool kitchen begins earlier than in a warm one, by what the model
// says when it follows the dough by itself.
func TestCoolKitchenBeginsEarlier(t *testing.T) {
	t.Parallel()
	follows := func(room unit.Celsius) float64 {
		tin := simulate.Piece{Grams: 800, Form: simulate.Tin, Length: 18.95, Width: 9.47} // 1.7 l, twice as long as wide and high
		r, err := simulate.Follow(simulate.History{
			Dough:   simulate.Formula{Yeast: 0.8, Kind: rise.Instant, Salt: 1.8, Water: 62},
			Celsius: 25, Piece: simulate.Piece{Grams: 3200, Form: simulate.Tub, Diameter: 19},
			Steps: []simulate.Step{
				{Celsius: room, Until: rise.DoubledByEye, Then: rise.Divide, Piece: &simulate.Piece{Grams: 800}},
				{Celsius: room, Minutes: 12, Then: rise.Shape, Piece: &tin},
				{Celsius: room, Minutes: 4},
				{Celsius: room, Until: rise.DoubledByEye, Target: &simulate.Goal{Expansion: rise.DoubledByEye, Stage: rise.InTin}},
			},
		})
		if err != nil {
			t.Fatal(err)
		}
		return r.Minutes
	}
	begins := func(room unit.Celsius) time.Time {
		p := kept(t, loafDay(room))
		return find(t, &p, schedule.Mix).Start
	}
	got := begins(26).Sub(begins(20)).Minutes()
	want := follows(20) - follows(26)
	t.Logf("20 °C begins %.0f min before 26 °C; the model alone says %.0f", got, want)
	if got < 15 || math.Abs(got-want) > 5 {
		t.Errorf("20 °C begins %.0f min before 26 °C, want %.0f within 5", got, want)
	}
}

// With the final proof in the fridge overnight the mix is the evening before.
func TestColdProofMovesMixToTheEvening(t *testing.T) {
	t.Parallel()
	d := loafDay(21)
	p := kept(t, d)
	warm := find(t, &p, schedule.Mix)
	if warm.Start.Day() != 28 {
		t.Errorf("without the fridge it is mixed at %v, want the morning of the 28th", warm.Start)
	}
	chill := &schedule.Chill{Place: "Fridge", Least: 8 * 60, Most: 16 * 60, Always: true}
	d.Breads[0].Method[5].Chill = chill
	p = kept(t, d)
	if cold := find(t, &p, schedule.Mix); cold.Start.Day() != 27 || cold.Start.Hour() < 16 {
		t.Errorf("with the proof in the fridge it is mixed at %v, want the evening of the 27th", cold.Start)
	}
	proof := find(t, &p, schedule.Proof)
	if !proof.Chilled || proof.Place != "Fridge" || proof.End.Sub(proof.Start) < 8*time.Hour {
		t.Errorf("the proof is %+v, want a night in the fridge", proof)
	}
	// Where it is only allowed, it is chosen when nobody is there early enough.
	d = loafDay(21)
	d.Orders[0].Out = "2026-11-28T09:00"
	d.Breads[0].Formula.Ingredients[3].Percent = 0.4 // else too far before the morning
	free := *chill
	free.Always = false
	d.Breads[0].Method[5].Chill = &free
	for i := range d.Kitchen.Bakers {
		d.Kitchen.Bakers[i].Hours = []schedule.Hours{{From: 7 * 60, To: 21 * 60}}
	}
	p = kept(t, d)
	if proof := find(t, &p, schedule.Proof); !proof.Chilled {
		t.Errorf("nobody is there before 07:00, and still the proof is %+v", proof)
	}
}

// second adds a bread baked at another temperature, for the same time.
func second(d *schedule.Day, t unit.Celsius) {
	b := whiteLoaf()
	b.ID, b.Name = "other", "Other loaf"
	b.Method[6] = baking(heated(t, 35))
	d.Breads = append(d.Breads, b)
	d.Orders = append(d.Orders, schedule.Order{Bread: "other", Pieces: 4, Out: d.Orders[0].Out})
}

// Loads of two temperatures are apart by what the oven takes: its difference
// over its rate, 5 K a minute up and 2 K a minute down.
func TestLoadsOfTwoTemperatures(t *testing.T) {
	t.Parallel()
	for _, other := range []unit.Celsius{180, 195, 240} {
		d := loafDay(22)
		d.Orders[0].Out = "2026-11-28T10:00"
		second(d, other)
		p := kept(t, d)
		if len(p.Loads) != 2 {
			t.Fatalf("%v: %d loads, want 2", other, len(p.Loads))
		}
		a, b := p.Loads[0], p.Loads[1]
		rate := 5.0
		if b.Celsius < a.Celsius {
			rate = 2
		}
		least := math.Ceil(math.Abs(float64(b.Celsius-a.Celsius)) / rate)
		if gap := b.Start.Sub(a.End).Minutes(); gap < least {
			t.Errorf("%v then %v: %v min between, the oven takes %v", a.Celsius, b.Celsius, gap, least)
		}
	}
}

// Loads of one temperature may be in the oven together.
func TestLoadsOfOneTemperatureOverlap(t *testing.T) {
	t.Parallel()
	d := loafDay(22)
	second(d, 210)
	p := kept(t, d)
	var bakes []schedule.Task
	for _, task := range p.Tasks {
		if task.Kind == schedule.Bake {
			bakes = append(bakes, task)
		}
	}
	if len(bakes) != 2 || !bakes[1].Start.Before(bakes[0].End) {
		t.Errorf("two bakes of one heat are not in the oven together: %+v", bakes)
	}
}

// One base dough for three breads is mixed once.
func TestBaseIsMixedOnce(t *testing.T) {
	t.Parallel()
	p := kept(t, dayOf(t, "three-breads-one-dough"))
	mixes := 0
	for _, task := range p.Tasks {
		if task.Kind == schedule.Mix {
			mixes++
		}
	}
	if mixes != 1 || len(p.Batches) != 1 || len(p.Batches[0].Portions) != 3 {
		t.Errorf("%d mixes of %+v, want one for three breads", mixes, p.Batches)
	}
}

// Orders too large for the mixer, the oven or the tins are split.
func TestLargeOrdersAreSplit(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name           string
		change         func(*schedule.Day)
		pieces         int
		batches, loads int // at least
	}{
		{"mixer of 4 kg", func(d *schedule.Day) {
			d.Kitchen.Mixers = []schedule.Mixer{{Name: "Mixer", Least: 500, Most: 4000}}
			d.Breads[0].Method[0].Machine = true
		}, 8, 2, 1},
		{"oven of one tray of four", func(d *schedule.Day) { d.Kitchen.Ovens[0].TraysPerDeck = 1 }, 8, 1, 2},
		{"four tins", func(d *schedule.Day) { d.Kitchen.Tins[0].Count = 4 }, 12, 3, 3},
		{"by hand", func(*schedule.Day) {}, 16, 2, 2},
	} {
		d := loafDay(22)
		d.Orders[0].Pieces = row.pieces
		row.change(d)
		p := planned(t, d)
		if len(p.Outcome.Broken) > 0 {
			t.Errorf("%s: broken: %v", row.name, p.Outcome.Broken)
		}
		if len(p.Batches) < row.batches || len(p.Loads) < row.loads {
			t.Errorf("%s: %d batches and %d loads, want at least %d and %d", row.name, len(p.Batches), len(p.Loads), row.batches, row.loads)
		}
		wholeOrders(t, d, &p)
		for _, b := range p.Batches {
			if len(d.Kitchen.Mixers) > 0 && b.Mass > d.Kitchen.Mixers[0].Most {
				t.Errorf("%s: a mix of %v", row.name, b.Mass)
			}
		}
		for _, l := range p.Loads {
			if l.Trays > d.Kitchen.Ovens[0].Trays() {
				t.Errorf("%s: a load of %d trays", row.name, l.Trays)
			}
		}
	}
}

// A person away, or not able, is given no work.
func TestNoWorkForTheAbsent(t *testing.T) {
	t.Parallel()
	d := loafDay(22)
	d.Kitchen.Bakers[0].Away = []schedule.Span{{From: "2026-11-28T00:00", To: "2026-11-28T09:30"}}
	d.Kitchen.Bakers[1].Cannot = []schedule.StageKind{schedule.Shape}
	p := planned(t, d)
	back := time.Date(2026, 11, 28, 9, 30, 0, 0, time.UTC)
	gone := time.Date(2026, 11, 28, 0, 0, 0, 0, time.UTC)
	for _, task := range p.Tasks {
		for _, h := range task.Hands {
			if h.Baker == "Ana" && h.From.Before(back) && h.To.After(gone) {
				t.Errorf("Ana is away and does %s at %v", task.ID, h.From)
			}
			if h.Baker == "Ben" && task.Kind == schedule.Shape {
				t.Error("Ben cannot shape and does")
			}
		}
	}
	if len(p.Outcome.Broken) > 0 {
		t.Errorf("broken: %v", p.Outcome.Broken)
	}
}

// On nights with a change of clocks dough takes as long as on any other: the
// plan is that of a kitchen whose clocks do not change, between the same
// instants. British Summer Time ended at 01:00 UTC on 25 October 2026 and begins
// at 01:00 UTC on 28 March 2027 (Summer Time Order 2002: the last Sundays).
func TestClocksChange(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ now, out, utcNow, utcOut schedule.Wall }{
		{"2026-10-24T18:00", "2026-10-25T09:00", "2026-10-24T17:00", "2026-10-25T09:00"},
		{"2027-03-27T18:00", "2027-03-28T09:00", "2027-03-27T18:00", "2027-03-28T08:00"},
	} {
		d := loafDay(20)
		d.Breads[0].Method[5].Chill = &schedule.Chill{Place: "Fridge", Least: 300, Most: 720, Always: true}
		d.Now, d.Orders[0].Out = row.utcNow, row.utcOut
		steady := kept(t, d)
		d.Zone, d.Now, d.Orders[0].Out = "Europe/London", row.now, row.out
		changed := kept(t, d)
		span := func(p *schedule.Plan) (s []string) {
			for _, task := range p.Tasks {
				s = append(s, fmt.Sprint(task.ID, " ", task.Start.UTC(), " ", task.End.UTC()))
			}
			return s
		}
		if diff := cmp.Diff(span(&steady), span(&changed)); diff != "" {
			t.Errorf("%s: clocks that do not change (-) and that do (+):\n%s", row.now, diff)
		}
		// Hours are the clock's on the wall.
		for i := range d.Kitchen.Bakers {
			d.Kitchen.Bakers[i].Hours = []schedule.Hours{{From: 5 * 60, To: 21 * 60}}
		}
		p := kept(t, d)
		for _, task := range p.Tasks {
			for _, h := range task.Hands {
				if c := h.From.Format("15:04"); c < "05:00" || h.To.Format("15:04") > "21:00" {
					t.Errorf("%s at %s by the clock, work is from 05:00 to 21:00", task.ID, c)
				}
			}
		}
	}
}

// A rich dough with 2.5 % fresh yeast near 30 °C, as the trade knows it (common
// practice, no source): doubled first in 40 to 60 minutes or somewhat more,
// again in about an hour or less after knocking back, about an hour in the tin;
// baked 15 min at 220 °C and 25 at 190, which is one bake of two steps.
//
// The model's best moments here are 90, 52 and 49 min, ready a good quarter
// earlier: the first rise leaves the trade's band, and it is not bent to fit. It
// fails only beyond what the model claims of a rise it does not know, a factor
// of 1.5 off the band.
func TestRichDoughAsTheTradeKnowsIt(t *testing.T) {
	t.Parallel()
	d := loafDay(30)
	b := &d.Breads[0]
	b.Formula = formula("bread-flour", 100, "milk", 58, "egg", 5, "butter", 8, "sugar", 8, "salt", 1.5, "fresh-yeast", 2.5)
	b.Method = []schedule.Stage{
		{Kind: schedule.Mix, Minutes: 12, Dough: 29}, risen(schedule.Rise, schedule.Doubled, ""),
		working(schedule.KnockBack, 2, 0), risen(schedule.Rise, schedule.Doubled, ""),
		working(schedule.Divide, 2, 0), working(schedule.Shape, 4, 0),
		risen(schedule.Proof, schedule.TinFull, ""), baking(heated(220, 15), heated(190, 25)), cooling(60),
	}
	p := kept(t, d)
	var rises []schedule.Task
	for _, task := range p.Tasks {
		if task.Kind.Rises() {
			rises = append(rises, task)
		}
	}
	const off = 1.5
	for i, band := range []struct {
		name     string
		from, to float64
	}{{"first rise", 40, 75}, {"second rise", 25, 65}, {"in the tin", 40, 80}} {
		ready, best := rises[i].Window.Ready.Sub(rises[i].Start).Minutes(), rises[i].Window.Best.Sub(rises[i].Start).Minutes()
		t.Logf("%s: ready after %.0f, best after %.0f min; the trade: %v to %v", band.name, ready, best, band.from, band.to)
		if best < band.from/off || best > band.to*off {
			t.Errorf("%s: best after %.0f min, the trade says %v to %v", band.name, best, band.from, band.to)
		}
	}
	if bake := find(t, &p, schedule.Bake); bake.End.Sub(bake.Start) != 40*time.Minute || bake.Celsius != 220 || len(p.Loads) != 1 {
		t.Errorf("the bake is %+v in %d loads, want one of 40 min from 220 °C", bake, len(p.Loads))
	}
}

// Twenty people and four ovens are planned like two people and one: alike,
// each with hours and abilities of their own, and where nobody is there in time.
func TestManyHands(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name  string
		hours func(i int) schedule.Hours
		kept  bool
	}{
		{"all alike", func(int) schedule.Hours { return schedule.Hours{From: 4 * 60, To: 14 * 60} }, true},
		{"all different", func(i int) schedule.Hours {
			return schedule.Hours{From: schedule.Clock(4*60 + i), To: schedule.Clock(14*60 + i)}
		}, true},
		{"all too late", func(i int) schedule.Hours {
			return schedule.Hours{From: schedule.Clock(11*60 + i), To: schedule.Clock(15*60 + i)}
		}, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			d := loafDay(24)
			d.Now, d.Settings.Steps = "2026-11-28T03:00", 300
			d.Kitchen.Bakers = nil
			for i := range 20 {
				d.Kitchen.Bakers = append(d.Kitchen.Bakers, schedule.Baker{Name: fmt.Sprintf("Hand %d", i+1), Hours: []schedule.Hours{row.hours(i)}})
			}
			for i := range 3 {
				o := d.Kitchen.Ovens[0]
				o.Name = fmt.Sprintf("Oven %d", i+2)
				d.Kitchen.Ovens = append(d.Kitchen.Ovens, o)
			}
			flat := whiteLoaf()
			flat.ID, flat.Name, flat.Tin, flat.Piece = "flat", "Flatbread", "", 200
			flat.Method[5], flat.Method[6] = risen(schedule.Proof, schedule.HalfMore, ""), baking(heated(250, 3))
			d.Breads = append(d.Breads, flat)
			d.Orders = []schedule.Order{{Bread: "loaf", Pieces: 8, Out: "2026-11-28T10:00"}, {Bread: "flat", Pieces: 8, Out: "2026-11-28T10:15"}}
			p := planned(t, d)
			agreesWithCheck(t, d, &p)
			wholeOrders(t, d, &p)
			if p.Outcome.Kept != row.kept {
				t.Errorf("kept: %v, want %v; late %v, broken %v", p.Outcome.Kept, row.kept, p.Outcome.LateTotal, p.Outcome.Broken)
			}
			for _, v := range p.Outcome.Broken {
				if v.Code != schedule.OffHours {
					t.Errorf("broken: %v", v)
				}
			}
		})
	}
}
