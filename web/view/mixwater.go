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
	Step        unit.Grams   // the scale shows; 0 = nobody has said
}

// What mixing usually warms a dough by: common practice, no source. Published
// friction factors of 5 and 20 °F are three times 0.9 and 3.7 °C.
const (
	UsualHand  unit.Kelvins = 1
	UsualMixer unit.Kelvins = 3.5
)

// waterNote is what the water temperatures of a sheet take for granted.
const waterNote = "Two methods give the temperature of water or milk, and they differ: keep to one. They take flour as warm as where it is kept and all else as the room, and leave bowl and draughts out. What mixing adds is set in the settings, and corrected by what doughs here have shown."

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

// Mixing is what a dough is mixed in.
type Mixing struct {
	Kitchen *schedule.Kitchen
	Want    unit.Celsius // of the dough off the mixer; 0 = not said
	Room    unit.Celsius
	Warms   unit.Kelvins // what mixing warms it by, with what doughs have shown
	Shown   unit.Kelvins // of this, what doughs have shown
}

// water words how warm what is poured into a batch should be.
func (m *Picture) water(b schedule.Batch, f dough.Formula, bench Bench) []string {
	mix := m.lastMix(b.ID)
	if mix == nil {
		return nil
	}
	k := &m.Day.Kitchen
	room := k.Flour
	if place, ok := k.Place(mix.Place); ok {
		room = place.At(minuteOfDay(mix.Start))
	}
	known, _ := m.Day.LearnedOf(b.Dough)
	x := Mixing{Kitchen: k, Want: mix.Celsius, Room: room, Warms: bench.Warms(mix.Mixer != "") + known.Friction, Shown: known.Friction}
	return x.Pour(f, f.ForFlour(b.Mass*100/unit.Grams(f.Totals().Sum)))
}

// Pour words how warm what is poured should be, by two methods that do not agree
// and whose figures are not mixed; nothing where no dough temperature is wanted.
func (x Mixing) Pour(f dough.Formula, w dough.Weights) []string {
	if x.Want <= 0 {
		return nil
	}
	k, pour := x.Kitchen, f.Pour(w)
	balance, err := f.MixWater(w, x.Want, x.Warms, func(part, food string) unit.Celsius {
		if isFlour(f, food) && part == "" {
			return k.Flour
		}
		return x.Room
	})
	if err != nil {
		return []string{fmt.Sprintf("For dough at %s off the mixer: there is neither water nor milk to steer it with; warm or chill the other liquid.", x.Want)}
	}
	others, name := []unit.Celsius{k.Flour, x.Room}, "three-factor"
	if f.Totals().Prefermented > 0 {
		others, name = append(others, x.Room), "four-factor"
	}
	n := len(others) + 1
	factor := unit.Kelvins(n) * x.Warms
	rule := dough.WaterRule(x.Want, factor, others...)
	return []string{
		fmt.Sprintf("For dough at %s off the mixer, %s at %s by heat balance: what everything weighs and holds, mixing warming it by %s%s.%s",
			x.Want, list(pour.Names), balance, x.Warms, shown(x.Shown), iced(pour, k.Tap, balance)),
		fmt.Sprintf("By the %s rule of thumb %s: %d\u00a0×\u00a0%s, less flour %s, room %s%s and friction %s (%d\u00a0×\u00a0%s).%s",
			name, rule, n, x.Want, k.Flour, x.Room, fourth(n > 3, x.Room), factor, n, x.Warms, iced(pour, k.Tap, rule)),
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

// chilled is what milk comes to in a fridge: it cannot be poured colder.
const chilled unit.Celsius = 5

// iced says how to get what is poured that cold, or that it is too warm.
func iced(pour dough.Pour, tap, wanted unit.Celsius) string {
	switch {
	case dough.YeastLiquid(wanted) != dough.Fine:
		return " That is too warm for yeast: warm the flour or the room instead."
	case !pour.Water && wanted < chilled:
		return fmt.Sprintf(" A fridge makes it %s; chill the flour too.", chilled)
	case !pour.Water || wanted >= tap:
		return ""
	}
	c := dough.Ice(pour.Mass, tap, wanted)
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
