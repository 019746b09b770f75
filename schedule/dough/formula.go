package dough

import "ovenward/schedule/unit"

// Ingredient is one line of a formula.
type Ingredient struct {
	Food    string       `json:"food"`           // slug of the food
	Name    string       `json:"name,omitempty"` // the baker's own word for it
	Percent unit.Percent `json:"percent"`        // of the total flour
	Part    string       `json:"part,omitempty"` // preferment or soaker it goes into first; empty is the final mix
	Own     *Food        `json:"own,omitempty"`  // composition where the table's is not the baker's
}

// Formula is the ingredients of a dough; their flour together is 100 %.
type Formula struct {
	Ingredients []Ingredient `json:"ingredients"`
}

// Resolve finds what the ingredient is made of: its own composition, else the table's.
func (i Ingredient) Resolve() (Food, bool) {
	if i.Own != nil {
		return *i.Own, true
	}
	return Find(i.Food)
}

// Label is the baker's word for the ingredient, else the food's name, else its slug.
func (i Ingredient) Label() string {
	if i.Name != "" {
		return i.Name
	}
	if f, ok := i.Resolve(); ok && f.Name != "" {
		return f.Name
	}
	return i.Food
}
