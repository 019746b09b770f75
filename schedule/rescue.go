package schedule

import (
	"math"
	"time"

	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
)

// RescueKind is how a rise is moved that cannot be acted on in its window.
type RescueKind string

// The rescues.
const (
	ChillAWhile RescueKind = "chill"      // into the cold from..to, and out again
	PressAgain  RescueKind = "knock-back" // the gas pressed out, to rise once more
	FinishWarm  RescueKind = "take-out"   // out of the cold, to finish where it is warmer
	ColdLater   RescueKind = "cold-later" // at the bench from..to, and only then into the cold
)

// Rescue is what is done to a rise on the way, so that its window comes later, or
// sooner. What a while in the cold, or the rest of a cold rise out of it, does
// follows from the dough's own cooling and warming: a large dough hardly notices
// half an hour. Of a rise planned in the cold it may be that it goes in later.
type Rescue struct {
	Kind  RescueKind `json:"kind"`
	Place string     `json:"place,omitempty"` // of a chill, and where dough is that is not in the cold yet or any more
	From  time.Time  `json:"from"`
	To    time.Time  `json:"to"` // of what is taken out: when the rise is to be ended
	// In is when what is taken out had gone into the cold, if its rise had begun at
	// the bench.
	In time.Time `json:"in,omitzero"`
}

// spell is a rescue in grid minutes.
type spell struct {
	kind     RescueKind
	place    string
	from, to int
	in       int // of a rise begun at the bench and taken out: when it went into the cold; 0 at once
}

// between says whether the dough is elsewhere from..to and at its place otherwise.
func (s *spell) between() bool { return s.kind == ChillAWhile || s.kind == ColdLater }

func (g *grid) spell(r *Rescue) *spell {
	if r == nil {
		return nil
	}
	s := &spell{kind: r.Kind, place: r.Place, from: g.minute(r.From), to: g.minute(r.To)}
	if !r.In.IsZero() {
		s.in = g.minute(r.In)
	}
	return s
}

func (g *grid) rescue(s *spell) *Rescue {
	if s == nil {
		return nil
	}
	r := &Rescue{Kind: s.kind, Place: s.place, From: g.at(s.from), To: g.at(s.to)}
	if s.in > 0 {
		r.In = g.at(s.in)
	}
	return r
}

// through leaves the dough in wait i until minute, its rescue included.
func (w *walker) through(p *passage, i int, s *simulate.State, minute int) {
	task := p.strand.taskID(p.strand.waits[i].stage, 0)
	home := w.place(p, i)
	if r := p.spell[i]; r != nil {
		begun := s.Minute <= float64(r.from)
		if bench, ok := w.kitchen.Place(""); ok && r.in > 0 {
			w.pass(p.strand, bench, task, s, min(r.in, minute))
		}
		w.pass(p.strand, home, task, s, min(r.from, minute))
		if place, ok := w.kitchen.Place(r.place); ok && r.between() {
			w.pass(p.strand, place, task, s, min(r.to, minute))
		} else if ok && r.kind == FinishWarm {
			home = place
		} else if r.kind == PressAgain && begun && minute >= r.from {
			s.Handle(rise.KnockBack)
		}
	}
	w.pass(p.strand, home, task, s, minute)
}

// ahead is the window of wait i from s on, in grid minutes, its rescue
// included.
func (w *walker) ahead(p *passage, i int, s simulate.State) simulate.Window {
	home, goal := w.airOf(p, i), p.goal(i)
	route := []simulate.Leg{{Air: home}}
	if r := p.spell[i]; r != nil && s.Minute <= float64(r.from) && r.kind == PressAgain {
		w.through(p, i, &s, r.from)
	} else if r != nil && s.Minute < float64(r.to) && r.between() {
		if place, ok := w.kitchen.Place(r.place); ok {
			before := math.Max(0, float64(r.from)-s.Minute)
			route = []simulate.Leg{{Air: home, Minutes: before}, {Air: w.grid.air[place.Name], Minutes: float64(r.to) - s.Minute - before}, {Air: home}}
		}
	} else if r != nil && r.kind == FinishWarm {
		if out, ok := w.kitchen.Place(r.place); ok {
			bench, _ := w.kitchen.Place("")
			first := math.Max(0, float64(r.in)-s.Minute)
			route = []simulate.Leg{
				{Air: w.grid.air[bench.Name], Minutes: first},
				{Air: home, Minutes: math.Max(0, float64(r.from)-s.Minute-first)}, {Air: w.grid.air[out.Name]},
			}
		}
	}
	v := s.Along(route, goal, riseLimit)
	v.Ready += s.Minute
	v.Best += s.Minute
	v.Late += s.Minute
	v.TooFar += s.Minute
	return v
}
