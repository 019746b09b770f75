package view

import (
	"fmt"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
)

// Bench is what the baker has set for the bench sheet and the labels. The zero
// value stands for the usual.
type Bench struct {
	Hand, Mixer unit.Kelvins // what mixing warms a dough by; 0 = the usual
	Rules       dough.Rules  // of declaration; "" = European
}

// What mixing usually warms a dough by: common practice, no source. Published
// friction factors of 5 and 20 °F are three times 0.9 and 3.7 °C.
const (
	UsualHand  unit.Kelvins = 1
	UsualMixer unit.Kelvins = 3.5
)

// waterNote is what the water temperatures of a sheet take for granted.
const waterNote = "Water temperatures by two methods, which do not agree: keep to one. Flour is taken to be where it is kept, all else as warm as the room; bowl and draughts are left out. What mixing warms a dough by is in the settings; what doughs here have shown beyond that is added."

// Warms is what mixing warms a dough by.
func (b Bench) Warms(machine bool) unit.Kelvins {
	switch {
	case machine && b.Mixer > 0:
		return b.Mixer
	case machine:
		return UsualMixer
	case b.Hand > 0:
		return b.Hand
	}
	return UsualHand
}

// declares is the chosen law.
func (b Bench) declares() dough.Rules {
	if b.Rules == dough.US {
		return dough.US
	}
	return dough.EU
}

// water words how warm the water of a batch should be, by two methods that do
// not agree and whose figures are not mixed; nothing where no dough temperature
// is wanted or there is no water.
func (m *Picture) water(b schedule.Batch, f dough.Formula, bench Bench) []string {
	mix := m.lastMix(b.ID)
	if mix == nil || mix.Celsius <= 0 {
		return nil
	}
	k := &m.Day.Kitchen
	room := k.Flour
	if place, ok := k.Place(mix.Place); ok {
		room = place.At(minuteOfDay(mix.Start))
	}
	known, _ := m.Day.LearnedOf(b.Dough)
	warms := bench.Warms(mix.Mixer != "") + known.Friction
	w := f.ForFlour(b.Mass * 100 / unit.Grams(f.Totals().Sum))
	balance, err := f.MixWater(w, mix.Celsius, warms, func(part, food string) unit.Celsius {
		if isFlour(f, food) && part == "" {
			return k.Flour
		}
		return room
	})
	if err != nil {
		return []string{fmt.Sprintf("For dough at %s off the mixer: there is no water to steer it with; warm or chill the other liquid.", mix.Celsius)}
	}
	others, name := []unit.Celsius{k.Flour, room}, "three-factor"
	if f.Totals().Prefermented > 0 {
		others, name = append(others, room), "four-factor"
	}
	factor := unit.Kelvins(len(others)+1) * warms
	rule := dough.WaterRule(mix.Celsius, factor, others...)
	amount := tapWater(f, w)
	return []string{
		fmt.Sprintf("For dough at %s off the mixer, water at %s by heat balance: what everything weighs and holds, mixing warming it by %s%s.%s",
			mix.Celsius, balance, warms, shown(known.Friction), iced(amount, k.Tap, balance)),
		fmt.Sprintf("By the %s rule of thumb %s: %d × %s, less flour %s, room %s%s and friction %s (%d × %s).%s",
			name, rule, len(others)+1, mix.Celsius, k.Flour, room, fourth(len(others) > 2, room), factor, len(others)+1, warms, iced(amount, k.Tap, rule)),
	}
}

// shown says what of the warmth of mixing earlier doughs have shown.
func shown(by unit.Kelvins) string {
	switch {
	case by > 0:
		return fmt.Sprintf(" (%s more than set, as doughs here have shown)", by)
	case by < 0:
		return fmt.Sprintf(" (%s less than set, as doughs here have shown)", -by)
	}
	return ""
}

func fourth(has bool, t unit.Celsius) string {
	if !has {
		return ""
	}
	return ", preferment " + t.String()
}

// iced says how to get the water that cold, or that it is too warm.
func iced(amount unit.Grams, tap, wanted unit.Celsius) string {
	switch {
	case dough.YeastLiquid(wanted) != dough.Fine:
		return " That is too warm for yeast: warm the flour or the room instead."
	case wanted >= tap || amount <= 0:
		return ""
	}
	c := dough.Ice(amount, tap, wanted)
	s := fmt.Sprintf(" The tap gives %s: %s of ice and %s from the tap.", tap, Scale(c.Ice), Scale(c.Water))
	if c.Reached > wanted+0.05 {
		s += fmt.Sprintf(" More ice cannot be mixed in; it comes to %s, so chill the flour too.", c.Reached)
	}
	return s
}

// lastMix is the final mix of a batch.
func (m *Picture) lastMix(batch string) *schedule.Task {
	var out *schedule.Task
	for i := range m.Plan.Tasks {
		if t := &m.Plan.Tasks[i]; t.Batch == batch && t.Kind == schedule.Mix && t.Part == "" {
			out = t
		}
	}
	return out
}

// tapWater is the water of the final mix.
func tapWater(f dough.Formula, w dough.Weights) (sum unit.Grams) {
	for _, p := range w.Parts {
		for _, l := range p.Lines {
			if food, ok := f.Ingredients[l.Ingredient].Resolve(); ok && p.Name == "" && food.Role == dough.Water {
				sum += l.Grams
			}
		}
	}
	return sum
}

func isFlour(f dough.Formula, food string) bool {
	for _, in := range f.Ingredients {
		if in.Food == food {
			x, ok := in.Resolve()
			return ok && x.Role == dough.Flour
		}
	}
	return false
}

func minuteOfDay(t time.Time) float64 { return float64(60*t.Hour() + t.Minute()) }
