package schedule

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// Bowl is what is weighed together: a preferment or soaker of a batch, its final
// mix, or what a bread adds to its share of a base dough.
type Bowl struct {
	Batch   string // ID
	Portion string // ID where only that portion gets it
	Part    string // "" = the final mix
	Name    string // of the dough, or of the portion's bread
	Needs   []Need
}

// Need is so much of one ingredient.
type Need struct {
	Label string // the baker's word for it
	Food  string // slug of what it is; "" where nobody knows
	Role  dough.Role
	Cold  bool       // kept cold, and better not used so
	Each  unit.Grams // what one weighs, of what is counted; else 0
	Grams unit.Grams
	// Words are the parts of a total that are written differently; none where all
	// of it is called the same.
	Words []Need
}

// Pieces is how many are needed of what is counted, as a fraction; 0 for what is
// not.
func (n Need) Pieces() float64 {
	if n.Each <= 0 {
		return 0
	}
	return float64(n.Grams / n.Each)
}

// needOf is one line of a formula at a size.
func needOf(in dough.Ingredient, l dough.Line) Need {
	n := Need{Label: l.Label, Grams: l.Grams}
	food, ok := in.Resolve()
	if !ok {
		return n
	}
	n.Food, n.Role = food.ID, food.Role
	n.Cold = food.Role == dough.Egg || food.Role == dough.Dairy && food.Water >= 50 || food.Role == dough.Fat && food.Water >= 10
	for _, m := range food.Measures {
		if food.Role == dough.Egg && m.Name == "large" {
			n.Each = unit.Grams(m.Grams)
		}
	}
	return n
}

// Bowls is everything a plan has to be weighed, batch by batch, bowls as the
// formula has them and what breads add after them. Weights are exact; the sum of
// a batch is its mass.
func (d *Day) Bowls(p *Plan) (all []Bowl) {
	for _, b := range p.Batches {
		f, ok := d.Formula(b.Dough)
		if !ok {
			continue
		}
		all = append(all, bowls(Bowl{Batch: b.ID, Name: b.Name}, f, f.ForDough(b.Mass))...)
		for _, q := range b.Portions {
			if br, ok := d.Bread(q.Bread); ok && br.Base != "" && len(br.Formula.Ingredients) > 0 {
				flour := br.Piece * unit.Grams(q.Pieces) * 100 / unit.Grams(sum(f)+sum(br.Formula))
				all = append(all, bowls(Bowl{Batch: b.ID, Portion: q.ID, Name: q.Name}, br.Formula, br.Formula.ForFlour(flour))...)
			}
		}
	}
	return all
}

// Formula is that of a dough: of a base or of a bread of its own.
func (d *Day) Formula(id string) (dough.Formula, bool) {
	if b, ok := d.Base(id); ok {
		return b.Formula, true
	}
	b, ok := d.Bread(id)
	if !ok {
		return dough.Formula{}, false
	}
	return b.Formula, true
}

func bowls(like Bowl, f dough.Formula, w dough.Weights) (all []Bowl) {
	for _, part := range w.Parts {
		b := like
		b.Part = part.Name
		for _, l := range part.Lines {
			b.Needs = append(b.Needs, needOf(f.Ingredients[l.Ingredient], l))
		}
		if len(b.Needs) > 0 {
			all = append(all, b)
		}
	}
	return all
}

// Total adds up what several bowls need of each food, whatever bakers call it: flours
// first, then the most first. What is written in several ways is called by its first
// word, and has the share of each.
func Total(bowls []Bowl) (all []Need) {
	at := map[string]int{}
	for _, b := range bowls {
		for _, n := range b.Needs {
			key := cmp.Or(n.Food, strings.ToLower(n.Label))
			i, there := at[key]
			if !there {
				i = len(all)
				at[key] = i
				all = append(all, n)
				all[i].Grams = 0
			}
			all[i].add(n)
		}
	}
	for i := range all {
		if len(all[i].Words) == 1 {
			all[i].Words = nil
		}
	}
	slices.SortStableFunc(all, func(a, b Need) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(b.Grams, a.Grams), strings.Compare(a.Label, b.Label))
	})
	return all
}

// add adds more of the same food, under its word.
func (n *Need) add(more Need) {
	n.Grams += more.Grams
	i := slices.IndexFunc(n.Words, func(w Need) bool { return strings.EqualFold(w.Label, more.Label) })
	if i < 0 {
		n.Words = append(n.Words, more)
		return
	}
	n.Words[i].Grams += more.Grams
}

func rank(n Need) int {
	if n.Role == dough.Flour {
		return 0
	}
	return 1
}

// ToBuy is a total with an allowance for what is spilt and kept in hand; water
// comes from the tap.
func ToBuy(total []Need, allowance unit.Percent) (all []Need) {
	for _, n := range total {
		if n.Role != dough.Water {
			n.Grams *= unit.Grams(1 + allowance/100)
			all = append(all, n)
		}
	}
	return all
}

// OvenTime is how long ovens are heating or full, each for itself, in all.
func (p *Plan) OvenTime() (all unit.Minutes) {
	type span struct {
		oven     string
		from, to time.Time
	}
	var spans []span
	for _, l := range p.Loads {
		spans = append(spans, span{l.Oven, l.Start, l.End})
	}
	for _, t := range p.Tasks {
		if t.Kind == Preheat {
			spans = append(spans, span{t.Oven, t.Start, t.End})
		}
	}
	slices.SortFunc(spans, func(a, b span) int { return cmp.Or(strings.Compare(a.oven, b.oven), a.from.Compare(b.from)) })
	var until span
	for _, s := range spans {
		if s.oven == until.oven && s.from.Before(until.to) {
			s.from = until.to
		}
		if s.to.After(s.from) {
			all += unit.Minutes(s.to.Sub(s.from).Minutes())
			until = s
		}
	}
	return all
}
