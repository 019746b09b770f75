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
)

// Rescue is what is done to a rise on the way, so that its window comes later, or
// sooner. What a while in the cold, or the rest of a cold rise out of it, does
// follows from the dough's own cooling and warming: a large dough hardly notices
// half an hour.
type Rescue struct {
	Kind  RescueKind `json:"kind"`
	Place string     `json:"place,omitempty"` // of a chill, and where what is taken out goes
	From  time.Time  `json:"from"`
	To    time.Time  `json:"to"` // of what is taken out: when the rise is to be ended
}

// spell is a rescue in grid minutes.
type spell struct {
	kind     RescueKind
	place    string
	from, to int
}

func (g *grid) spell(r *Rescue) *spell {
	if r == nil {
		return nil
	}
	return &spell{r.Kind, r.Place, g.minute(r.From), g.minute(r.To)}
}

func (g *grid) rescue(s *spell) *Rescue {
	if s == nil {
		return nil
	}
	return &Rescue{s.kind, s.place, g.at(s.from), g.at(s.to)}
}

// through leaves the dough in wait i until minute, its rescue included.
func (w *walker) through(p *passage, i int, s *simulate.State, minute int) {
	task := p.strand.taskID(p.strand.waits[i].stage, 0)
	home := w.place(p, i)
	if r := p.spell[i]; r != nil {
		begun := s.Minute <= float64(r.from)
		w.pass(p.strand, home, task, s, min(r.from, minute))
		if place, ok := w.kitchen.Place(r.place); ok && r.kind == ChillAWhile {
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
	} else if r != nil && s.Minute < float64(r.to) && r.kind == ChillAWhile {
		if cold, ok := w.kitchen.Place(r.place); ok {
			room := math.Max(0, float64(r.from)-s.Minute)
			route = []simulate.Leg{{Air: home, Minutes: room}, {Air: w.grid.air[cold.Name], Minutes: float64(r.to) - s.Minute - room}, {Air: home}}
		}
	} else if r != nil && r.kind == FinishWarm {
		if out, ok := w.kitchen.Place(r.place); ok {
			route = []simulate.Leg{{Air: home, Minutes: math.Max(0, float64(r.from)-s.Minute)}, {Air: w.grid.air[out.Name]}}
		}
	}
	v := s.Along(route, goal, riseLimit)
	v.Ready += s.Minute
	v.Best += s.Minute
	v.Late += s.Minute
	v.TooFar += s.Minute
	return v
}
