package schedule

import (
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// Base is a dough mixed once for several breads: a formula and the stages up to
// the parting.
type Base struct {
	ID      string        `json:"id"`
	Name    string        `json:"name"`
	Formula dough.Formula `json:"formula"`
	Method  []Stage       `json:"method"`
}

// Bread is a formula, a method and a make-up.
type Bread struct {
	ID      string        `json:"id"`
	Name    string        `json:"name"`
	Base    string        `json:"base,omitempty"` // ID of the base dough; "" = a dough of its own
	Formula dough.Formula `json:"formula"`        // its own dough; with a Base: additions, in percent of the base's flour
	Method  []Stage       `json:"method"`         // from the mix; with a Base: from the parting
	Piece   unit.Grams    `json:"piece_grams"`    // dough of one piece when scaled off
	PerTray int           `json:"per_tray"`       // pieces (or tins) on one tray
	Tin     string        `json:"tin,omitempty"`  // "" = free-standing
	Tray    string        `json:"tray,omitempty"` // "" = the usual one
	Loss    unit.Percent  `json:"bake_loss"`      // weight lost in the oven, percent of the piece
	// Notes are the baker's own, and what a recipe said; the planner reads nothing
	// in them.
	Notes string `json:"notes,omitempty"`
}

// mostNotes is the longest notes of a bread, in bytes.
const mostNotes = 20000

// Trays is how many trays n pieces of b take.
func (b Bread) Trays(n int) int { return items(n, max(b.PerTray, 1)) }

// Dress makes doughs of what the baker's own foods say.
func Dress(l dough.Library, bases []Base, breads []Bread) {
	for i := range bases {
		bases[i].Formula = l.Dress(bases[i].Formula)
	}
	for i := range breads {
		breads[i].Formula = l.Dress(breads[i].Formula)
	}
}
