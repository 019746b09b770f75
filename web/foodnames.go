package web

import (
	"net/url"
	"strings"

	"ovenward/schedule/dough"
	"ovenward/web/recipe"
	"ovenward/web/view"
)

// named shows the foods of a formula by their names, where those are found again.
func named(v url.Values, l dough.Library) url.Values {
	known := recipe.NewNames(l)
	for i := range view.Count(v, ingredients) {
		if food, ok := l.Find(v.Get(lineField(i, "food"))); ok {
			v.Set(lineField(i, "food"), called(food, known))
		}
	}
	return v
}

// called is what a food is called that is found by it: its name, or what it is
// kept under.
func called(food dough.Food, known recipe.Names) string {
	if found := known.Find(food.Name); len(found) == 1 && found[0] == food.ID {
		return food.Name
	}
	return food.ID
}

// foodQuestion asks what an ingredient is; several says that its name may be
// several foods.
type foodQuestion struct {
	view.FieldFault
	several bool
	like    dough.Food // what its amount is read as: the foods it may be are alike
}

// names turns the names of foods as typed into what they are kept under. A name
// that may be several foods, or none, stays and is asked about, by line.
func names(f *dough.Formula, l dough.Library) map[int]foodQuestion {
	known := recipe.NewNames(l)
	asked := map[int]foodQuestion{}
	for i := range f.Ingredients {
		in := &f.Ingredients[i]
		switch found := known.Find(in.Food); {
		case len(found) == 1:
			in.Food = found[0]
		case in.Own == nil && in.Food != "":
			asked[i] = whichFood(i, in.Food, found, known, l)
		}
		if in.Own != nil && in.Own.ID == "" {
			in.Own.ID = in.Food
		}
	}
	return asked
}

// whichFood asks what line i is of: one of those found, or of those whose names
// are like it. The answers are buttons of the form.
func whichFood(i int, name string, found []string, known recipe.Names, l dough.Library) foodQuestion {
	at := lineField(i, "food")
	q := foodQuestion{FieldFault: view.FieldFault{Field: at}, several: len(found) > 0, like: dough.Food{Name: name}}
	near := found
	if !q.several {
		near = known.Near(name)
	}
	alike := q.several
	for k, slug := range near {
		food, ok := l.Find(slug)
		if !ok {
			alike = false
			continue
		}
		if k == 0 {
			q.like = food
		}
		alike = alike && food.Role == q.like.Role
		q.Answers = append(q.Answers, view.Option{Value: strings.Join([]string{"name", at, called(food, known)}, " "), Word: food.Name})
	}
	if !alike {
		q.like = dough.Food{Name: name}
	}
	q.What = view.WhichFood(name, q.several, q.Answers)
	return q
}
