package schedule_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
)

// That a tray is taken from the shaping to the end of the bake is common practice,
// no source.

// taken counts minute by minute what tins and trays are in use, and gives the most
// there is of each; what of them breads take is said by the one who asks.
func taken(d *schedule.Day, p *schedule.Plan, of func(b *schedule.Bread, pieces int) map[string]int) map[string]int {
	at, most := map[string]int{}, map[string]int{}
	for _, batch := range p.Batches {
		for _, q := range batch.Portions {
			var from, to time.Time
			for _, k := range p.Tasks {
				switch {
				case k.Portion != q.ID:
				case k.Kind == schedule.Shape, k.Kind == schedule.Divide && from.IsZero():
					from = k.Start
				case k.Kind == schedule.Bake:
					to = k.End
				}
			}
			b, _ := d.Bread(q.Bread)
			for name, n := range of(b, q.Pieces) {
				for m := from; m.Before(to); m = m.Add(time.Minute) {
					key := name + m.Format(" 02 15:04 -07")
					at[key] += n
					most[name] = max(most[name], at[key])
				}
			}
		}
	}
	return most
}

// Trays that are counted are as few as that at once, and orders are parted for it;
// trays of which no number is given are always enough.
func TestTraysCounted(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name   string
		change func(*schedule.Day)
		most   map[string]int // in use at once
		loads  int
	}{
		{"not counted", func(*schedule.Day) {}, map[string]int{"": 4}, 1},
		{"as many as it takes", func(d *schedule.Day) { d.Kitchen.UsualTrays = 4 }, map[string]int{"": 4}, 1},
		{"one too few", func(d *schedule.Day) { d.Kitchen.UsualTrays = 3 }, map[string]int{"": 2}, 2},
		{"one alone", func(d *schedule.Day) { d.Kitchen.UsualTrays = 1 }, map[string]int{"": 1}, 4},
		{"of another kind, not counted", func(d *schedule.Day) {
			d.Kitchen.UsualTrays, d.Kitchen.Trays, d.Breads[0].Tray = 1, []schedule.Tray{{Name: "Board"}}, "Board"
		}, map[string]int{"Board": 4}, 1},
		{"of another kind, counted", func(d *schedule.Day) {
			d.Kitchen.Trays, d.Breads[0].Tray = []schedule.Tray{{Name: "Long tray", Count: 2}}, "Long tray"
		}, map[string]int{"Long tray": 2}, 2},
		{"nothing is shaped", func(d *schedule.Day) {
			d.Kitchen.UsualTrays = 2
			d.Breads[0].Method = slices.DeleteFunc(d.Breads[0].Method, func(s schedule.Stage) bool { return s.Kind == schedule.Shape })
		}, map[string]int{"": 2}, 2},
	} {
		d := loafDay(22)
		rollsToo(d, 48)
		d.Breads, d.Orders = d.Breads[1:], d.Orders[1:]
		d.Kitchen.Ovens[0].TraysPerDeck = 4
		row.change(d)
		if err := d.Validate().Err(); err != nil {
			t.Fatalf("%s: %v", row.name, err)
		}
		p := kept(t, d)
		agreesWithCheck(t, d, &p)
		wholeOrders(t, d, &p)
		got := taken(d, &p, func(b *schedule.Bread, pieces int) map[string]int { return map[string]int{b.Tray: (pieces + 11) / 12} })
		if diff := cmp.Diff(row.most, got); diff != "" || len(p.Loads) != row.loads {
			t.Errorf("%s: %d loads, want %d; %s", row.name, len(p.Loads), row.loads, diff)
		}
	}
}

// Tins stand on trays, too, but where they go straight on the deck.
func TestTraysUnderTins(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name  string
		holds []schedule.Held
		loads int
	}{
		{"on trays, four to each", nil, 2},
		{"straight on the deck", []schedule.Held{{Of: "Pan", Count: 8}}, 1},
	} {
		d := loafDay(22)
		d.Orders[0].Pieces, d.Kitchen.UsualTrays, d.Kitchen.Ovens[0].Holds = 8, 1, row.holds
		p := kept(t, d)
		agreesWithCheck(t, d, &p)
		if len(p.Loads) != row.loads {
			t.Errorf("%s: %d loads, want %d", row.name, len(p.Loads), row.loads)
		}
	}
}

// Whatever tins and trays are counted, no plan and no repair takes more of them
// than there are, unless it says so.
func TestTraysProperties(t *testing.T) {
	t.Parallel()
	for seed := range invented() {
		d := randomDay(t, 9000+seed)
		r := rand.New(rand.NewPCG(seed, 31))
		k := &d.Kitchen
		k.Trays = []schedule.Tray{{Name: "Long tray", Count: 1 + r.IntN(4)}, {Name: "Board"}}
		k.UsualTrays = 1 + r.IntN(5)
		for i := range d.Breads {
			d.Breads[i].Tray = []string{"", "Long tray", "Board"}[r.IntN(3)]
		}
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			p := planned(t, d)
			agreesWithCheck(t, d, &p)
			wholeOrders(t, d, &p)
			thereAndBack(t, &p)
			if len(p.Outcome.Broken) > 0 {
				return
			}
			most := taken(d, &p, func(b *schedule.Bread, pieces int) map[string]int {
				return map[string]int{b.Tray: (pieces + b.PerTray - 1) / b.PerTray, "tin " + b.Tin: pieces}
			})
			for name, there := range map[string]int{"": k.UsualTrays, "Long tray": k.Trays[0].Count, "tin Pan": k.Tins[0].Count} {
				if most[name] > there {
					t.Errorf("%d of %q are in use, there are %d", most[name], name, there)
				}
			}
			now := p.Tasks[0].Start.Add(time.Duration(r.Int64N(int64(p.Tasks[len(p.Tasks)-1].End.Sub(p.Tasks[0].Start))))).Truncate(time.Minute)
			twice(t, r, d, p, now)
		})
	}
}

// What Check says of a plan for which there are too few trays, and of one whose
// trays are said to be fewer than it was made for.
func TestCheckTrays(t *testing.T) {
	t.Parallel()
	d := loafDay(22)
	rollsToo(d, 24)
	d.Kitchen.Ovens[0].TraysPerDeck = 3
	p := kept(t, d)
	fewer := *d
	fewer.Kitchen.UsualTrays = 2
	var got []string
	for _, v := range schedule.Check(&fewer, &p) {
		k := taskOf(t, &p, func(k schedule.Task) bool { return k.ID == v.Task })
		got = append(got, fmt.Sprint(v.Code, " ", k.Kind, " of ", k.Name, ": ", v.Of))
	}
	if want := []string{"trays shape of Roll: "}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// What a baker reads who says of trays what cannot be.
func TestValidateTrays(t *testing.T) {
	t.Parallel()
	d := loafDay(22)
	d.Kitchen.UsualTrays, d.Kitchen.Trays = -1, []schedule.Tray{{Name: "Long tray", Count: 10001}}
	want := "kitchen.trays[0].count: 10001 trays cannot be; give how many there are, or 0 if there are always enough\n" +
		"kitchen.usual_trays: -1 trays cannot be; give how many there are, or 0 if there are always enough"
	if diff := cmp.Diff(want, fmt.Sprint(d.Validate())); diff != "" {
		t.Error(diff)
	}
}
