package schedule

import (
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// PlanFormat names the version of the plan file.
const PlanFormat = "ovenward-plan/1"

// Plan is a day worked out. All instants are on whole minutes, in the day's
// zone.
type Plan struct {
	Format  string    `json:"format"` // PlanFormat
	Day     string    `json:"day"`    // name of the day
	Zone    string    `json:"zone"`
	Made    time.Time `json:"made"` // the now it was made for
	Batches []Batch   `json:"batches"`
	Loads   []Load    `json:"loads"`
	Tasks   []Task    `json:"tasks"` // by start, then ID
	Outcome Outcome   `json:"outcome"`
	Lost    []Loss    `json:"lost,omitempty"` // what was thrown away, in the order it was said
}

// Task finds a task of the plan by its ID, nil for none.
func (p *Plan) Task(id string) *Task {
	if i := slices.IndexFunc(p.Tasks, func(t Task) bool { return t.ID == id }); i >= 0 {
		return &p.Tasks[i]
	}
	return nil
}

// Batch is what is mixed together.
type Batch struct {
	ID       string     `json:"id"`    // "A", "B", ... by first promise
	Dough    string     `json:"dough"` // ID of the base or the bread
	Name     string     `json:"name"`  // the dough's name
	Mass     unit.Grams `json:"mass_grams"`
	Portions []Portion  `json:"portions"`
}

// Portion is the part of a batch that becomes one oven load of one bread.
//
// The dough is whole (tasks without Portion) until the parting: with a Base, the
// whole of the base's method; else the bread's stages before its first Divide,
// or before its first Shape where nothing is divided. From there on every
// portion has tasks of its own. A wait that ends the whole dough's stages (the
// bulk rise) is a task of the whole dough that ends when the first portion is
// taken; the rest goes on rising, and the first task of every portion must begin
// inside that rise's window. A Task's Stage counts in the method it comes from:
// the base's for tasks without Portion of a bread with a Base.
type Portion struct {
	ID     string `json:"id"`    // "A1", "A2", ...
	Order  int    `json:"order"` // index in Day.Orders
	Bread  string `json:"bread"` // ID
	Name   string `json:"name"`
	Pieces int    `json:"pieces"`
	Trays  int    `json:"trays"`
}

// Load is what is in one oven at one time at one heat.
type Load struct {
	ID       string       `json:"id"` // "1", "2", ... in order
	Oven     string       `json:"oven"`
	Portions []string     `json:"portions"` // IDs
	Trays    int          `json:"trays"`    // most at once
	Celsius  unit.Celsius `json:"celsius"`  // when the first goes in
	Start    time.Time    `json:"start"`
	End      time.Time    `json:"end"`
}

// Task is a stage given a time.
type Task struct {
	ID      string       `json:"id"`                // "A.3" in the dough, "A1.2" in a portion: stable while the batches are
	Batch   string       `json:"batch,omitempty"`   // "" for the oven's own tasks
	Portion string       `json:"portion,omitempty"` // "" while the dough is whole
	Part    string       `json:"part,omitempty"`    // preferment or soaker
	Stage   int          `json:"stage"`             // index in the method
	Kind    StageKind    `json:"kind"`
	Name    string       `json:"name"` // of the dough or bread
	Label   string       `json:"label,omitempty"`
	Pieces  int          `json:"pieces,omitempty"`
	Mass    unit.Grams   `json:"mass_grams,omitempty"`
	Start   time.Time    `json:"start"`
	End     time.Time    `json:"end"`
	Hands   []Hands      `json:"hands,omitempty"`
	Mixer   string       `json:"mixer,omitempty"`
	Oven    string       `json:"oven,omitempty"`
	Decks   []OnDeck     `json:"decks,omitempty"` // of a bake, where decks are told apart
	Place   string       `json:"place,omitempty"`
	Chilled bool         `json:"chilled,omitempty"` // the rise is held in the cold
	Celsius unit.Celsius `json:"celsius,omitempty"` // oven on loading, or dough wanted off the mixer
	Steam   bool         `json:"steam,omitempty"`
	Window  *Window      `json:"window,omitempty"`   // of a rise: when it may end
	Rescue  *Rescue      `json:"rescue,omitempty"`   // of a rise: what moves its window on the way
	TooFar  *time.Time   `json:"too_far,omitempty"`  // of what follows a rise: the last moment to begin
	Promise *time.Time   `json:"promise,omitempty"`  // on the task whose end was promised
	Late    unit.Minutes `json:"late_min,omitempty"` // past the promise
	Why     *Reason      `json:"why,omitempty"`      // why then and not later
}

// Hands says who works when; a bake has two: load and unload.
type Hands struct {
	Baker string    `json:"baker"`
	From  time.Time `json:"from"`
	To    time.Time `json:"to"`
}

// Window is when a rise may be acted on, with the forecast's spread: the dough
// is ready before Early in one case of ten and after Tardy in one of ten.
type Window struct {
	Ready  time.Time `json:"ready"`   // earliest good moment
	Best   time.Time `json:"best"`    // target reached
	Late   time.Time `json:"late"`    // act now: end of the good moments
	TooFar time.Time `json:"too_far"` // past it quality falls
	Early  time.Time `json:"early"`   // 10 % forecast of Best
	Tardy  time.Time `json:"tardy"`   // 90 % forecast of Best
}

// ReasonCode says what kind of thing fixes a time.
type ReasonCode string

// The reasons a time is what it is. Words for them belong to the screen.
const (
	ByPromise ReasonCode = "promise" // a promise: later would be late
	ByTooFar  ReasonCode = "too-far" // the dough before it would go too far
	ByReady   ReasonCode = "ready"   // the dough is not ready sooner
	ByHands   ReasonCode = "hands"   // the person is busy or away after
	ByOven    ReasonCode = "oven"    // the oven is taken or at another heat after
	ByMixer   ReasonCode = "mixer"   // the mixer is taken after
	BySpace   ReasonCode = "space"   // the place is full after
	ByTin     ReasonCode = "tins"    // the tins are in use after
	ByTray    ReasonCode = "trays"   // the trays are in use after
	ByNext    ReasonCode = "next"    // the next stage follows at once
	ByNow     ReasonCode = "now"     // nothing can begin before now
	ByBest    ReasonCode = "best"    // the rise that follows is then at its best when it is acted on
	ByFresh   ReasonCode = "fresh"   // kept close to its promise
)

// Reason is why a task is when it is.
type Reason struct {
	Code ReasonCode `json:"code"`
	Of   string     `json:"of,omitempty"`   // the person, oven, place, task it comes from
	At   *time.Time `json:"at,omitempty"`   // the moment that binds
	Name string     `json:"name,omitempty"` // of the bread concerned
}

// Outcome is how good a plan is and how that is known.
type Outcome struct {
	Kept       bool         `json:"kept"`            // every promise kept and nothing broken
	LateTotal  unit.Minutes `json:"late_minutes"`    // weighted minutes past promises
	LeastLate  bool         `json:"least_late"`      // proved: no plan is less late
	Broken     []Violation  `json:"broken"`          // what the nearest plan could not satisfy
	Binding    *Reason      `json:"binding"`         // the one thing in the way, when late or broken
	WaysOut    []WayOut     `json:"ways_out"`        // what would help, when late or broken
	Notes      []Note       `json:"notes,omitempty"` // worth knowing, nothing broken
	WorkStart  time.Time    `json:"work_start"`
	WorkEnd    time.Time    `json:"work_end"`
	HandsTotal unit.Minutes `json:"hands_minutes"`
	Pause      unit.Minutes `json:"longest_pause_minutes"` // longest stretch with nobody's hands needed
	Steps      int          `json:"steps"`                 // search steps used
	Brief      bool         `json:"brief,omitempty"`       // made by a search cut short, that did not look for all better plans, what binds and what would help
}

// WayOut is a change that would lessen lateness, with its effect.
type WayOut struct {
	// Code is "stay" (Asked are there longer), "hands" (one more pair, from From to
	// To), "earlier" (everybody By sooner, in plans made before "stay"), "chill" (the final proof of Of may be held in the cold), "smaller"
	// (Pieces fewer of order Order), "promise" (everything By later), "oven",
	// "mixer", "space", "tins" or "trays" (more of Of).
	Code   string       `json:"code"`
	Of     string       `json:"of,omitempty"`     // name of what it concerns
	By     unit.Minutes `json:"by,omitempty"`     // later or sooner by
	Pieces int          `json:"pieces,omitempty"` // fewer
	Order  int          `json:"order,omitempty"`  // number of the order, from 1
	From   *time.Time   `json:"from,omitempty"`
	To     *time.Time   `json:"to,omitempty"`
	Asked  []Asked      `json:"asked,omitempty"`
	Late   unit.Minutes `json:"late_minutes"` // lateness that remains
}

// Note is a remark about a plan that breaks nothing.
type Note struct {
	Code string       `json:"code"` // "below-mixer", "yeast-hot", "cold-range", "clocks-change", "alert-load", "split", "late-fold"
	Of   string       `json:"of,omitempty"`
	At   *time.Time   `json:"at,omitempty"`
	Num  float64      `json:"num,omitempty"`
	By   unit.Minutes `json:"by,omitempty"`
}

// ViolationCode says which rule a plan breaks.
type ViolationCode string

// The rules Check knows.
const (
	BadTask     ViolationCode = "task"     // missing, doubled, unknown or out of order
	BadDuration ViolationCode = "duration" // not as long as the stage takes
	BadWait     ViolationCode = "wait"     // outside least..most
	TooEarly    ViolationCode = "unripe"   // a rise cut short of ready
	TooLate     ViolationCode = "too-far"  // a rise past too far
	HandsClash  ViolationCode = "hands"    // one person, two things at once
	OffHours    ViolationCode = "hours"    // someone not at work, away or not able
	MixerClash  ViolationCode = "mixer"    // two mixes in one bowl, or too much dough
	OvenFull    ViolationCode = "oven"     // more on a deck, or in the oven, than it takes
	OvenHeat    ViolationCode = "heat"     // not at its temperature in time
	SpaceFull   ViolationCode = "space"    // more trays or tubs than a place takes
	TinsOut     ViolationCode = "tins"     // more tins in use than there are
	TraysOut    ViolationCode = "trays"    // more trays in use than there are
	LatePromise ViolationCode = "late"     // out or cool after the promise
	BeforeNow   ViolationCode = "past"     // planned before now
	ShortOrder  ViolationCode = "pieces"   // fewer or more pieces than ordered
)

// Violation is one way in which a plan does not hold.
type Violation struct {
	Code ViolationCode `json:"code"`
	Task string        `json:"task,omitempty"` // task ID
	Of   string        `json:"of,omitempty"`   // the resource or bread concerned
	At   time.Time     `json:"at"`
	By   unit.Minutes  `json:"by,omitempty"`   // how far over
	Deck int           `json:"deck,omitempty"` // of the oven, from 1, where decks are told apart
	Over float64       `json:"over,omitempty"` // what is too much on it, as a share of what it takes
}
