package rise

import "fmt"

// Stage is what is rising; it decides how much a dough forgives.
type Stage string

// The stages.
const (
	Bulk         Stage = "bulk"          // the whole dough; the zero value "" means it too
	InTin        Stage = "in tin"        // shaped, with walls to lean on
	FreeStanding Stage = "free-standing" // shaped, on cloth, board or stone
)

// Expansions behind the baker's words: true volume over volume when mixed.
const (
	DoubledByEye = 2.25 // "doubled" as eye and finger judge it. fitted, sd 0.10
	LeanFolded   = 1.65 // lean dough, folded: the middle of 1.5, read of "risen by half", and 1.8
	Recedes      = 2.70 // "recedes to the touch": 2.65 to 2.75. read: Treatise on Baking, 7 cu ft of trough per 100 lb flour is 3.05 "for full development"
	FreeStood    = 1.75 // free-standing, baked with steam: 1.7 to 1.8
	FreeNoSteam  = 2.50 // free-standing without steam. read: Treatise on Baking, "2 1/2 times original size"
)

// Target is what a rise is waited for.
type Target struct {
	Expansion float64 // E at the best moment
	Stage     Stage
	Narrow    bool // the dough forgives less: every edge lies 15 % nearer the best moment
}

// Edges bound a rise's window. Doses are gas made since the last handling over
// gas needed for the target; the best moment has dose 1.
type Edges struct {
	Ready  float64 // from this dose ready
	Late   float64 // to this dose ready, then late
	TooFar float64 // from this dose too far
	Most   float64 // expansion from which it is too far whatever the dose
}

// Edges gives the window of t. Basis of the inner edges: 41-65 min commercial
// proof about 55 (Dubois & Vetter 1987) and best volume at 45-60 min (Freilich
// 1949), both read in Siffring & Bruinsma 1993; the outer ones are judgement.
func (t Target) Edges() Edges {
	e := Edges{Ready: 0.80, Late: 1.30, TooFar: 1.80, Most: 3.2}
	switch t.Stage {
	case InTin:
		e = Edges{Ready: 0.80, Late: 1.20, TooFar: 1.45, Most: 3.5}
	case FreeStanding:
		e = Edges{Ready: 0.85, Late: 1.15, TooFar: 1.35, Most: 2.8}
	}
	if t.Narrow {
		e = Edges{nearer(1, e.Ready), nearer(1, e.Late), nearer(1, e.TooFar), nearer(t.Expansion, e.Most)}
	}
	// A target the baker sets beyond the usual limit still gets room behind it.
	e.Most = max(e.Most, 1+1.15*(t.Expansion-1))
	return e
}

// nearer is edge, 15 % nearer to best.
func nearer(best, edge float64) float64 { return best + 0.85*(edge-best) }

// Validate refuses a target no dough stands at.
func (t Target) Validate() error {
	if !(t.Expansion >= 1.1 && t.Expansion <= 4) {
		return &Fault{"expansion", fmt.Sprintf("a dough does not stand at %v times its volume; give 1.1 to 4, such as 2.25 for \"doubled\"", t.Expansion)}
	}
	switch t.Stage {
	case "", Bulk, InTin, FreeStanding:
		return nil
	}
	return &Fault{"stage", fmt.Sprintf("%q is no stage; give %q, %q or %q", string(t.Stage), Bulk, InTin, FreeStanding)}
}
