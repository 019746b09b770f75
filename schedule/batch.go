package schedule

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// shareWithin is how far apart the promises of orders may lie that are mixed
// together: further apart, one of them would stand for too long.
const shareWithin = 3 * time.Hour

// handMix is the most dough mixed at once without a mixer.
const handMix unit.Grams = 8000

// recipe is a dough to be mixed: the base, or a bread of its own.
type recipe struct {
	id, name string
	formula  dough.Formula
	whole    []Stage // stages before the parting
}

// recipeOf gives the dough a bread is made from, and the bread's stages after
// the parting.
func (d *Day) recipeOf(b *Bread) (recipe, []Stage) {
	if base, ok := d.Base(b.Base); ok && b.Base != "" {
		return recipe{base.ID, base.Name, base.Formula, base.Method}, b.Method
	}
	at := parting(b.Method)
	return recipe{b.ID, b.Name, b.Formula, b.Method[:at]}, b.Method[at:]
}

// parting is the index of the stage at which a dough becomes portions: the
// first divide, else the first shape, else the bake.
func parting(method []Stage) int {
	for _, kind := range []StageKind{Divide, Shape, Bake} {
		if i := slices.IndexFunc(method, func(s Stage) bool { return s.Kind == kind && s.Part == "" }); i >= 0 {
			return i
		}
	}
	return len(method)
}

// batchPlan is a batch with what is needed to plan it.
type batchPlan struct {
	Batch
	recipe   recipe
	portions []portionPlan
	due      time.Time // earliest promise
}

// portionPlan is a portion with its bread and stages.
type portionPlan struct {
	Portion
	bread  *Bread
	stages []Stage
	due    time.Time
	mass   unit.Grams // of the whole dough that goes into it
}

// batches splits and joins the orders: every order into portions that fit an
// oven, the tins and the trays, portions of one dough into mixes that fit a mixer and are
// promised within share of each other.
func batches(d *Day, loc *time.Location, share time.Duration) ([]batchPlan, error) {
	var all []portionPlan
	for i := range d.Orders {
		ps, err := portionsOf(d, i, loc)
		if err != nil {
			return nil, err
		}
		all = append(all, ps...)
	}
	slices.SortStableFunc(all, func(a, b portionPlan) int {
		ra, _ := d.recipeOf(a.bread)
		rb, _ := d.recipeOf(b.bread)
		x, y := &d.Orders[a.Order], &d.Orders[b.Order]
		return cmp.Or(cmp.Compare(ra.id, rb.id), a.due.Compare(b.due), cmp.Compare(a.Bread, b.Bread), cmp.Compare(b.Pieces, a.Pieces),
			cmp.Compare(y.Weight, x.Weight), cmp.Compare(x.Out, y.Out))
	})
	var out []batchPlan
	for _, p := range all {
		r, _ := d.recipeOf(p.bread)
		n := len(out) - 1
		if n < 0 || out[n].recipe.id != r.id || p.due.Sub(out[n].due) > share || out[n].Mass+p.mass > mixLimit(d, r) || !out[n].takes(d, &p) {
			out = append(out, batchPlan{Batch: Batch{Dough: r.id, Name: r.name}, recipe: r, due: p.due})
			n++
		}
		out[n].Mass += p.mass
		out[n].portions = append(out[n].portions, p)
	}
	slices.SortStableFunc(out, func(a, b batchPlan) int { return a.due.Compare(b.due) })
	for i := range out {
		out[i].name(i)
	}
	return out, nil
}

// mostLoads is how many fillings of the largest oven one dough is made for: more
// would have the last of it stand until it is too far.
const mostLoads = 3

// takes says whether p can be made from the same dough as what b has already:
// all its tins and trays are filled at about the same time, and its loads follow each other.
func (b *batchPlan) takes(d *Day, p *portionPlan) bool {
	all, fillings := append(slices.Clip(b.portions), *p), 0.0
	for i := range all {
		fillings += filling(d, &all[i], p.stages)
	}
	return fillings <= mostLoads+1e-9 && !d.Kitchen.tooMany(all)
}

// filling is how much p fills of the largest oven hot enough for a bake; beyond
// all where there is none.
func filling(d *Day, p *portionPlan, bake []Stage) float64 {
	of, each := d.Kitchen.Stands(p.bread)
	return float64(items(p.Pieces, each)) / float64(d.Kitchen.ovenTakes(of, hottest(bake)))
}

// name letters the batch and numbers its portions.
func (b *batchPlan) name(i int) {
	b.ID = letters(i)
	b.Mass = unit.Grams(math.Round(float64(b.Mass)))
	b.Portions = nil
	for k := range b.portions {
		p := &b.portions[k]
		p.ID = fmt.Sprintf("%s%d", b.ID, k+1)
		b.Portions = append(b.Portions, p.Portion)
	}
}

// letters is A..Z, AA, AB ...
func letters(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letters(i/26-1) + letters(i%26)
}

// portionsOf splits one order evenly into loads that fit the largest oven hot
// enough for it, its tins and trays, and its mixer.
func portionsOf(d *Day, i int, loc *time.Location) ([]portionPlan, error) {
	o := d.Orders[i]
	b, ok := d.Bread(o.Bread)
	if !ok {
		return nil, fmt.Errorf("order %d: no bread %q", i+1, o.Bread)
	}
	due, err := o.Promise().In(loc)
	if err != nil {
		return nil, err
	}
	r, stages := d.recipeOf(b)
	each := pieceOfWhole(r.formula, b)
	most := max(1, int(mixLimit(d, r)/each))
	of, on := d.Kitchen.Stands(b)
	if n := d.Kitchen.ovenTakes(of, hottest(stages)); n > 0 {
		most = min(most, n*on)
	}
	most = d.Kitchen.mostCarried(b, most)
	loads := (o.Pieces + most - 1) / most
	var out []portionPlan
	for k := range loads {
		n := o.Pieces*(k+1)/loads - o.Pieces*k/loads
		out = append(out, portionPlan{
			Portion: Portion{Order: i, Bread: b.ID, Name: b.Name, Pieces: n, Trays: b.Trays(n)},
			bread:   b, stages: stages, due: due, mass: unit.Grams(n) * each,
		})
	}
	return out, nil
}

// pieceOfWhole is how much of the whole dough is in a piece: less than the
// piece where the bread adds to its base.
func pieceOfWhole(whole dough.Formula, b *Bread) unit.Grams {
	if b.Base == "" || len(b.Formula.Ingredients) == 0 {
		return b.Piece
	}
	base, extra := sum(whole), sum(b.Formula)
	return b.Piece * unit.Grams(base/(base+extra))
}

// sum adds the percentages of a formula.
func sum(f dough.Formula) (s float64) {
	for _, in := range f.Ingredients {
		s += float64(in.Percent)
	}
	return s
}

// mixLimit is the most dough of r that is mixed at once.
func mixLimit(d *Day, r recipe) unit.Grams {
	limit := unit.Grams(0)
	for _, s := range r.whole {
		if s.Kind == Mix && s.Part == "" && s.Machine {
			for _, m := range d.Kitchen.Mixers {
				limit = max(limit, m.Most)
			}
		}
	}
	if limit == 0 {
		return handMix
	}
	return limit
}

// hottest is the highest oven temperature among stages.
func hottest(stages []Stage) (t unit.Celsius) {
	for _, s := range stages {
		for _, b := range s.Steps {
			t = max(t, b.Celsius)
		}
	}
	return t
}
