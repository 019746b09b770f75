package schedule_test

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"ovenward/schedule"
	"ovenward/schedule/learn"
)

// bakery is a kitchen as it really is, for a season of days. What is drawn
// depends on the seed and on what it is drawn for, never on what was done
// before: whoever plans the day meets the same doughs, people and oven.
type bakery struct {
	seed    uint64
	day     *schedule.Day
	nature  nature
	kitchen float64 // ln of speed, all doughs
	room    float64 // kelvins the rooms are off their forecast
	bound
}

// What cool, scarcely raised and cold doughs differ by beyond warm, plain ones:
// rise.Spread has 0.30, 0.45 and 0.60.
var (
	coolMore = math.Sqrt(0.45*0.45 - 0.30*0.30)
	coldMore = math.Sqrt(0.60*0.60 - 0.45*0.45)
)

func newBakery(d *schedule.Day, seed uint64) *bakery {
	b := &bakery{seed: seed, day: d}
	b.kitchen = learn.RisePrior.Kitchen * b.normal("kitchen")
	b.room = 0.7 * b.normal("room")
	b.nature = nature{coolMore * b.normal("cool"), coldMore * b.normal("cold"), coolMore * b.normal("scarce")}
	return b
}

// chance is a stream of it for one purpose.
func (b *bakery) chance(purpose string, args ...any) *rand.Rand {
	h := fnv.New64a()
	fmt.Fprint(h, b.seed, "/", purpose)
	for _, a := range args {
		fmt.Fprint(h, "/", a)
	}
	return rand.New(rand.NewPCG(h.Sum64(), b.seed))
}

func (b *bakery) normal(purpose string, args ...any) float64 {
	return b.chance(purpose, args...).NormFloat64()
}

// speed is ln of a rise's speed on day n: the split of package learn, a bread's
// bulk rise and proof apart as there.
func (b *bakery) speed(rise string, n int) float64 {
	if b.steady {
		return 0
	}
	return b.kitchen + learn.RisePrior.Bread*b.normal("bread", rise) + learn.RisePrior.Day*b.normal("day", n)
}

// ordered is day n: the same breads, more or less of each.
func (b *bakery) ordered(n int) *schedule.Day {
	d := *b.day
	d.Orders = slices.Clone(d.Orders)
	for i := range d.Orders {
		o := &d.Orders[i]
		share := 0.75 + 0.4*b.chance("pieces", n, i).Float64()
		o.Pieces = max(1, int(math.Round(share*float64(o.Pieces))))
	}
	if d.Validate().Err() != nil {
		return b.day
	}
	return &d
}

// misfortune is what befalls a day besides its doughs.
type misfortune struct {
	absent []absence
	oven   float64 // share of its pace at which every oven heats
}

// absence is somebody not there when the task at a share of the way through
// theirs is due.
type absence struct {
	baker   int
	share   float64
	minutes int
}

func (b *bakery) misfortune(n int) misfortune {
	m := misfortune{oven: 1}
	for i := range b.day.Kitchen.Bakers {
		if b.punctual {
			break
		}
		r := b.chance("late", n, i)
		if r.Float64() < 0.4 {
			m.absent = append(m.absent, absence{i, r.Float64(), 10 + r.IntN(31)})
		}
		if i > 0 && r.Float64() < 0.3 {
			m.absent = append(m.absent, absence{i, r.Float64(), 30})
		}
	}
	if r := b.chance("oven", n); !b.hot && r.Float64() < 0.3 {
		m.oven = math.Round(100*(0.6+0.4*r.Float64())) / 100
	}
	return m
}

// riseName is what a book calls a rise: bulk rise and proof of a dough apart.
func riseName(l *schedule.Lane, kind schedule.StageKind) string {
	switch {
	case l.Part != "":
		return l.Recipe() + " " + l.Part
	case l.Portion != nil:
		return l.Portion.Bread + " " + string(kind)
	}
	return l.Recipe() + " " + string(kind)
}

// learned is what a book says of the doughs of day n: of a base with several breads,
// of their proofs the mean, as sure as they are and as they agree.
func learned(d *schedule.Day, book *learn.Book, n int) []schedule.Learned {
	f := book.Forecast(n)
	proofs := map[string][]string{}
	var doughs []string
	for _, b := range d.Breads {
		recipe := b.ID
		if base, ok := d.Base(b.Base); ok && b.Base != "" {
			recipe = base.ID
		}
		if proofs[recipe] == nil {
			doughs = append(doughs, recipe)
		}
		proofs[recipe] = append(proofs[recipe], b.ID+" "+string(schedule.Proof))
	}
	pace := func(names []string) schedule.Pace {
		about := func(g learn.Regime) (mean, sd float64) {
			square := 0.0
			for _, name := range names {
				r := f.Rise(name, g)
				mean += r.Mean / float64(len(names))
				square += (r.SD*r.SD + r.Mean*r.Mean) / float64(len(names))
			}
			return mean, min(max(math.Sqrt(math.Max(square-mean*mean, 0)), 0.05), 0.8)
		}
		mean, sd := about(learn.Plain)
		cold, unsure := about(learn.Cold)
		return schedule.Pace{Speed: math.Exp(mean), SD: min(sd, 0.6), ColdSpeed: math.Exp(cold), Cold: unsure}
	}
	var out []schedule.Learned
	for _, id := range doughs {
		out = append(out, schedule.Learned{Dough: id, Pace: pace([]string{id + " " + string(schedule.Rise)}), Proof: pace(proofs[id])})
	}
	return out
}

// bakeries are the kitchens of a season: the repository's days and invented
// ones in turn.
func bakeries(tb testing.TB, n int) []*bakery {
	names := []string{"example", "three-breads-one-dough", "hot-afternoon", "cold-kitchen", "single-pan-loaf", "retard-clocks-back"}
	invented := []uint64{1000, 1001, 1005, 1006, 1009, 1010, 1002, 1008}
	var out []*bakery
	for i := range n {
		var d *schedule.Day
		if i%2 == 0 {
			d = dayOf(tb, names[i/2%len(names)])
		} else {
			d = randomDay(tb, invented[i/2%len(invented)])
		}
		out = append(out, newBakery(d, uint64(i+1)))
	}
	return out
}
