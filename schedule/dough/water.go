package dough

import (
	"errors"
	"math"
	"slices"

	"ovenward/schedule/unit"
)

// Specific heats in kJ/(kg K): water, and flour as calculated from its composition.
const (
	WaterHeat = 4.186
	FlourHeat = 1.85
)

// WaterRule is the three-factor rule, or four-factor with a preferment:
//
//	T_water = (n+1) T_dough - sum of the n others - friction
//
// where the others are flour, room and, if there is one, preferment. Friction
// is a difference and (n+1) times what mixing warms the dough by. The result may
// be below freezing or above what yeast bears; see Ice and YeastLiquid. It is a
// rule of thumb and will not agree with [Formula.MixWater]; their frictions must
// not be mixed.
func WaterRule(dough unit.Celsius, friction unit.Kelvins, others ...unit.Celsius) unit.Celsius {
	t := unit.Celsius(len(others)+1)*dough - unit.Celsius(friction)
	for _, o := range others {
		t -= o
	}
	return t
}

// Body is a mass with a temperature and a specific heat in kJ/(kg K).
type Body struct {
	Mass        unit.Grams
	Temperature unit.Celsius
	Heat        float64
}

// ErrNoWater says that there is nothing to pour to bring a dough to its temperature.
var ErrNoWater = errors.New("no water to warm or cool the dough with")

// pourBalance is the temperature that a heat balance asks for of what is poured,
// whose own is not looked at:
//
//	T_w = [ (sum m c)(T_dough - rise) - sum m_i c_i T_i ] / (m_w c_w)
//
// where rise is what mixing warms the dough by, and rest is everything else. Only
// the room and the bowl are left out.
func pourBalance(dough unit.Celsius, rise unit.Kelvins, pour Body, rest ...Body) (unit.Celsius, error) {
	if !(pour.Mass > 0) {
		return 0, ErrNoWater
	}
	before := float64(dough) - float64(rise)
	mc := float64(pour.Mass) * pour.Heat
	sum := mc * before
	for _, b := range rest {
		sum += float64(b.Mass) * b.Heat * (before - float64(b.Temperature))
	}
	return unit.Celsius(sum / mc), nil
}

// Pour is the liquid of the final mix that a dough's temperature is steered with:
// its water or, where water is less than half of what can be poured, milk and water
// together. Milk is dairy of at least wetDairy percent of water.
type Pour struct {
	Names []string // of the ingredients, as the baker calls them
	Mass  unit.Grams
	Water bool // it is water alone: the tap and ice can be reckoned with

	lines []int // indices in the formula
}

// wetDairy tells milk from cream and cheese, percent of water.
const wetDairy = 80

// Pour finds what is poured into the final mix of a weighed formula; its mass is 0
// where there is nothing.
func (f Formula) Pour(w Weights) Pour {
	water, all := Pour{Water: true}, Pour{}
	for _, p := range w.Parts {
		for _, l := range p.Lines {
			food, _ := f.Ingredients[l.Ingredient].Resolve()
			if p.Name != "" || food.Role != Water && !(food.Role == Dairy && food.Water >= wetDairy) {
				continue
			}
			all.add(l)
			if food.Role == Water {
				water.add(l)
			}
		}
	}
	if 2*water.Mass >= all.Mass {
		return water
	}
	return all
}

func (p *Pour) add(l Line) {
	p.Names, p.Mass, p.lines = appendNew(p.Names, l.Label), p.Mass+l.Grams, append(p.lines, l.Ingredient)
}

// MixWater is the temperature that a heat balance of the final mix of a weighed
// formula asks for, of what [Formula.Pour] finds (ErrNoWater where that is
// nothing). rise is what mixing warms the dough by; at tells the temperature of a
// line's food, and of a whole part when food is empty. Room and bowl are left out.
func (f Formula) MixWater(w Weights, dough unit.Celsius, rise unit.Kelvins, at func(part, food string) unit.Celsius) (unit.Celsius, error) {
	poured := f.Pour(w).lines
	var pour Body
	var rest []Body
	for _, p := range w.Parts {
		whole := Body{Temperature: at(p.Name, "")}
		for _, l := range p.Lines {
			in := f.Ingredients[l.Ingredient]
			food, _ := in.Resolve()
			switch {
			case p.Name != "":
				whole = whole.with(l.Grams, food.Heat())
			case slices.Contains(poured, l.Ingredient) && food.Role == Water:
				pour = pour.with(l.Grams, WaterHeat)
			case slices.Contains(poured, l.Ingredient):
				pour = pour.with(l.Grams, food.Heat())
			default:
				rest = append(rest, Body{l.Grams, at("", in.Food), food.Heat()})
			}
		}
		if whole.Mass > 0 {
			rest = append(rest, whole)
		}
	}
	return pourBalance(dough, rise, pour, rest...)
}

// with adds a mass at the same temperature.
func (b Body) with(mass unit.Grams, heat float64) Body {
	if sum := b.Mass + mass; sum > 0 {
		b.Heat = (float64(b.Mass)*b.Heat + float64(mass)*heat) / float64(sum)
		b.Mass = sum
	}
	return b
}

// MostIce is the share of the water that can go in as ice and still be mixed in.
const MostIce = 0.6

// Cooled is water with ice in it.
type Cooled struct {
	Ice     unit.Grams   `json:"ice"`
	Water   unit.Grams   `json:"water"`   // from the tap, beside the ice
	Reached unit.Celsius `json:"reached"` // what it cools to; below 0 the ice melts in the dough
}

// Ice is how much of the water to replace by ice at 0 °C so that tap water
// comes down to the wanted temperature:
//
//	ice = water (T_tap - T_wanted) / (T_tap + L/c),  L = 333.6 kJ/kg, c = 4.186
//
// The ice replaces water that would have come from the tap, hence T_tap below
// the line. No more than MostIce of the water; Reached tells what that gives.
func Ice(water unit.Grams, tap, wanted unit.Celsius) Cooled {
	const latent = 333.6 / WaterHeat
	if !(water > 0) || !(tap > wanted) || !(tap > 0) {
		return Cooled{Water: water, Reached: tap}
	}
	share := math.Min(float64(tap-wanted)/(float64(tap)+latent), MostIce)
	return Cooled{
		Ice:     water * unit.Grams(share),
		Water:   water * unit.Grams(1-share),
		Reached: tap - unit.Celsius(share*(float64(tap)+latent)),
	}
}

// Severity is how much a remark matters.
type Severity string

// The severities; Fine is the zero value.
const (
	Fine    Severity = ""
	Care    Severity = "caution"
	Warning Severity = "warning"
	Wrong   Severity = "error"
)

// YeastLiquid judges the liquid that yeast is put into. Yeast cards call 43 °C
// the limit (US Army TM 10-412, D-G-2), which is careful: injury starts near
// 50 °C and all of it is dead by 60 °C.
func YeastLiquid(t unit.Celsius) Severity {
	switch {
	case t > 55:
		return Wrong
	case t > 46:
		return Warning
	case t > 43:
		return Care
	}
	return Fine
}
