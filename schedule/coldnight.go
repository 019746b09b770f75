package schedule

import (
	"math"
	"slices"

	"ovenward/schedule/dough"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// Night is how long dough is left alone overnight at the least.
const Night unit.Minutes = 8 * 60

// ColdNight is how the pieces of a bread would stand in the cold, put there as
// soon as they are shaped: by its own forecast, and with one thing changed.
// Minutes count from then.
type ColdNight struct {
	Place   string
	Celsius unit.Celsius // there, at that hour
	Piece   unit.Grams
	Chilled unit.Minutes // until the middle is within 4 K of it
	TooFar  unit.Minutes // by the fastest curve that the cold allows for; two days at the most

	// TooFar with half of the yeast, with the dough 4 K cooler off the mixer, and
	// with pieces half as heavy; 0 where that cannot be.
	HalfYeast, Cooler, Half unit.Minutes
}

// Stands says whether the pieces last the night.
func (o ColdNight) Stands() bool { return o.TooFar >= Night }

// nearlyCold is what is left to cool, in K, of a dough that hardly rises more
// than the cold has it.
const nearlyCold = 4

// ColdNightOf follows the one bread of a forecast to its shaping and from there into
// the cold. ok is false where there is no cold place or nothing is proofed.
func ColdNightOf(d *Day, p *Plan) (o ColdNight, ok bool, err error) {
	if len(d.Breads) == 0 || len(p.Batches) == 0 {
		return o, false, nil
	}
	o, ok, err = chilled(d, p)
	if err != nil || !ok {
		return o, false, err
	}
	tooFar := func(change func(*Day)) unit.Minutes {
		day := *d
		day.Breads, day.Bases = slices.Clone(d.Breads), slices.Clone(d.Bases)
		change(&day)
		x, ok, e := chilled(&day, p)
		if e != nil || !ok {
			return 0
		}
		return x.TooFar
	}
	o.HalfYeast, o.Cooler = tooFar(halfYeast), tooFar(cooler)
	if d.Breads[0].Tin == "" {
		o.Half = tooFar(func(d *Day) { d.Breads[0].Piece /= 2 })
	}
	return o, true, nil
}

// chilled is ColdNight without what could be changed.
func chilled(d *Day, p *Plan) (o ColdNight, ok bool, err error) {
	g, err := newGrid(d)
	if err != nil {
		return o, false, err
	}
	b, err := p.batchPlan(d, 0)
	if err != nil {
		return o, false, err
	}
	byID := map[string]*Task{}
	for i := range p.Tasks {
		byID[p.Tasks[i].ID] = &p.Tasks[i]
	}
	t := plant(d, b)
	var ps []*passage
	for _, st := range slices.Concat(t.parts, []*strand{t.trunk}, t.branches) {
		pa, err := passageOf(st, g, byID)
		if err != nil {
			return o, false, err
		}
		clear(pa.spell) // of the plan's times, which are not these
		ps = append(ps, pa)
	}
	w := &walker{kitchen: &d.Kitchen, grid: g}
	if err := w.batch(t, ps, true); err != nil {
		return o, false, err
	}
	last := ps[len(ps)-1]
	i := slices.IndexFunc(last.strand.waits, func(wt wait) bool {
		return !wt.toFold() && wt.stage >= 0 && last.strand.stage(wt.stage).Kind == Proof
	})
	cold := coldPlace(&d.Kitchen, last, i)
	if i < 0 || !last.alive[i] || cold == nil {
		return o, false, nil
	}
	return w.standing(last.held(i, true), i, cold), true, nil
}

// coldPlace is where a proof may be held, the first cold place for any.
func coldPlace(k *Kitchen, p *passage, wait int) *Place {
	if wait >= 0 {
		if c := p.strand.stage(p.strand.waits[wait].stage).Chill; c != nil {
			place, _ := k.Place(c.Place)
			return place
		}
	}
	return k.fridge()
}

// standing is how the dough of wait i does in a cold place.
func (w *walker) standing(p *passage, i int, cold *Place) ColdNight {
	s, air := p.begin[i], w.grid.air[cold.Name]
	p.strand.accustom(i, &s, true)
	v := s.Along([]simulate.Leg{{Air: air}}, p.goal(i), riseLimit)
	t := w.grid.at(int(s.Minute))
	at := cold.At(float64(60*t.Hour() + t.Minute()))
	o := ColdNight{Place: cold.Name, Celsius: at, Piece: p.strand.mass / unit.Grams(p.strand.pieces), TooFar: unit.Minutes(v.TooFar)}
	for begun := s.Minute; s.Core() > at+nearlyCold && s.Minute-begun < riseLimit; {
		s.Wait(air, 5)
		o.Chilled = unit.Minutes(s.Minute - begun)
	}
	return o
}

// halfYeast halves the yeast of every dough, preferments too.
func halfYeast(d *Day) {
	half := func(f *dough.Formula) {
		f.Ingredients = slices.Clone(f.Ingredients)
		for i := range f.Ingredients {
			if food, ok := f.Ingredients[i].Resolve(); ok && food.Role == dough.Yeast {
				f.Ingredients[i].Percent /= 2
			}
		}
	}
	for i := range d.Bases {
		half(&d.Bases[i].Formula)
	}
	for i := range d.Breads {
		half(&d.Breads[i].Formula)
	}
}

// cooler wants every dough 4 K cooler off the mixer.
func cooler(d *Day) {
	cool := func(method []Stage) []Stage {
		method = slices.Clone(method)
		for i := range method {
			if s := &method[i]; s.Kind == Mix && s.Part == "" {
				if s.Dough == 0 {
					s.Dough = usualDough
				}
				s.Dough = unit.Celsius(math.Max(float64(s.Dough)-4, 10))
			}
		}
		return method
	}
	for i := range d.Bases {
		d.Bases[i].Method = cool(d.Bases[i].Method)
	}
	for i := range d.Breads {
		d.Breads[i].Method = cool(d.Breads[i].Method)
	}
}
