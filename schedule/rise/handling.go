package rise

import "ovenward/schedule/unit"

// Handling is what hands do to a dough between two waits.
type Handling string

// The handlings, and the share of free gas each presses out. The fit knows two
// losses, light and hard; which handling is which is a choice read off the
// published schedules it was fitted to: folds and lay-overs were light,
// knocking back hard and moulding were hard. Dividing and rounding before a
// bench rest is light, so that divide, rest and shape lose 0.93 in all.
const (
	Leave     Handling = "leave"      // nothing lost
	AddSalt   Handling = "add salt"   // late salt goes in; worked in like a fold
	Fold      Handling = "fold"       // stretched and folded: light
	LayOver   Handling = "lay over"   // knocked back gently, turned over: light
	KnockBack Handling = "knock back" // pressed out thoroughly: hard
	Divide    Handling = "divide"     // scaled and rounded: light
	Shape     Handling = "shape"      // moulded: hard
)

// Loss is the share of the free gas that h presses out, and false for no
// handling at all.
func (h Handling) Loss(p *Params) (float64, bool) {
	switch h {
	case "", Leave:
		return 0, true
	case Fold, LayOver, Divide, AddSalt:
		return p.Light, true
	case KnockBack, Shape:
		return p.Hard, true
	}
	return 0, false
}

// Handle does h to a dough of mean temperature t. An unknown handling does
// nothing.
func (s *State) Handle(k *Kinetics, h Handling, t unit.Celsius) {
	loss, known := h.Loss(&k.params)
	if !known || h == "" || h == Leave {
		return
	}
	if h == AddSalt {
		s.Salt = true
	}
	s.Degas(k, loss, t)
}

// Degas presses out a share of the free gas and begins a new rise; what is
// dissolved stays.
func (s *State) Degas(k *Kinetics, loss float64, t unit.Celsius) {
	if free := s.Held - k.Dissolved(t); free > 0 && loss > 0 {
		s.Held -= min(loss, 1) * free
	}
	s.Base, s.Since = s.Held, 0
}
