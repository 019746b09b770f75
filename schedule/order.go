package schedule

import "time"

// Order is so many pieces of a bread, promised for a time.
type Order struct {
	Bread  string `json:"bread"` // ID
	Pieces int    `json:"pieces"`
	Out    Wall   `json:"out_by,omitempty"`  // out of the oven by, or
	Ready  Wall   `json:"cool_by,omitempty"` // cooled and finished by
	For    string `json:"for,omitempty"`     // who it is for, in the baker's words
	Weight int    `json:"weight,omitempty"`  // how much a late minute matters; 0 = 1
}

// Promise is the one of Out and Ready that is given.
func (o Order) Promise() Wall {
	if o.Out != "" {
		return o.Out
	}
	return o.Ready
}

// promise gives the order another promise of the same kind.
func (o *Order) promise(at Wall) {
	if o.Out != "" {
		o.Out = at
	} else {
		o.Ready = at
	}
}

// Settle makes the promise one moment in loc as [Wall.Settle] does; moved says that
// a change of clocks has moved it.
func (o *Order) Settle(loc *time.Location) (moved *WallError) {
	at, moved := o.Promise().Settle(loc)
	o.promise(at)
	return moved
}
