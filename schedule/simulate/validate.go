package simulate

import (
	"errors"
	"fmt"
	"math"

	"ovenward/schedule/rise"
)

// Bounds of a history: a week, and more steps than anyone writes down.
const (
	mostStep  = 7 * 24 * 60
	mostSteps = 200
)

// faults gathers what cannot be, each with the path of its field.
type faults []error

func (f *faults) add(path, format string, args ...any) {
	*f = append(*f, &rise.Fault{Field: path, Message: fmt.Sprintf(format, args...)})
}

// under adds err with prefix before every field it names.
func (f *faults) under(prefix string, err error) {
	var fault *rise.Fault
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range joined.Unwrap() {
			f.under(prefix, e)
		}
	} else if errors.As(err, &fault) {
		f.add(prefix+"."+fault.Field, "%s", fault.Message)
	} else if err != nil {
		f.add(prefix, "%v", err)
	}
}

// Validate reports every fault at once, each with the path of its field and a
// remedy; the errors within are *rise.Fault.
func (h History) Validate() error {
	var f faults
	recipe := h.Dough.Recipe()
	f.under("dough", recipe.Validate())
	if !(h.Speed == 0 || h.Speed >= 0.1 && h.Speed <= 10) {
		f.add("speed", "%v cannot be; give 0.5 to 2, or leave it out", h.Speed)
	}
	if !(h.Liquid >= 0 && h.Liquid <= 100) {
		f.add("liquid_celsius", "liquid of %v °C cannot be; give 0 to 100, or leave it out", float64(h.Liquid))
	}
	if !(h.Celsius >= -5 && h.Celsius <= 60) {
		f.add("start_celsius", "a dough of %v °C cannot be mixed; give -5 to 60, such as 26", float64(h.Celsius))
	}
	_, err := h.Piece.Body()
	f.under("piece", err)
	switch n := len(h.Steps); {
	case n == 0:
		f.add("steps", "there are none; give at least one place for some minutes")
	case n > mostSteps:
		f.add("steps", "%d are too many; give at most %d", n, mostSteps)
		return errors.Join(f...)
	}
	end := 0.0 // NaN from the first step whose end is not written down
	for i, s := range h.Steps {
		path := fmt.Sprintf("steps[%d]", i)
		s.validate(&f, path)
		s.validateFrom(&f, path, end)
		if end += s.Minutes; s.Until > 0 {
			end = math.NaN()
		}
	}
	return errors.Join(f...)
}

func (s Step) validate(f *faults, path string) {
	switch {
	case !(s.Minutes >= 0 && s.Minutes <= mostStep):
		f.add(path+".minutes", "a wait of %v minutes cannot be; give 0 to %d", s.Minutes, mostStep)
	case s.Minutes > 0 && s.Until != 0:
		f.add(path+".until", "the step has minutes as well; give one of the two")
	case s.Minutes == 0 && s.Until == 0 && (s.Then == "" || s.Then == rise.Leave):
		f.add(path+".minutes", "the step neither lasts nor does anything; give minutes, until or then")
	}
	if s.Until != 0 && !(s.Until > 1 && s.Until <= 10) {
		f.add(path+".until", "%v is no expansion; give more than 1, such as 2 for doubled", s.Until)
	}
	if !(s.Celsius >= coldest && s.Celsius <= hottest) {
		f.add(path+".celsius", "a place of %v °C cannot be; give %d to %d", float64(s.Celsius), coldest, hottest)
	}
	if _, ok := s.Air.Coefficient(); !ok {
		f.add(path+".air", "%q passes no heat; give %q, %q, %q, %q, %q, %q or %q", string(s.Air), Open, Covered, Fridge, Fan, Humid, Water, Held)
	}
	p := rise.Default()
	if _, ok := s.Then.Loss(&p); !ok {
		f.add(path+".then", "%q is no handling; give %q, %q, %q, %q, %q, %q or %q", string(s.Then),
			rise.Leave, rise.Fold, rise.LayOver, rise.KnockBack, rise.Divide, rise.Shape, rise.AddSalt)
	}
	if s.Piece != nil {
		_, err := s.Piece.Body()
		f.under(path+".piece", err)
	}
	if s.Target != nil {
		f.under(path+".target", s.target(false).Validate())
	}
}

// gap is the difference in minutes that rounding a written time may make.
const gap = 1

// validateFrom compares the written beginning of a step with the end of the
// steps before it, where that is known.
func (s Step) validateFrom(f *faults, path string, end float64) {
	if s.From == nil {
		return
	}
	switch from := *s.From; {
	case math.IsNaN(from) || math.IsInf(from, 0):
		f.add(path+".from", "%v is no minute; give one, or leave it out", from)
	case from > end+gap:
		f.add(path+".from", "the step begins at minute %v, but the one before ends at %v; say where the dough was in between", from, math.Round(end))
	case from < end-gap:
		f.add(path+".from", "the step begins at minute %v, before the one before ends at %v; put the steps in order", from, math.Round(end))
	}
}
