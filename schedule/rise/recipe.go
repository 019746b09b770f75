package rise

import (
	"errors"
	"fmt"
	"math"

	"ovenward/schedule/unit"
)

// Kind is the trade form of baker's yeast.
type Kind string

// The kinds of yeast.
const (
	Fresh     Kind = "fresh" // compressed; the zero value "" means it too
	ActiveDry Kind = "active dry"
	Instant   Kind = "instant"
)

// Recipe is a dough as yeast sees it, in baker's percent of all its flour.
type Recipe struct {
	Yeast         unit.Percent // as weighed
	Kind          Kind
	Salt          unit.Percent
	Sugar         unit.Percent // sucrose; inverts at once, so counts double
	Hexose        unit.Percent // glucose and fructose: honey, invert syrup, half of fruit
	Fat           unit.Percent
	Water         unit.Percent // all water: of milk, egg, butter and honey too
	Other         unit.Percent // all the rest of the dough: milk solids, egg solids, seeds
	DoughPerFlour float64      // dough per flour where it is known better; 0 adds up the above

	LateSalt   bool // salt is kept out until [AddSalt]
	WholeGrain bool // mostly whole-grain flour: narrower window
	WeakFlour  bool // less than 10 % protein: narrower window
}

// Ratio is D, dough per flour.
func (r *Recipe) Ratio() float64 {
	if r.DoughPerFlour > 0 {
		return r.DoughPerFlour
	}
	return float64(100+r.Yeast+r.Salt+r.Sugar+r.Hexose+r.Fat+r.Water+r.Other) / 100
}

// FreshYeast is y, the yeast as baker's percent of fresh yeast.
func (r *Recipe) FreshYeast(p *Params) float64 {
	switch r.Kind {
	case ActiveDry:
		return float64(r.Yeast) * p.ActiveDry
	case Instant:
		return float64(r.Yeast) * p.Instant
	default:
		return float64(r.Yeast)
	}
}

// osmolality is dissolved osmol per kg of the dough's water, the flour's own
// moisture left out: salt splits in two, sucrose is inverted at once.
func (r *Recipe) osmolality(salt unit.Percent) float64 {
	if r.Water <= 0 {
		return math.Inf(1)
	}
	const nacl, sucrose, hexose = 58.44, 342.3, 180.16 // g/mol
	return 1000 * (2*float64(salt)/nacl + 2*float64(r.Sugar)/sucrose + float64(r.Hexose)/hexose) / float64(r.Water)
}

// narrow says whether the dough forgives less than most.
func (r *Recipe) narrow() bool { return r.WholeGrain || r.WeakFlour || r.Fat > 15 }

// Validate names every field that cannot be, with a remedy.
func (r *Recipe) Validate() error {
	var faults []error
	fault := func(field, format string, args ...any) {
		faults = append(faults, &Fault{Field: field, Message: fmt.Sprintf(format, args...)})
	}
	for _, part := range []struct {
		field string
		value unit.Percent
		most  float64
	}{
		{"yeast", r.Yeast, 25}, {"salt", r.Salt, 20}, {"sugar", r.Sugar, 100}, {"hexose", r.Hexose, 100},
		{"fat", r.Fat, 150}, {"water", r.Water, 300}, {"other", r.Other, 500},
	} {
		if !(part.value >= 0 && float64(part.value) <= part.most) {
			fault(part.field, "%v %% of the flour cannot be; give 0 to %v", float64(part.value), part.most)
		}
	}
	if r.Yeast == 0 {
		fault("yeast", "a dough without yeast does not rise; give its percent of the flour, such as 1.5")
	}
	if r.Water == 0 {
		fault("water", "a dough without water does not rise; give all its water in percent of the flour, such as 62")
	}
	if r.DoughPerFlour != 0 && !(r.DoughPerFlour > 1 && r.DoughPerFlour < 10) {
		fault("dough_per_flour", "%v cannot be; give dough weight divided by flour weight, such as 1.65, or leave it out", r.DoughPerFlour)
	}
	switch r.Kind {
	case "", Fresh, ActiveDry, Instant:
	default:
		fault("yeast_kind", "%q is no kind of yeast; give %q, %q or %q", string(r.Kind), Fresh, ActiveDry, Instant)
	}
	return errors.Join(faults...)
}

// Fault is one field that cannot be as it is, and the remedy.
type Fault struct{ Field, Message string }

// Error is "field: message".
func (f *Fault) Error() string { return f.Field + ": " + f.Message }
