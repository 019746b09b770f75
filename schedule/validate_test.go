package schedule_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// quay is a day without a fault, with something of everything.
func quay() *schedule.Day {
	return &schedule.Day{
		Format: schedule.DayFormat, Name: "Quay", Zone: "Europe/Dublin", Now: "2026-11-27T15:00",
		Kitchen: schedule.Kitchen{
			Places: []schedule.Place{
				{Name: "Bench", Kind: schedule.Room, Curve: []schedule.Reading{{At: 6 * 60, Celsius: 19}, {At: 14 * 60, Celsius: 23}}},
				{Name: "Prover", Kind: schedule.Warm, Curve: []schedule.Reading{{Celsius: 29}}, Spaces: 6},
				{Name: "Fridge", Kind: schedule.Cold, Air: schedule.Fan, Curve: []schedule.Reading{{Celsius: 4}}, Spaces: 4},
			},
			Mixers: []schedule.Mixer{{Name: "Mixer", Least: 800, Most: 6000}},
			Ovens:  []schedule.Oven{{Name: "Oven", Decks: 2, TraysPerDeck: 2, Max: 280, Heat: 6, Cool: 2}},
			Bakers: []schedule.Baker{
				{Name: "Ana", Hours: []schedule.Hours{{From: 4 * 60, To: 12 * 60}, {From: 15 * 60, To: 19 * 60}},
					Away: []schedule.Span{{From: "2026-11-28T10:00", To: "2026-11-28T11:00"}}},
				{Name: "Bo", Hours: []schedule.Hours{{From: 7 * 60, To: 14 * 60}}, Cannot: []schedule.StageKind{schedule.Shape}},
			},
			Tins: []schedule.Tin{{Name: "Loaf tin", Count: 8, Litres: 1.6}},
			Tub:  6000, Flour: 18, Tap: 11,
		},
		Bases: []schedule.Base{{
			ID: "white", Name: "White dough",
			Formula: formula("bread-flour", 100, "water", 61, "salt", 1.8, "instant-yeast", 0.8),
			Method: []schedule.Stage{
				{Kind: schedule.Prepare, Minutes: 6},
				{Kind: schedule.Mix, Minutes: 11, Dough: 26, Machine: true, Alone: true},
				{Kind: schedule.Rise, Until: schedule.Target{Word: schedule.Doubled}},
			},
		}},
		Breads: []schedule.Bread{
			{
				ID: "pan-loaf", Name: "Pan loaf", Base: "white", Piece: 800, PerTray: 4, Tin: "Loaf tin", Loss: 11,
				Formula: formula("butter", 3),
				Method: []schedule.Stage{
					{Kind: schedule.Mix, Minutes: 3, Machine: true},
					{Kind: schedule.Divide, Minutes: 1, PerPiece: 20},
					{Kind: schedule.Rest, Least: 10, Most: 30},
					{Kind: schedule.Shape, PerPiece: 45},
					{Kind: schedule.Proof, Place: "Prover", Until: schedule.Target{Word: schedule.TinFull}},
					{Kind: schedule.Bake, Steps: []schedule.BakeStep{{Celsius: 210, Minutes: 32}}},
				},
			},
			{
				ID: "hearth-loaf", Name: "Hearth loaf", Piece: 900, PerTray: 2, Loss: 14,
				Formula: dough.Formula{Ingredients: []dough.Ingredient{
					{Food: "bread-flour", Percent: 30, Part: "poolish"}, {Food: "water", Percent: 30, Part: "poolish"},
					{Food: "instant-yeast", Percent: 0.05, Part: "poolish"},
					{Food: "bread-flour", Percent: 70}, {Food: "water", Percent: 38}, {Food: "salt", Percent: 1.9}, {Food: "instant-yeast", Percent: 0.3},
				}},
				Method: []schedule.Stage{
					{Kind: schedule.Mix, Part: "poolish", Minutes: 3, Dough: 22},
					{Kind: schedule.Rise, Part: "poolish", Until: schedule.Target{Word: schedule.Ripe}},
					{Kind: schedule.Mix, Minutes: 3},
					{Kind: schedule.Rest, Least: 20, Most: 40},
					{Kind: schedule.Mix, Minutes: 8, Dough: 24.5},
					{Kind: schedule.Rise, Until: schedule.Target{Expansion: 1.8}, Folds: []float64{0.3, 0.6}},
					{Kind: schedule.Divide, PerPiece: 20},
					{Kind: schedule.Round, PerPiece: 15},
					{Kind: schedule.Rest, Least: 15, Most: 40},
					{Kind: schedule.Shape, PerPiece: 40},
					{Kind: schedule.Proof, Until: schedule.Target{Word: schedule.ThreeQuarters}, Chill: &schedule.Chill{Place: "Fridge", Least: 480, Most: 1080}},
					{Kind: schedule.Score, PerPiece: 10},
					{Kind: schedule.Bake, Steps: []schedule.BakeStep{{Celsius: 250, Minutes: 12, Steam: true}, {Celsius: 220, Minutes: 26}}},
					{Kind: schedule.Cool, Least: 60, Most: 480},
					{Kind: schedule.Finish, Minutes: 4},
				},
			},
		},
		Orders: []schedule.Order{
			{Bread: "pan-loaf", Pieces: 8, Out: "2026-11-28T11:30"},
			{Bread: "hearth-loaf", Pieces: 4, Ready: "2026-11-28T12:30", For: "the market", Weight: 2},
		},
	}
}

// formula is foods with their percents.
func formula(pairs ...any) (f dough.Formula) {
	for i := 0; i < len(pairs); i += 2 {
		in := dough.Ingredient{Food: pairs[i].(string)}
		switch p := pairs[i+1].(type) {
		case int:
			in.Percent = unit.Percent(p)
		case float64:
			in.Percent = unit.Percent(p)
		}
		f.Ingredients = append(f.Ingredients, in)
	}
	return f
}

func TestValidDay(t *testing.T) {
	t.Parallel()
	if err := quay().Validate().Err(); err != nil {
		t.Error(err)
	}
}

// Every fault alone, in the very words a baker reads.
func TestFaults(t *testing.T) {
	t.Parallel()
	type day = schedule.Day
	pan := func(d *day) *schedule.Bread { return &d.Breads[0] }
	hearth := func(d *day) *schedule.Bread { return &d.Breads[1] }
	timed := func(d *day) *schedule.Stage { // folded at minutes
		s := &d.Breads[1].Method[5]
		s.Folds, s.FoldTimes = nil, []unit.Minutes{30, 60}
		return s
	}
	oven := func(d *day) *schedule.Oven { return &d.Kitchen.Ovens[0] }
	cut := func(m []schedule.Stage, i int) []schedule.Stage {
		return append(append([]schedule.Stage{}, m[:i]...), m[i+1:]...)
	}
	put := func(m []schedule.Stage, i int, s schedule.Stage) []schedule.Stage {
		return append(append(append([]schedule.Stage{}, m[:i]...), s), m[i:]...)
	}
	for _, row := range []struct {
		name string
		edit func(d *day)
		want string
	}{
		{"format", func(d *day) { d.Format = "ovenward-day/9" },
			`format: "ovenward-day/9" is not a day file this program reads; write ovenward-day/1`},
		{"no name", func(d *day) { d.Name = " " },
			"name: the day has no name; give it one, such as Saturday"},
		{"no zone", func(d *day) { d.Zone = "" },
			"zone: no time zone is given; give the IANA name of where the kitchen is, such as Europe/Dublin"},
		{"unknown zone", func(d *day) { d.Zone = "Europe/Quay" },
			`zone: there is no time zone "Europe/Quay"; give the IANA name of where the kitchen is, such as Europe/Dublin`},
		{"the machine's zone", func(d *day) { d.Zone = "Local" },
			`zone: there is no time zone "Local"; give the IANA name of where the kitchen is, such as Europe/Dublin`},
		{"no now", func(d *day) { d.Now = "" },
			"now: no date and time is given; write it as 2026-11-28T08:00"},
		{"now in words", func(d *day) { d.Now = "tomorrow" },
			`now: "tomorrow" is not a date and time; write it as 2026-11-28T08:00`},
		{"now twice", func(d *day) { d.Now = "2026-10-25T01:30"; d.Orders = d.Orders[:0:0] },
			`now: 2026-10-25T01:30 happens twice in Europe/Dublin, as clocks go back; say 2026-10-25T01:30+01:00 or 2026-10-25T01:30Z
orders: nothing is ordered; add an order: which bread, how many, out by when`},
		{"steps", func(d *day) { d.Settings.Steps = -1 },
			"settings.steps: a search of -1 steps cannot be; leave it out, or give 1 or more"},
		{"slack", func(d *day) { d.Settings.Slack = 600 },
			"settings.slack: dough cannot lie for 600 minutes between two works; leave it out for 15, or give 1 to 240"},
		{"no room", func(d *day) { d.Kitchen.Places[0].Kind = schedule.Warm },
			"kitchen.places: there is no room to work in; add a place of kind room, the bench, with its temperature over the day"},
		{"no ovens", func(d *day) { d.Kitchen.Ovens = nil },
			"kitchen.ovens: there is no oven; add the oven: decks, trays, how hot it gets and how fast"},
		{"nobody", func(d *day) { d.Kitchen.Bakers = nil },
			"kitchen.bakers: nobody is at work; add yourself, with the hours you are at work"},
		{"two places of a name", func(d *day) { d.Kitchen.Places[1].Name = "bench"; pan(d).Method[4].Place = "" },
			`kitchen.places[1].name: "bench" is the name of kitchen.places[0] already; give each a name of its own`},
		{"a place without a name", func(d *day) { d.Kitchen.Places[1].Name = ""; pan(d).Method[4].Place = "" },
			"kitchen.places[1].name: this place has no name; give it one of its own"},
		{"place kind", func(d *day) { d.Kitchen.Places[1].Kind = "hot" },
			`kitchen.places[1].kind: "hot" is no kind of place; choose room, warm or cold`},
		{"air", func(d *day) { d.Kitchen.Places[2].Air = "breeze" },
			`kitchen.places[2].air: "breeze" is no kind of air; choose still, covered, fridge, fan or humid, or leave it out`},
		{"spaces", func(d *day) { d.Kitchen.Places[2].Spaces = -1 },
			"kitchen.places[2].spaces: -1 trays or tubs cannot be; give how many it takes at once, or 0 for no limit"},
		{"no curve", func(d *day) { d.Kitchen.Places[2].Curve = nil },
			"kitchen.places[2].curve: no temperature is given; give at least one reading, such as 21 °C at 08:00"},
		{"curve out of order", func(d *day) { d.Kitchen.Places[0].Curve[1].At = 300 },
			"kitchen.places[0].curve[1].at: 05:00 does not come after the reading before it; put the readings in the order of the day, one for each time"},
		{"curve past midnight", func(d *day) { d.Kitchen.Places[0].Curve[1].At = 1500 },
			"kitchen.places[0].curve[1].at: minute 1500 is no time of day; give a time from 00:00 to 24:00"},
		{"curve too hot", func(d *day) { d.Kitchen.Places[1].Curve[0].Celsius = 85 },
			"kitchen.places[1].curve[0].celsius: 85 °C is no temperature for dough to stand at; give a temperature from -25 to 60 °C"},
		{"curve not a number", func(d *day) { d.Kitchen.Places[1].Curve[0].Celsius = unit.Celsius(math.NaN()) },
			"kitchen.places[1].curve[0].celsius: this is not a number; give a temperature from -25 to 60 °C"},
		{"mixer", func(d *day) { d.Kitchen.Mixers[0].Least = 7000 },
			"kitchen.mixers[0].least_grams: the least, 7 kg, is more than the most, 6 kg; give the smaller weight as the least"},
		{"mixer takes nothing", func(d *day) { d.Kitchen.Mixers[0].Most = 0 },
			"kitchen.mixers[0].most_grams: a mixer cannot take 0 g at most; give the most dough it kneads at once, 100 to 500000 g, such as 6000"},
		{"decks", func(d *day) { oven(d).Decks = 0 },
			"kitchen.ovens[0].decks: an oven does not have 0 decks; give 1 or more"},
		{"trays", func(d *day) { oven(d).TraysPerDeck = 0 },
			"kitchen.ovens[0].trays_per_deck: a deck does not take 0 trays; give 1 or more"},
		{"too hot an oven", func(d *day) { oven(d).Max = 900 },
			"kitchen.ovens[0].max_celsius: 900 °C is hotter than any bread oven; give the hottest the oven really gets, 230 to 350 °C"},
		{"too cold an oven", func(d *day) { oven(d).Max = 60 },
			"kitchen.ovens[0].max_celsius: 60 °C is not hot enough to bake; give the hottest the oven really gets, 230 to 350 °C"},
		{"endless oven", func(d *day) { oven(d).Max = unit.Celsius(math.Inf(1)) },
			"kitchen.ovens[0].max_celsius: this is not a number; give the hottest the oven really gets, 230 to 350 °C"},
		{"never hot", func(d *day) { oven(d).Heat = 0 },
			"kitchen.ovens[0].heats_per_minute: no oven heats by 0 °C a minute; time it once: from 20 to 230 °C in 35 minutes is 6 °C a minute"},
		{"never cold", func(d *day) { oven(d).Cool = -2 },
			"kitchen.ovens[0].cools_per_minute: no oven cools by -2 °C a minute; time it once: from 230 to 180 °C in 25 minutes is 2 °C a minute"},
		{"no hours", func(d *day) { d.Kitchen.Bakers[1].Hours = nil },
			"kitchen.bakers[1].hours: no working hours are given; give when this person is at work, such as 04:00 to 12:00"},
		{"no time at all", func(d *day) { d.Kitchen.Bakers[1].Hours[0].To = 7 * 60 },
			"kitchen.bakers[1].hours[0]: 07:00 to 07:00 is no time at all; say when the work begins and ends; around the clock is 00:00 to 24:00"},
		{"hours past midnight", func(d *day) { d.Kitchen.Bakers[1].Hours[0].To = 1500 },
			"kitchen.bakers[1].hours[0].to: minute 1500 is no time of day; give a time from 00:00 to 24:00"},
		{"back before leaving", func(d *day) { d.Kitchen.Bakers[0].Away[0].To = "2026-11-28T09:00" },
			"kitchen.bakers[0].away[0].to: 2026-11-28T09:00 does not come after 2026-11-28T10:00; give when this person is back"},
		{"away in a gap", func(d *day) { d.Kitchen.Bakers[0].Away[0].To = "2027-03-28T01:30" },
			"kitchen.bakers[0].away[0].to: 2027-03-28T01:30 does not exist in Europe/Dublin: clocks go forward over it; say 2027-03-28T00:30 or 2027-03-28T02:30"},
		{"cannot what", func(d *day) { d.Kitchen.Bakers[1].Cannot[0] = "dance" },
			`kitchen.bakers[1].cannot[0]: "dance" is no kind of stage; choose prepare, mix, rest, rise, fold, knock-back, divide, round, shape, proof, score, bake, cool or finish`},
		{"nobody can", func(d *day) { d.Kitchen.Bakers[0].Cannot = []schedule.StageKind{schedule.Shape} },
			`kitchen.bakers: nobody in this kitchen can do "shape"; let one person do it, or leave the bread out`},
		{"no tins", func(d *day) { d.Kitchen.Tins[0].Count = 0 },
			"kitchen.tins[0].count: 0 tins cannot be used; give how many there are, or take the tin off the list"},
		{"tin volume", func(d *day) { d.Kitchen.Tins[0].Litres = 0 },
			"kitchen.tins[0].litres: a tin does not hold 0 litres; fill it with water and weigh that: 1000 g are 1 litre"},
		{"tub", func(d *day) { d.Kitchen.Tub = 0 },
			"kitchen.tub_grams: a tub cannot hold 0 g of dough; give what one tub holds, 100 to 100000 g, such as 5000"},
		{"flour", func(d *day) { d.Kitchen.Flour = 80 },
			"kitchen.flour_celsius: flour is not kept at 80 °C; give the temperature where it is kept, such as 18"},
		{"tap", func(d *day) { d.Kitchen.Tap = -3 },
			"kitchen.tap_celsius: cold tap water is not at -3 °C; measure it after a minute's running, 5 to 20 °C"},
		{"no breads", func(d *day) { d.Breads = nil; d.Orders = d.Orders[:0:0] },
			`breads: there are no breads; add the bread to be baked: formula, method, weight of a piece
orders: nothing is ordered; add an order: which bread, how many, out by when`},
		{"no short name", func(d *day) { pan(d).ID = ""; d.Orders[0].Bread = "hearth-loaf" },
			"breads[0].id: no short name is given; give one in small letters, such as rye-loaf"},
		{"short name", func(d *day) { pan(d).ID = "Pan loaf"; d.Orders[0].Bread = "Pan loaf" },
			`breads[0].id: "Pan loaf" is no short name; use small letters, digits and single hyphens, such as rye-loaf`},
		{"short name twice", func(d *day) { pan(d).ID = "white"; d.Orders[0].Bread = "white" },
			`breads[0].id: "white" is the short name of bases[0] already; give each dough and bread its own`},
		{"two breads of a name", func(d *day) { pan(d).Name = "hearth LOAF" },
			`breads[1].name: "Hearth loaf" is the name of breads[0] already; give each a name of its own`},
		{"no such base", func(d *day) { pan(d).Base = "brown" },
			`breads[0].base: there is no base dough "brown"; choose white`},
		{"formula", func(d *day) { hearth(d).Formula.Ingredients[3].Percent = 60 },
			"breads[1].formula.ingredients: the flours come to 90 %; change them to 100 % together"},
		{"addition", func(d *day) { pan(d).Formula.Ingredients[0].Food = "moonbeams" },
			`breads[0].formula.ingredients[0].food: "moonbeams" is not a known food; choose one from the list, or give its own composition`},
		{"addition not a number", func(d *day) { pan(d).Formula.Ingredients[0].Percent = unit.Percent(math.NaN()) },
			"breads[0].formula.ingredients[0].percent: the percentage is not a number; give a share of the flour, such as 62"},
		{"no yeast", func(d *day) {
			d.Bases[0].Formula = formula("bread-flour", 100, "water", 61, "salt", 1.8)
			pan(d).Method[4] = schedule.Stage{Kind: schedule.Rest, Least: 10, Most: 30}
		},
			"bases[0].formula: this dough rises, but there is no yeast in it; add the yeast, or take the rises out"},
		{"no yeast in the base", func(d *day) {
			d.Bases[0].Formula = formula("bread-flour", 100, "water", 61, "salt", 1.8)
			d.Bases[0].Method = d.Bases[0].Method[:2]
		},
			"breads[0].method: it rises, but its base dough holds no yeast; add yeast to the base dough, or take the rise out"},
		{"no yeast in the part", func(d *day) { hearth(d).Formula.Ingredients[2].Part = "" },
			`breads[1].method[1]: "poolish" rises, but there is no yeast in it; put some of the yeast into it, or make it a rest`},
		{"piece", func(d *day) { pan(d).Piece = 0 },
			"breads[0].piece_grams: a piece does not weigh 0 g; give the dough of one piece, 10 to 10000 g"},
		{"piece not a number", func(d *day) { pan(d).Piece = unit.Grams(math.NaN()) },
			"breads[0].piece_grams: this is not a number; give the dough of one piece, 10 to 10000 g"},
		{"per tray", func(d *day) { pan(d).PerTray = 0 },
			"breads[0].per_tray: a tray does not take 0 pieces; give how many pieces or tins go on one tray, 1 to 500"},
		{"bake loss", func(d *day) { pan(d).Loss = 45 },
			"breads[0].bake_loss: bread does not lose 45 % in the oven; weigh a piece before and after: 8 to 15 % is usual"},
		{"no such tin", func(d *day) { pan(d).Tin = "Cake tin" },
			`breads[0].tin: there is no tin called "Cake tin"; choose Loaf tin`},
		{"piece larger than the mixer", func(d *day) { d.Kitchen.Mixers[0].Least, d.Kitchen.Mixers[0].Most = 0, 700 },
			"breads[0].piece_grams: one piece of 800 g is more than the mixer takes at once; make the piece smaller, or mix by hand"},
		{"no method", func(d *day) { pan(d).Method = nil },
			"breads[0].method: the method has no stages; list what is done, in order: mix, rise, divide, shape, proof, bake"},
		{"stage kind", func(d *day) { pan(d).Method[2].Kind = "sing" },
			`breads[0].method[2].kind: "sing" is no kind of stage; choose prepare, mix, rest, rise, fold, knock-back, divide, round, shape, proof, score, bake, cool or finish`},
		{"never baked", func(d *day) { pan(d).Method = pan(d).Method[:5] },
			"breads[0].method: the bread is never baked; add the bake, with temperature and minutes"},
		{"baked twice", func(d *day) { pan(d).Method = append(pan(d).Method, pan(d).Method[5]) },
			"breads[0].method[6]: the bread is baked a second time; make it one bake of several steps"},
		{"baked in one lump", func(d *day) { pan(d).Method = pan(d).Method[5:] },
			`breads[0].method[0]: "bake" comes before the dough is divided or shaped; add divide or shape before it`},
		{"proof after the bake", func(d *day) { hearth(d).Method[13] = hearth(d).Method[10] },
			`breads[1].method[13]: "proof" comes after the bake; move it before the bake; after it only cool and finish`},
		{"cool before the bake", func(d *day) { hearth(d).Method = put(hearth(d).Method, 12, hearth(d).Method[13]) },
			`breads[1].method[12]: "cool" comes before the bake; move it after the bake`},
		{"rise before the mix", func(d *day) {
			hearth(d).Method = put(hearth(d).Method, 2, schedule.Stage{Kind: schedule.Rise, Until: schedule.Target{Word: schedule.Doubled}})
		},
			`breads[1].method[2]: "rise" comes before the dough is mixed; begin with the mix`},
		{"no mix", func(d *day) { d.Bases[0].Method = cut(d.Bases[0].Method, 1) },
			`bases[0].method[1]: "rise" comes before the dough is mixed; begin with the mix`},
		{"mix after the divide", func(d *day) { hearth(d).Method = put(hearth(d).Method, 7, hearth(d).Method[4]) },
			`breads[1].method[7]: "mix" comes after the dough is in pieces; move it before the dough is divided`},
		{"bulk rise of shaped pieces", func(d *day) { pan(d).Method[4].Kind = schedule.Rise; pan(d).Method[4].Until.Word = schedule.Doubled },
			`breads[0].method[4]: "rise" comes after the pieces are shaped; make it a proof, or move it before the shaping`},
		{"shaped twice", func(d *day) { hearth(d).Method = put(hearth(d).Method, 10, hearth(d).Method[9]) },
			`breads[1].method[10]: "shape" comes after the pieces are shaped; round first, then shape once`},
		{"mixed again", func(d *day) { pan(d).Formula = dough.Formula{} },
			"breads[0].method[0]: the base dough is mixed already, and nothing is added; take the mix out, or list what it works in"},
		{"shape in the base", func(d *day) { d.Bases[0].Method = append(d.Bases[0].Method, pan(d).Method[3]) },
			`bases[0].method[3]: "shape" stands in a base dough, which is parted afterwards; move it into the method of each bread`},
		{"part of a parted dough", func(d *day) { pan(d).Method[0].Part = "butter" },
			`breads[0].method[0].part: "butter" is prepared after the dough is mixed; move it into the method of the base dough`},
		{"part shaped", func(d *day) { hearth(d).Method[9].Part = "poolish" },
			`breads[1].method[9].part: "shape" is not done to "poolish", which is mixed into the dough; leave the part out, or choose prepare, mix, rest or rise`},
		{"part after the mix", func(d *day) { hearth(d).Method[4].Part, hearth(d).Method[4].Dough = "poolish", 0 },
			`breads[1].method[4].part: "poolish" is prepared after the mix it goes into; move the stage before the first mix of the dough`},
		{"part without ingredients", func(d *day) {
			hearth(d).Method = put(hearth(d).Method, 0, schedule.Stage{Kind: schedule.Prepare, Part: "soaker", Minutes: 5})
		},
			`breads[1].method[0].part: no ingredient goes into "soaker"; name the part on its ingredients, in the same letters`},
		{"part without stages", func(d *day) { hearth(d).Formula.Ingredients[5].Part = "brine" },
			`breads[1].formula.ingredients[5].part: no stage of the method prepares "brine"; add the stage before the mix, or leave the part out`},
		{"part rises unmixed", func(d *day) { hearth(d).Method = cut(hearth(d).Method, 0) },
			`breads[1].method[0]: "poolish" rises before it is mixed; put its mix before the rise`},
		{"no work", func(d *day) { pan(d).Method[3].PerPiece = 0 },
			"breads[0].method[3].minutes: no time is given for the work; say how many minutes it takes, or how many seconds for a piece"},
		{"endless work", func(d *day) { pan(d).Method[3].Minutes = 9999 },
			"breads[0].method[3].minutes: 9999 minutes of work cannot be; give 0 to 720"},
		{"work not a number", func(d *day) { pan(d).Method[3].PerPiece = math.NaN() },
			"breads[0].method[3].seconds_per_piece: this is not a number; give 0 to 3600"},
		{"seconds", func(d *day) { pan(d).Method[3].PerPiece = -1 },
			"breads[0].method[3].seconds_per_piece: -1 seconds for a piece cannot be; give 0 to 3600"},
		{"no mixer", func(d *day) { d.Kitchen.Mixers = nil; pan(d).Method[0].Machine = false },
			"bases[0].method[1].machine: the kitchen has no mixer; add the mixer to the kitchen, or mix by hand"},
		{"hot dough", func(d *day) { hearth(d).Method[4].Dough = 60 },
			"breads[1].method[4].dough_celsius: dough is not mixed to 60 °C; give the temperature off the mixer, such as 26"},
		{"least over most", func(d *day) { pan(d).Method[2].Least = 45 },
			"breads[0].method[2].most_minutes: the most, 30 min, is less than the least, 45 min; give the longer time as the most"},
		{"endless rest", func(d *day) { pan(d).Method[2].Most = 9999 },
			"breads[0].method[2].most_minutes: 9999 minutes at most cannot be; give 1 to 4320, three days"},
		{"rest not a number", func(d *day) { pan(d).Method[2].Least = unit.Minutes(math.NaN()) },
			"breads[0].method[2].least_minutes: this is not a number; give 0 to 4320, three days"},
		{"no such place", func(d *day) { pan(d).Method[4].Place = "Cellar" },
			`breads[0].method[4].place: there is no place called "Cellar"; choose Bench, Prover or Fridge`},
		{"how far", func(d *day) { hearth(d).Method[5].Until = schedule.Target{} },
			"breads[1].method[5].until: nothing says how far it rises; give a word such as doubled, or the expansion as a number"},
		{"word and number", func(d *day) { hearth(d).Method[5].Until.Word = schedule.Doubled },
			"breads[1].method[5].until: a word and a number both say how far it rises; keep one of them"},
		{"too far", func(d *day) { hearth(d).Method[5].Until.Expansion = 7 },
			"breads[1].method[5].until.expansion: dough does not rise to 7 times its volume; give 1.1 to 4; doubled by eye is 2.25"},
		{"unknown word", func(d *day) { hearth(d).Method[5].Until = schedule.Target{Word: "huge"} },
			`breads[1].method[5].until.word: "huge" does not say how far it rises; choose doubled, half-more, recedes, tin-full, three-quarters, well-risen or ripe`},
		{"tin-full without a tin", func(d *day) { hearth(d).Method[10].Until.Word = schedule.TinFull },
			`breads[1].method[10].until.word: "tin-full" needs a tin; choose the bread's tin, or another word for this rise`},
		{"fold off the way", func(d *day) { hearth(d).Method[5].Folds[1] = 1 },
			"breads[1].method[5].folds[1]: a fold at 1 of the way is not on the way; give a share between 0 and 1, such as 0.5"},
		{"folds out of order", func(d *day) { hearth(d).Method[5].Folds[1] = 0.2 },
			"breads[1].method[5].folds[1]: the folds are out of order; put them in order, each later than the one before"},
		{"fold at no minute", func(d *day) { timed(d).FoldTimes[0] = 0 },
			"breads[1].method[5].fold_minutes[0]: a fold 0 minutes after the rise began cannot be; give 1 to 4320 minutes"},
		{"fold within a fold", func(d *day) { timed(d).FoldTimes[1] = 32 },
			"breads[1].method[5].fold_minutes[1]: the fold begins before the one before it is done; put the folds in order, each more than 2 minutes after the one before"},
		{"folds in two ways", func(d *day) { timed(d).Folds = []float64{0.5} },
			"breads[1].method[5].fold_minutes: the folds are given in minutes and by how far the dough is; keep one of them"},
		{"proof folded at minutes", func(d *day) { hearth(d).Method[10].FoldTimes = []unit.Minutes{30} },
			"breads[1].method[10].fold_minutes: a proofing piece is not folded; leave the folds out"},
		{"rest folded at minutes", func(d *day) { pan(d).Method[2].FoldTimes = []unit.Minutes{30} },
			`breads[0].method[2].fold_minutes: this does not belong to "rest"; leave it out`},
		{"folded proof", func(d *day) { hearth(d).Method[10].Folds = []float64{0.5} },
			"breads[1].method[10].folds: a proofing piece is not folded; leave the folds out"},
		{"chill nowhere", func(d *day) { hearth(d).Method[10].Chill.Place = "" },
			"breads[1].method[10].chill.place: no cold place is given; choose Fridge"},
		{"chill in no place", func(d *day) { hearth(d).Method[10].Chill.Place = "Cellar" },
			`breads[1].method[10].chill.place: there is no place called "Cellar"; choose Fridge`},
		{"chill in the warm", func(d *day) { hearth(d).Method[10].Chill.Place = "Prover" },
			`breads[1].method[10].chill.place: "Prover" is not a cold place; choose Fridge`},
		{"chill span", func(d *day) { hearth(d).Method[10].Chill.Least = 2000 },
			"breads[1].method[10].chill.most_minutes: the most, 18 h, is less than the least, 33 h 20; give the longer time as the most"},
		{"chill of one length", func(d *day) { hearth(d).Method[10].Chill.Least = 1080 },
			"breads[1].method[10].chill.most_minutes: a hold of exactly one length leaves no room; give a longer most"},
		{"no steps", func(d *day) { pan(d).Method[5].Steps = nil },
			"breads[0].method[5].steps: the bake has no steps; give at least one: temperature and minutes"},
		{"hotter than the oven", func(d *day) { pan(d).Method[5].Steps[0].Celsius = 300 },
			"breads[0].method[5].steps[0].celsius: no oven gets to 300 °C; bake at 280 °C or less"},
		{"lukewarm bake", func(d *day) { pan(d).Method[5].Steps[0].Celsius = 50 },
			"breads[0].method[5].steps[0].celsius: bread is not baked at 50 °C; give 80 to 400 °C"},
		{"no time in the oven", func(d *day) { pan(d).Method[5].Steps[0].Minutes = 0 },
			"breads[0].method[5].steps[0].minutes: a step of 0 minutes cannot be; give 1 to 240"},
		{"stray steps", func(d *day) { pan(d).Method[3].Steps = []schedule.BakeStep{{Celsius: 200, Minutes: 5}} },
			`breads[0].method[3].steps: this does not belong to "shape"; leave it out`},
		{"stray minutes", func(d *day) { pan(d).Method[2].Minutes = 5 },
			`breads[0].method[2].minutes: this does not belong to "rest"; leave it out`},
		{"stray chill", func(d *day) { pan(d).Method[2].Chill = &schedule.Chill{Place: "Fridge", Least: 60, Most: 600} },
			`breads[0].method[2].chill: this does not belong to "rest"; leave it out`},
		{"nothing ordered", func(d *day) { d.Orders = nil },
			"orders: nothing is ordered; add an order: which bread, how many, out by when"},
		{"no such bread", func(d *day) { d.Orders[0].Bread = "bun" },
			`orders[0].bread: there is no bread "bun"; choose pan-loaf or hearth-loaf`},
		{"no pieces", func(d *day) { d.Orders[0].Pieces = 0 },
			"orders[0].pieces: 0 pieces cannot be baked; give 1 to 10000"},
		{"weight", func(d *day) { d.Orders[0].Weight = -2 },
			"orders[0].weight: a weight of -2 cannot be; leave it out, or give 1 to 1000: how much a late minute matters"},
		{"no promise", func(d *day) { d.Orders[0].Out = "" },
			"orders[0].out_by: no time is promised; say when it must be out of the oven, out_by, or cooled and finished, cool_by"},
		{"two promises", func(d *day) { d.Orders[0].Ready = "2026-11-28T12:00" },
			"orders[0].cool_by: two times are promised, out of the oven and cooled; keep the one that counts"},
		{"promise passed", func(d *day) { d.Orders[0].Out = "2026-11-27T14:00" },
			"orders[0].out_by: 2026-11-27T14:00 has passed: it is 2026-11-27T15:00; promise a time to come"},
		{"promise far away", func(d *day) { d.Orders[0].Out = "2026-12-25T09:00" },
			"orders[0].out_by: 2026-12-25T09:00 is more than 14 days away; plan that day nearer its time"},
		{"promise not a time", func(d *day) { d.Orders[0].Out = "8 o'clock" },
			`orders[0].out_by: "8 o'clock" is not a date and time; write it as 2026-11-28T08:00`},
		{"promise skipped", func(d *day) {
			d.Now = "2027-03-27T15:00"
			d.Orders = d.Orders[:1]
			d.Orders[0].Out = "2027-03-28T01:30"
			d.Kitchen.Bakers[0].Away = nil
		},
			"orders[0].out_by: 2027-03-28T01:30 does not exist in Europe/Dublin: clocks go forward over it; say 2027-03-28T00:30 or 2027-03-28T02:30"},
		{"promise twice", func(d *day) {
			d.Now = "2026-10-24T15:00"
			d.Orders = d.Orders[:1]
			d.Orders[0].Out = "2026-10-25T01:15"
		},
			"orders[0].out_by: 2026-10-25T01:15 happens twice in Europe/Dublin, as clocks go back; say 2026-10-25T01:15+01:00 or 2026-10-25T01:15Z"},
		{"offset", func(d *day) { d.Orders[0].Out = "2026-11-28T09:00+05:00" },
			`orders[0].out_by: "2026-11-28T09:00+05:00" has an offset that Europe/Dublin does not have then; leave the offset away`},
		{"learned of nothing", func(d *day) { d.Learned = []schedule.Learned{{Dough: "mud", Pace: schedule.Pace{Speed: 1, SD: 0.3}}} },
			`learned[0].dough: there is no dough "mud"; name a base or a bread of this day by its id`},
		{"learned speed", func(d *day) { d.Learned = []schedule.Learned{{Dough: "white", Pace: schedule.Pace{Speed: 5, SD: 0.3}}} },
			"learned[0].speed: no dough was seen to rise 5 times as fast as forecast; give 0.5 to 2; 1 is as forecast"},
		{"learned spread", func(d *day) {
			d.Learned = []schedule.Learned{{Dough: "white", Pace: schedule.Pace{Speed: 1, SD: math.NaN()}}}
		},
			"learned[0].sd: this is not a number; give 0.03 to 0.8, such as 0.25"},
		{"reserve", func(d *day) { d.Settings.Reserve = 999 },
			"settings.reserve: 999 minutes cannot be kept in hand; leave it out for 15, give 1 to 240, or -1 for none"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			d := quay()
			row.edit(d)
			if diff := cmp.Diff(row.want, d.Validate().Error()); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// Everything that is wrong is said at once, in the order of the day file.
func TestFaultsTogether(t *testing.T) {
	t.Parallel()
	d := quay()
	d.Zone = ""
	d.Kitchen.Ovens[0].Max = 900
	d.Kitchen.Bakers[0].Hours = nil
	d.Breads[1].Method[5].Until.Expansion = 9
	d.Orders[1].Pieces = 0
	var got []string
	for _, f := range d.Validate() {
		got = append(got, f.Where)
	}
	want := []string{"zone", "kitchen.ovens[0].max_celsius", "kitchen.bakers[0].hours", "breads[1].method[5].until.expansion", "orders[1].pieces"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// An empty day is told all that it lacks, and what to do first.
func TestEmptyDay(t *testing.T) {
	t.Parallel()
	got := (&schedule.Day{}).Validate().Error()
	for _, want := range []string{
		"zone: no time zone is given; give the IANA name of where the kitchen is, such as Europe/Dublin",
		"orders: nothing is ordered; add an order: which bread, how many, out by when",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("missing %q in\n%s", want, got)
		}
	}
}

// What is not a fault: more than one mix takes, more than all tins, two nights
// of clocks going back, a bread nobody ordered.
func TestNoFaults(t *testing.T) {
	t.Parallel()
	for name, edit := range map[string]func(d *schedule.Day){
		"more dough than a mix": func(d *schedule.Day) { d.Orders[0].Pieces = 100 },
		"one tin":               func(d *schedule.Day) { d.Kitchen.Tins[0].Count = 1 },
		"a bread not ordered":   func(d *schedule.Day) { d.Orders = d.Orders[:1] },
		"the second of two": func(d *schedule.Day) {
			d.Now = "2026-10-24T15:00"
			d.Orders[0].Out = "2026-10-25T01:15Z"
			d.Orders[1].Ready = "2026-10-25T12:00"
		},
		"a scald of 90 °C":       scald,
		"shaped without divide":  func(d *schedule.Day) { m := d.Breads[1].Method; d.Breads[1].Method = append(m[:6:6], m[9:]...) },
		"around the clock":       func(d *schedule.Day) { d.Kitchen.Bakers[0].Hours = []schedule.Hours{{To: 24 * 60}} },
		"a night shift":          func(d *schedule.Day) { d.Kitchen.Bakers[0].Hours = []schedule.Hours{{From: 20 * 60, To: 4 * 60}} },
		"promised for right now": func(d *schedule.Day) { d.Orders[0].Out = d.Now },
	} {
		d := quay()
		edit(d)
		if err := d.Validate().Err(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func scald(d *schedule.Day) {
	b := &d.Breads[1]
	b.Formula.Ingredients[5].Part = "scald"
	b.Method = append([]schedule.Stage{
		{Kind: schedule.Mix, Part: "scald", Minutes: 5, Dough: 90},
		{Kind: schedule.Rest, Part: "scald", Least: 60, Most: 600},
	}, b.Method...)
}

// FuzzValidate changes fields of a good day at random: Validate never panics,
// says the same twice, and words every fault.
func FuzzValidate(f *testing.F) {
	for seed := range uint64(64) {
		f.Add(seed, byte(1+seed%5))
	}
	f.Fuzz(func(t *testing.T, seed uint64, changes byte) {
		d := spoiled(seed, int(changes%8))
		faults := d.Validate()
		if diff := cmp.Diff(faults.Error(), d.Validate().Error()); diff != "" {
			t.Error(diff)
		}
		for _, f := range faults {
			if f.Where == "" || f.What == "" || f.Remedy == "" {
				t.Errorf("a fault without words: %+v", f)
			}
		}
	})
}

// spoiled is a good day with so many fields changed at random.
func spoiled(seed uint64, changes int) *schedule.Day {
	d := quay()
	r := rand.New(rand.NewPCG(seed, 1))
	for range changes {
		spoil(r, reflect.ValueOf(d).Elem())
	}
	return d
}

// spoil walks down to a random field and gives it an odd value.
func spoil(r *rand.Rand, v reflect.Value) {
	if v.Type() == reflect.TypeFor[time.Time]() {
		odd := []time.Time{{}, time.Unix(1<<40, 0), time.Unix(1795847400, 0), v.Interface().(time.Time).Add(7 * time.Minute)}
		v.Set(reflect.ValueOf(odd[r.IntN(len(odd))]))
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		spoil(r, v.Field(r.IntN(v.NumField())))
	case reflect.Pointer:
		if v.IsNil() {
			v.Set(reflect.New(v.Type().Elem()))
		}
		if r.IntN(8) == 0 {
			v.SetZero()
			return
		}
		spoil(r, v.Elem())
	case reflect.Slice:
		switch n := v.Len(); {
		case n == 0:
			v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		case r.IntN(8) == 0:
			v.Set(v.Slice(0, r.IntN(n)))
		case r.IntN(8) == 0:
			v.Set(reflect.Append(v, v.Index(r.IntN(n))))
		default:
			spoil(r, v.Index(r.IntN(n)))
		}
	case reflect.String:
		odd := []string{"", "mix", "bake", "rise", "divide", "white", "Bench", "poolish", "2026-10-25T01:30", "ÿ", "cold"}
		v.SetString(odd[r.IntN(len(odd))])
	case reflect.Float64:
		odd := []float64{0, -1, 1e308, -1e308, math.NaN(), math.Inf(1), math.Inf(-1), 0.5, 100}
		v.SetFloat(odd[r.IntN(len(odd))])
	case reflect.Int:
		odd := []int64{0, -1, math.MaxInt64, math.MinInt64, 1, 1500}
		v.SetInt(odd[r.IntN(len(odd))])
	case reflect.Bool:
		v.SetBool(!v.Bool())
	}
}
