package schedule

import "ovenward/schedule/unit"

// StageKind is a step of a method, in the trade's words.
type StageKind string

// The kinds of stage a method is made of.
const (
	Prepare   StageKind = "prepare"    // weigh, soak, cook: work in a part, before the mix
	Mix       StageKind = "mix"        // of the dough, or of a preferment in its part
	Rest      StageKind = "rest"       // wait between least and most: autolyse, bench rest, soak
	Rise      StageKind = "rise"       // bulk rise
	Fold      StageKind = "fold"       // stretch and fold
	KnockBack StageKind = "knock-back" // press the gas out
	Divide    StageKind = "divide"     // scale off, parting the dough into pieces
	Round     StageKind = "round"      // preshape
	Shape     StageKind = "shape"      // make up, into tins or onto trays
	Proof     StageKind = "proof"      // final proof
	Score     StageKind = "score"      // cut, wash, dock
	Bake      StageKind = "bake"       //
	Cool      StageKind = "cool"       // on racks, before finishing or handing over
	Finish    StageKind = "finish"     // glaze, ice, wrap
)

// Tasks of a plan that are not stages of a method.
const (
	Preheat StageKind = "preheat" // heat or cool the oven for the next load
)

// StageKinds lists the kinds in the order a dough may meet them.
func StageKinds() []StageKind {
	return []StageKind{Prepare, Mix, Rest, Rise, Fold, KnockBack, Divide, Round, Shape, Proof, Score, Bake, Cool, Finish}
}

// Work reports whether the stage is something hands do.
func (k StageKind) Work() bool {
	switch k {
	case Prepare, Mix, Fold, KnockBack, Divide, Round, Shape, Score, Finish:
		return true
	}
	return false
}

// Rises reports whether the stage is a rise with a ready window.
func (k StageKind) Rises() bool { return k == Rise || k == Proof }

// Waits reports whether the stage is a wait between fixed limits.
func (k StageKind) Waits() bool { return k == Rest || k == Cool }

// Stage is one step of a method. Which fields count depends on Kind; Validate
// names those that are missing or do not belong.
type Stage struct {
	Kind  StageKind `json:"kind"`
	Label string    `json:"label,omitempty"` // the baker's own words
	// Part names the preferment or soaker a stage belongs to; "" is the dough.
	// The stages of a part run in order and join the dough at its first mix.
	Part string `json:"part,omitempty"`

	// Work: Minutes for the batch plus PerPiece for every piece. A mix also has
	// the dough temperature wanted off the mixer; Machine says the mixer is
	// needed, Alone that hands are free after the first two minutes.
	Minutes  unit.Minutes `json:"minutes,omitempty"`
	PerPiece float64      `json:"seconds_per_piece,omitempty"`
	Dough    unit.Celsius `json:"dough_celsius,omitempty"`
	Machine  bool         `json:"machine,omitempty"`
	Alone    bool         `json:"alone,omitempty"`

	// Waits (rest, cool): between Least and Most.
	Least unit.Minutes `json:"least_minutes,omitempty"`
	Most  unit.Minutes `json:"most_minutes,omitempty"`

	// Rises and waits: where. "" is the bench.
	Place string `json:"place,omitempty"`
	// Rises: until how far, and whether the whole rise may be in the cold
	// instead. Folds on the way, each FoldMinutes of hands, are at shares of the
	// way to ready, 0..1, or at minutes after the rise began; never both.
	Until     Target         `json:"until,omitzero"`
	Folds     []float64      `json:"folds,omitempty"`
	FoldTimes []unit.Minutes `json:"fold_minutes,omitempty"`
	Chill     *Chill         `json:"chill,omitempty"`

	// Bake: the steps, first to last.
	Steps []BakeStep `json:"steps,omitempty"`
}

// Target says how far a rise should go: a word, or an expansion as marked on a
// straight-sided jar. The word's expansion is given by [Target.Ratio].
type Target struct {
	Word      TargetWord `json:"word,omitempty"`
	Expansion float64    `json:"expansion,omitempty"` // volume against the dough just mixed, 1.2 to 4
}

// TargetWord is how a baker says how far.
type TargetWord string

// The words for a rise.
const (
	Doubled       TargetWord = "doubled"        // by eye or finger
	HalfMore      TargetWord = "half-more"      // risen by about two thirds, lean and folded
	Recedes       TargetWord = "recedes"        // the impression remains and the dough recedes slightly
	TinFull       TargetWord = "tin-full"       // doubled in its tin
	ThreeQuarters TargetWord = "three-quarters" // free-standing, risen by three quarters
	WellRisen     TargetWord = "well-risen"     // free-standing, baked without steam: two and a half times
	Ripe          TargetWord = "ripe"           // a preferment, risen and about to recede
)

// Chill allows a rise to be held cold from its beginning, where that helps the
// plan; with Always it is part of the bread.
type Chill struct {
	Place  string       `json:"place"`
	Least  unit.Minutes `json:"least_minutes"`
	Most   unit.Minutes `json:"most_minutes"`
	Always bool         `json:"always,omitempty"`
}

// BakeStep is one step of a bake.
type BakeStep struct {
	Celsius unit.Celsius `json:"celsius"`
	Minutes unit.Minutes `json:"minutes"`
	Steam   bool         `json:"steam,omitempty"`
}
