package rise

import (
	"fmt"

	"ovenward/schedule/unit"
)

// Code names a caution for programs.
type Code string

// The cautions.
const (
	LiquidCare    Code = "liquid-warm"    // above 43 °C: the limit printed on recipe cards
	LiquidWarning Code = "liquid-hot"     // above 46 °C: yeast may be hurt
	LiquidError   Code = "liquid-killing" // above 55 °C: yeast dies in minutes
	YeastDying    Code = "yeast-dying"    // a tenth of the yeast or more killed by heat
	YeastDead     Code = "yeast-dead"
	ColdUnsure    Code = "cold-unsure" // below 15 °C: no source pins the curve
	LowYeast      Code = "low-yeast"   // below 0.5 % fresh: the model is probably too fast, 1.2 to 1.5 times
	HighSugar     Code = "high-sugar"  // above 15 % with ordinary yeast
	Stalled       Code = "stalled"     // the dough will not get there in this place
)

// Level is how grave a caution is.
type Level int

// The levels.
const (
	Care Level = iota
	Warning
	Grave
)

// Caution is something the baker should know: a code and figure for programs,
// a message for people.
type Caution struct {
	Code    Code    `json:"code"`
	Level   Level   `json:"level"`
	Value   float64 `json:"value"`
	Message string  `json:"message"`
}

// Liquid judges the liquid that yeast is stirred into, and is false where
// nothing need be said. Army cards (TM 10-412, D-G-2) say yeast is killed
// above 43 °C; that is on the safe side, injury begins near 50 °C.
func Liquid(t unit.Celsius) (Caution, bool) {
	v := float64(t)
	switch {
	case v > 55:
		return Caution{LiquidError, Grave, v, fmt.Sprintf("liquid at %v kills yeast in minutes; let it cool to 43 °C", t)}, true
	case v > 46:
		return Caution{LiquidWarning, Warning, v, fmt.Sprintf("liquid at %v can hurt yeast; let it cool to 43 °C", t)}, true
	case v > 43:
		return Caution{LiquidCare, Care, v, fmt.Sprintf("liquid at %v is above the 43 °C that recipe cards allow", t)}, true
	}
	return Caution{}, false
}

// Cautions lists what the recipe itself makes unsure.
func (k *Kinetics) Cautions() []Caution {
	var out []Caution
	if k.yeast < 0.5 {
		out = append(out, Caution{LowYeast, Care, k.yeast, "so little yeast has been slower in print than this forecast, 1.2 to 1.5 times"})
	}
	if k.sweet > 15 {
		out = append(out, Caution{HighSugar, Care, k.sweet, "so much sugar slows ordinary yeast; how much differs from yeast to yeast"})
	}
	return out
}
