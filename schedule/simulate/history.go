package simulate

import (
	"fmt"

	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/unit"
)

// History is the story of one dough as a person writes it down. Percentages
// are baker's percent, all flour together is 100.
type History struct {
	Dough   Formula      `json:"dough"`
	Speed   float64      `json:"speed,omitempty"`          // the dough's own speed over the model's, 0.5 to 2; 0 means 1
	Liquid  unit.Celsius `json:"liquid_celsius,omitempty"` // the liquid the yeast was stirred into, if warm
	Celsius unit.Celsius `json:"start_celsius"`            // the dough off the mixer
	Piece   Piece        `json:"piece"`
	Steps   []Step       `json:"steps"`
}

// Formula is a dough in baker's percent.
type Formula struct {
	Yeast         unit.Percent `json:"yeast"`
	Kind          rise.Kind    `json:"yeast_kind,omitempty"` // "fresh" (also ""), "active dry", "instant"
	Salt          unit.Percent `json:"salt"`
	Sugar         unit.Percent `json:"sugar,omitempty"`
	Hexose        unit.Percent `json:"hexose,omitempty"` // glucose and fructose: of honey, syrup
	Fat           unit.Percent `json:"fat,omitempty"`
	Water         unit.Percent `json:"water"` // all of it: of milk, egg, butter too
	Other         unit.Percent `json:"other,omitempty"`
	DoughPerFlour float64      `json:"dough_per_flour,omitempty"` // where known better than the sum of the above
	LateSalt      bool         `json:"late_salt,omitempty"`       // salt goes in with the handling "add salt"
	WholeGrain    bool         `json:"whole_grain,omitempty"`
	WeakFlour     bool         `json:"weak_flour,omitempty"` // less than 10 % protein
}

// Recipe is f as yeast sees it.
func (f Formula) Recipe() rise.Recipe { return rise.Recipe(f) }

// Form is the form of a piece of dough.
type Form string

// The forms.
const (
	Ball  Form = "ball"  // lying free; also ""
	Tub   Form = "tub"   // round, of Diameter
	Tin   Form = "tin"   // rectangular, of Length and Width
	Sheet Form = "sheet" // of Thickness
)

// Piece is the dough's mass and form. Measures are centimetres, inside.
type Piece struct {
	Grams     unit.Grams `json:"grams"`
	Form      Form       `json:"form,omitempty"`
	Diameter  float64    `json:"diameter_cm,omitempty"`
	Length    float64    `json:"length_cm,omitempty"`
	Width     float64    `json:"width_cm,omitempty"`
	Thickness float64    `json:"thickness_cm,omitempty"`
	BothFaces bool       `json:"both_faces,omitempty"` // a sheet on a rack or thin metal, cooled from below too
}

// Body is p for conduction.
func (p Piece) Body() (heat.Body, error) {
	var b heat.Body
	var missing string
	switch p.Form {
	case "", Ball:
		b = heat.Ball(p.Grams)
	case Tub:
		b, missing = heat.Tub(p.Grams, p.Diameter/100), lacks(p.Diameter, "diameter_cm")
	case Tin:
		b, missing = heat.Tin(p.Grams, p.Length/100, p.Width/100), lacks(p.Length, "length_cm")+lacks(p.Width, "width_cm")
	case Sheet:
		b, missing = heat.Flat(p.Grams, p.Thickness/100, p.BothFaces), lacks(p.Thickness, "thickness_cm")
	default:
		return b, &rise.Fault{Field: "form", Message: fmt.Sprintf("%q is no form; give %q, %q, %q or %q", string(p.Form), Ball, Tub, Tin, Sheet)}
	}
	if !(p.Grams >= 1 && p.Grams <= 1e6) {
		return b, &rise.Fault{Field: "grams", Message: fmt.Sprintf("a piece of %v g cannot be; give 1 to 1000000", float64(p.Grams))}
	}
	if missing != "" {
		return b, &rise.Fault{Field: missing, Message: fmt.Sprintf("a %s needs its measure inside; give 0.5 to 300 cm", p.Form)}
	}
	if err := b.Validate(); err != nil {
		return b, &rise.Fault{Field: "form", Message: err.Error()}
	}
	return b, nil
}

func lacks(measure float64, field string) string {
	if measure >= 0.5 && measure <= 300 {
		return ""
	}
	return field
}

// Passing says how a place passes heat to dough.
type Passing string

// The ways of passing heat, see package heat for their coefficients.
const (
	Open    Passing = "still"   // open dough in a quiet room
	Covered Passing = "covered" // covered dough in still air; also ""
	Fridge  Passing = "fridge"  // household fridge without a fan
	Fan     Passing = "fan"     // fridge or retarder with a fan
	Humid   Passing = "humid"   // proof box with steam
	Water   Passing = "water"   // water bath
	Held    Passing = "held"    // Celsius is the dough's own temperature
)

// Coefficient is h in W/(m² K), and false for no such way.
func (p Passing) Coefficient() (float64, bool) {
	switch p {
	case Open:
		return heat.StillOpen, true
	case "", Covered:
		return heat.StillCovered, true
	case Fridge:
		return heat.FridgeStatic, true
	case Fan:
		return heat.FridgeFan, true
	case Humid:
		return heat.ProofBox, true
	case Water:
		return heat.WaterBath, true
	case Held:
		return Kept, true
	}
	return 0, false
}

// Step is a wait in one place and the handling that ends it. It lasts Minutes,
// or until the dough has risen to Until, whichever is given.
type Step struct {
	Name    string        `json:"name,omitempty"`
	From    *float64      `json:"from,omitempty"` // minutes from the mixer, where written down: must be where the step before ended
	Celsius unit.Celsius  `json:"celsius"`        // of the place
	Air     Passing       `json:"air,omitempty"`
	Minutes float64       `json:"minutes,omitempty"`
	Until   float64       `json:"until,omitempty"` // expansion: 2 is doubled by a mark
	Then    rise.Handling `json:"then,omitempty"`
	Piece   *Piece        `json:"piece,omitempty"` // after the handling, where it changed
	Target  *Goal         `json:"target,omitempty"`
}

// Goal is what the ready window of a step is reckoned for; without one, the
// step's Until, or doubled by eye.
type Goal struct {
	Expansion float64    `json:"expansion"`
	Stage     rise.Stage `json:"stage,omitempty"` // "bulk" (also ""), "in tin", "free-standing"
}

// target is what the step's window is reckoned for.
func (s Step) target(narrow bool) rise.Target {
	t := rise.Target{Expansion: rise.DoubledByEye, Narrow: narrow}
	if s.Until > 0 {
		t.Expansion = s.Until
	}
	if s.Target != nil {
		t.Expansion, t.Stage = s.Target.Expansion, s.Target.Stage
	}
	return t
}
