package simulate

import (
	"errors"
	"fmt"
	"math"

	"ovenward/schedule/rise"
)

// Report is what became of a dough.
type Report struct {
	Steps    []Outcome      `json:"steps"`
	Minutes  float64        `json:"minutes"` // from the mixer to the end
	Cautions []rise.Caution `json:"cautions,omitempty"`
	Trace    []Point        `json:"trace"` // a point every five minutes, at most 500 a step, and the beginning and end of every step
}

// Outcome is one step. Minutes of the window count from the beginning of the
// step, as if the dough stayed in its place; 0 is reached already, what is not
// reached within a week is left out.
type Outcome struct {
	Name      string  `json:"name,omitempty"`
	From      float64 `json:"from"`    // minutes from the mixer
	Minutes   float64 `json:"minutes"` // how long it lasted
	Celsius   float64 `json:"celsius"` // the dough's mean at the end
	Core      float64 `json:"core_celsius"`
	Gas       float64 `json:"gas_ml_per_g_flour"` // made since the mixer
	Expansion float64 `json:"expansion"`          // at the end, before the handling
	After     float64 `json:"expansion_after"`    // after it
	Dose      float64 `json:"dose"`               // at the end, towards Target; 1 is just right
	Target    float64 `json:"target"`             // expansion the window is reckoned for

	Ready    *float64       `json:"ready,omitempty"`
	Best     *float64       `json:"best,omitempty"`
	Low      *float64       `json:"best_10,omitempty"` // in one of ten doughs best comes before
	High     *float64       `json:"best_90,omitempty"` // in one of ten it comes after
	Late     *float64       `json:"late,omitempty"`
	TooFar   *float64       `json:"too_far,omitempty"`
	Then     rise.Handling  `json:"then,omitempty"`
	Cautions []rise.Caution `json:"cautions,omitempty"`
}

// traceEvery is how many minutes lie between the points of a report's trace.
const traceEvery = 5.0

// Follow takes the dough of h through its steps. The error is h.Validate's, or
// a step that does not begin where the one before ended.
func Follow(h History) (Report, error) {
	if err := h.Validate(); err != nil {
		return Report{}, err
	}
	body, err := h.Piece.Body()
	if err != nil {
		return Report{}, err
	}
	s, err := Start(&Dough{Recipe: h.Dough.Recipe(), Speed: h.Speed}, 0, body, h.Celsius)
	if err != nil {
		return Report{}, err
	}
	r := Report{Cautions: s.Kinetics().Cautions()}
	if h.Liquid > 0 {
		if c, said := rise.Liquid(h.Liquid); said {
			r.Cautions = append(r.Cautions, c)
		}
	}
	for i, step := range h.Steps {
		var f faults
		step.validateFrom(&f, fmt.Sprintf("steps[%d]", i), s.Minute)
		if len(f) > 0 {
			return Report{}, errors.Join(f...)
		}
		out, err := r.follow(&s, step)
		if err != nil {
			return Report{}, fmt.Errorf("steps[%d]: %w", i, err)
		}
		r.Steps = append(r.Steps, out)
	}
	r.Minutes = s.Minute
	return r, nil
}

// follow takes s through one step.
func (r *Report) follow(s *State, step Step) (Outcome, error) {
	h, _ := step.Air.Coefficient()
	air := Steady(step.Celsius, h)
	target := step.target(s.Kinetics().Narrow())
	out := Outcome{Name: step.Name, From: s.Minute, Target: target.Expansion, Then: step.Then}
	begin := *s
	if step.Minutes > 0 || step.Until > 0 {
		out.forecast(s, air, target)
	}
	reached := true
	if out.Minutes = step.Minutes; step.Until > 0 {
		ahead := *s
		out.Minutes, reached = ahead.WaitUntil(air, step.Until, mostStep)
	}
	r.Trace = append(r.Trace, begin.Trace([]Leg{{Air: air}}, out.Minutes, max(traceEvery, out.Minutes/500), target)...)
	s.Wait(air, out.Minutes)

	y := s.Yeast()
	out.Celsius, out.Core = float64(s.Mean()), float64(s.Core())
	out.Gas, out.Expansion, out.Dose = y.GasPerFlour(s.Kinetics()), s.Expansion(), s.Dose(target.Expansion)
	out.warn(&begin, s, step, reached)
	s.Handle(step.Then)
	if step.Piece != nil {
		body, err := step.Piece.Body()
		if err == nil {
			err = s.Reshape(body)
		}
		if err != nil {
			return out, err
		}
	}
	out.After = s.Expansion()
	return out, nil
}

// forecast fills in the window and how sure it is.
func (o *Outcome) forecast(s *State, air *Air, t rise.Target) {
	w := s.Window(air, Target{Target: t}, mostStep)
	o.Ready, o.Best, o.Late, o.TooFar = reachedBy(w.Ready), reachedBy(w.Best), reachedBy(w.Late), reachedBy(w.TooFar)
	if o.Best == nil || w.Best == 0 {
		return
	}
	low, high := rise.Range(w.Best, w.Spread)
	if w.Cold {
		low, high = min(low, s.bestBy(fast, air, t)), max(high, s.bestBy(slow, air, t))
	}
	o.Low, o.High = reachedBy(low), reachedBy(high)
}

func reachedBy(minutes float64) *float64 {
	if minutes >= mostStep {
		return nil
	}
	return &minutes
}

// warn says what the baker should know of a step.
func (o *Outcome) warn(before, s *State, step Step, reached bool) {
	say := func(code rise.Code, level rise.Level, value float64, format string, args ...any) {
		o.Cautions = append(o.Cautions, rise.Caution{Code: code, Level: level, Value: value, Message: fmt.Sprintf(format, args...)})
	}
	switch dead := s.Yeast().Dead; {
	case dead > 0.999:
		say(rise.YeastDead, rise.Grave, dead, "the yeast is dead: the dough was too hot for too long")
	case dead >= 0.1 && dead > before.Yeast().Dead:
		say(rise.YeastDying, rise.Warning, dead, "heat has killed %.0f %% of the yeast", 100*dead)
	}
	if !reached {
		say(rise.Stalled, rise.Grave, o.Expansion, "the dough does not rise to %v here, within a week it stands at %.2f; find it a warmer place, or a lower mark", step.Until, o.Expansion)
	}
	if rise.ThreeCurves(s.Mean()) && o.Minutes > 0 {
		say(rise.ColdUnsure, rise.Care, math.Round(o.Celsius*10)/10, "below 15 °C rises are little known; look at the dough")
	}
}
