package dough

import (
	"cmp"
	"slices"
	"strings"
)

// Library is the baker's own foods. One with the slug of a food of the table
// corrects it; the table's stays where it is and shows through when the own one
// is taken away. The zero value is the table alone.
type Library []Food

// Own finds a food of the baker's own by its slug.
func (l Library) Own(id string) (Food, bool) {
	if i := slices.IndexFunc(l, func(f Food) bool { return f.ID == id }); i >= 0 {
		return l[i], true
	}
	return Food{}, false
}

// Find looks a food up by its slug: the baker's own, else the table's.
func (l Library) Find(id string) (Food, bool) {
	if f, ok := l.Own(id); ok {
		return f, true
	}
	return Find(id)
}

// Named finds a food by its slug or its name, whatever the capitals.
func (l Library) Named(name string) (Food, bool) {
	name = strings.TrimSpace(name)
	if f, ok := l.Find(name); ok {
		return f, true
	}
	for _, f := range l.All() {
		if strings.EqualFold(f.Name, name) || strings.EqualFold(f.ID, name) {
			return f, true
		}
	}
	return Food{}, false
}

// All lists every food once, corrections in place of what they correct and own
// foods by name behind the table's.
func (l Library) All() []Food {
	out := Foods()
	var more []Food
	for _, f := range l {
		if i := slices.IndexFunc(out, func(x Food) bool { return x.ID == f.ID }); i >= 0 {
			out[i] = f
		} else {
			more = append(more, f)
		}
	}
	slices.SortStableFunc(more, func(a, b Food) int { return cmp.Compare(a.Name, b.Name) })
	return append(out, more...)
}

// Dress gives a formula whose ingredients are made of what the library says,
// those with a composition of their own apart. f is left alone.
func (l Library) Dress(f Formula) Formula {
	if len(l) == 0 {
		return f
	}
	out := Formula{Ingredients: slices.Clone(f.Ingredients)}
	for i := range out.Ingredients {
		if in := &out.Ingredients[i]; in.Own == nil {
			if food, ok := l.Own(in.Food); ok {
				in.Own = &food
			}
		}
	}
	return out
}
