package schedule_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

var dayNames = []string{"example", "cold-kitchen", "hot-afternoon", "retard-clocks-back", "single-pan-loaf", "three-breads-one-dough", "tins-and-trays"}

// What is weighed is what is ordered: pieces times the dough of a piece, from the
// order alone (the trade's definition of scaling off), to the gram each batch is
// rounded to; and the bowls of a batch are its mass.
func TestBowlsWeighWhatIsOrdered(t *testing.T) {
	t.Parallel()
	for _, name := range dayNames {
		d := dayOf(t, name)
		p := planned(t, d)
		var ordered, weighed float64
		for _, o := range d.Orders {
			b, _ := d.Bread(o.Bread)
			ordered += float64(o.Pieces) * float64(b.Piece)
		}
		batch := map[string]float64{}
		for _, b := range d.Bowls(&p) {
			for _, n := range b.Needs {
				weighed += float64(n.Grams)
				if b.Portion == "" {
					batch[b.Batch] += float64(n.Grams)
				}
			}
		}
		if math.Abs(ordered-weighed) > 0.5*float64(len(p.Batches))+1e-6 {
			t.Errorf("%s: %.1f g are ordered, %.1f g weighed", name, ordered, weighed)
		}
		for _, b := range p.Batches {
			if math.Abs(batch[b.ID]-float64(b.Mass)) > 1e-6 {
				t.Errorf("%s: batch %s of %v is weighed as %.2f g", name, b.ID, b.Mass, batch[b.ID])
			}
		}
		var sum unit.Grams
		for _, n := range schedule.Total(d.Bowls(&p)) {
			sum += n.Grams
		}
		if math.Abs(float64(sum)-weighed) > 1e-6 {
			t.Errorf("%s: the total is %v of %.1f g", name, sum, weighed)
		}
	}
}

func TestTotal(t *testing.T) {
	t.Parallel()
	flour, water := schedule.Need{Label: "Strong flour", Role: dough.Flour, Grams: 500}, schedule.Need{Label: "water", Role: dough.Water, Grams: 700}
	egg := schedule.Need{Label: "egg", Role: dough.Egg, Cold: true, Each: 50, Grams: 225}
	more := flour
	more.Label, more.Grams = "strong flour", 100
	total := schedule.Total([]schedule.Bowl{{Needs: []schedule.Need{egg, water}}, {Needs: []schedule.Need{flour}}, {Needs: []schedule.Need{more}}})
	flour.Grams = 600
	if diff := cmp.Diff([]schedule.Need{flour, water, egg}, total); diff != "" {
		t.Errorf("in all (-want +got):\n%s", diff)
	}
	buy := schedule.ToBuy(total, 10)
	flour.Grams, egg.Grams = 660, 247.5
	near := cmp.Comparer(func(a, b unit.Grams) bool { return math.Abs(float64(a-b)) < 1e-9 })
	if diff := cmp.Diff([]schedule.Need{flour, egg}, buy, near); diff != "" {
		t.Errorf("to buy (-want +got):\n%s", diff)
	}
	if got := buy[1].Pieces(); math.Abs(got-4.95) > 1e-9 { // an egg without its shell is 50 g: USDA, NDB 01123
		t.Errorf("%v eggs", got)
	}
	if got := buy[0].Pieces(); got != 0 {
		t.Errorf("%v pieces of flour", got)
	}
}

// One food under two words is bought once, and it can be seen how much of it is
// called what; two that nobody knows are told apart by their words.
func TestTotalOfOneFood(t *testing.T) {
	t.Parallel()
	need := func(label, food string, g unit.Grams) schedule.Need {
		return schedule.Need{Label: label, Food: food, Role: dough.Other, Grams: g}
	}
	got := schedule.Total([]schedule.Bowl{
		{Needs: []schedule.Need{need("eggs", "egg", 100), need("seeds", "", 10), need("Salt", "salt", 8)}},
		{Needs: []schedule.Need{need("egg", "egg", 50), need("Seeds", "", 5), need("salt", "salt", 2), need("eggs", "egg", 20), need("grain", "", 1)}},
	})
	both := need("eggs", "egg", 170)
	both.Words = []schedule.Need{need("eggs", "egg", 120), need("egg", "egg", 50)}
	if diff := cmp.Diff([]schedule.Need{both, need("seeds", "", 15), need("Salt", "salt", 10), need("grain", "", 1)}, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

// Everything that waits in the cold leaves it once, with all its pieces, when its
// next work begins; ingredients leave it while somebody is there, an hour before
// they are used at most.
func TestTakeOuts(t *testing.T) {
	t.Parallel()
	doughs, foods := 0, 0
	for _, name := range dayNames {
		d := dayOf(t, name)
		p := planned(t, d)
		waits := map[string]bool{}
		for _, task := range p.Tasks {
			if place, ok := d.Kitchen.Place(task.Place); ok && place.Kind == schedule.Cold && (task.Kind.Rises() || task.Kind.Waits()) {
				waits[task.Batch+task.Part] = true
			}
		}
		left := map[string]bool{}
		for i, o := range d.TakeOuts(&p) {
			at := fmt.Sprintf("%s, %d: %s %s%s at %v", name, i, o.Name, o.Batch, o.Part, o.At)
			if o.Begin.Before(o.At) || i > 0 && o.At.Before(d.TakeOuts(&p)[i-1].At) {
				t.Errorf("%s is out of order", at)
			}
			if o.Needs == nil {
				doughs++
				left[o.Batch+o.Part] = true
				if !waits[o.Batch+o.Part] || !o.Begin.IsZero() && !o.Begin.Equal(o.At) {
					t.Errorf("%s leaves the cold it was not in, or for nothing", at)
				}
				continue
			}
			foods++
			early := o.Begin.Sub(o.At)
			there := false
			for _, b := range d.Kitchen.Bakers {
				there = there || b.AtWork(o.At, o.At.Add(time.Minute))
			}
			if early > time.Hour || o.Short != (early < 30*time.Minute) || early > 0 && !there {
				t.Errorf("%s is %v before %v, somebody there: %v, short: %v", at, early, o.Begin, there, o.Short)
			}
			for _, n := range o.Needs {
				if !n.Cold || n.Role == dough.Flour || n.Role == dough.Water || n.Grams <= 0 {
					t.Errorf("%s: %+v", at, n)
				}
			}
		}
		if diff := cmp.Diff(waits, left); diff != "" {
			t.Errorf("%s: what waits and what leaves (-want +got):\n%s", name, diff)
		}
	}
	if doughs == 0 || foods == 0 {
		t.Errorf("%d doughs and %d times ingredients: nothing was tested", doughs, foods)
	}
}

// An oven is counted once for what overlaps, and each oven for itself.
func TestOvenTime(t *testing.T) {
	t.Parallel()
	at := func(m int) time.Time { return time.Date(2026, 11, 28, 6, m, 0, 0, time.UTC) }
	p := schedule.Plan{
		Loads: []schedule.Load{{Oven: "deck", Start: at(30), End: at(50)}, {Oven: "deck", Start: at(40), End: at(60)}, {Oven: "range", Start: at(30), End: at(45)}},
		Tasks: []schedule.Task{{Kind: schedule.Preheat, Oven: "deck", Start: at(0), End: at(30)}, {Kind: schedule.Bake, Oven: "deck", Start: at(30), End: at(50)}},
	}
	if got := p.OvenTime(); got != 30+30+15 {
		t.Errorf("%v", got)
	}
}
