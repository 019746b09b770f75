package schedule

import (
	"math"
	"slices"

	"ovenward/schedule/dough"
	"ovenward/schedule/learn"
	"ovenward/schedule/rise"
	"ovenward/schedule/unit"
)

// Learned is how a dough does in this kitchen against the model: how fast it
// rises, how sure that is, and how warm it comes off the mixer.
type Learned struct {
	Dough string `json:"dough"` // ID of a base or a bread
	Pace         // of its bulk rise
	// Proof is the pace of its final rise, for the two err apart: in 15 published
	// pairs the error of the first said nothing of the second. Zero is as Pace.
	Proof Pace `json:"proof,omitzero"`
	// Friction is what the water of the bench sheet allows for beyond what mixing is
	// set to warm a dough by; Warmer is how much warmer than wanted the dough is
	// expected off the mixer all the same. -4 to 4.
	Friction unit.Kelvins `json:"friction,omitempty"`
	Warmer   unit.Kelvins `json:"warmer,omitempty"`
}

// Pace is how fast rises of a kind are, and how sure that is.
type Pace struct {
	Speed float64 `json:"speed"` // 1 as the model says, 1.2 a fifth faster; 0.5 to 2
	SD    float64 `json:"sd"`    // standard deviation of ln speed, 0.03 to 0.8
	// The same below 18 °C, or above 33, and below 10 °C; 0 = as much wider as the
	// model is there.
	Cool float64 `json:"sd_cool,omitempty"`
	Cold float64 `json:"sd_cold,omitempty"`
	// ColdSpeed is Speed of rises held in the cold, from their beginning, while the
	// dough still cools; 0 is Speed.
	ColdSpeed float64 `json:"cold_speed,omitempty"`
}

// of is the pace of a kind of rise, and of a dough until the next one.
func (l Learned) of(k StageKind) Pace {
	if k == Proof && l.Proof != (Pace{}) {
		return l.Proof
	}
	return l.Pace
}

// varies says whether some rises have another speed than others.
func (l Learned) varies() bool { return l.ColdSpeed > 0 || l.Proof != (Pace{}) }

// spread is that of a rise, in ln of its minutes, which the model alone misses by
// model, where it misses the dough's rises at room temperature by plain. What was
// learnt there says little of the cold.
func (p Pace) spread(model, plain float64) float64 {
	switch {
	case p.SD == 0:
		return model
	case model >= coldly && p.Cold > 0:
		return p.Cold
	case model > plain && model < coldly && p.Cool > 0:
		return p.Cool
	}
	return math.Sqrt(p.SD*p.SD + max(0, model*model-plain*plain))
}

// speed is that of rises in the cold or not; 0 where nothing is known.
func (p Pace) speed(cold bool) float64 {
	if cold && p.ColdSpeed > 0 {
		return p.ColdSpeed
	}
	return p.Speed
}

// What the model misses ordinary doughs by: at room temperature, and below 10 °C.
const (
	plainly = 0.30
	coldly  = 0.60
)

// warmly is what the model misses a dough's rises at room temperature by, and of
// what kind they are.
func warmly(k *rise.Kinetics) (spread float64, r learn.Regime) {
	if spread = k.Spread(usualDough, false); spread > plainly {
		return spread, learn.Scarce
	}
	return spread, learn.Plain
}

// Believed is what a forecast says of a dough, given by the ID of its base or
// bread, whose rises at room temperature are of kind r. Steered says that the
// bench sheet asks for water for it, which then allows for friction.
func Believed(f learn.Forecast, id string, r learn.Regime, steered bool) Learned {
	mix := id + "/" + string(Mix)
	friction := unit.Kelvins(0)
	if steered {
		friction = tenth(f.Friction(mix).Mean)
	}
	return Learned{
		Dough: id, Pace: paceOf(f, id+"/"+string(Rise), r), Proof: paceOf(f, id+"/"+string(Proof), r),
		Friction: friction, Warmer: tenth(f.Temperature(mix, float64(friction)).Mean),
	}
}

// paceOf is what a forecast says of a rise that is of kind r at room temperature.
func paceOf(f learn.Forecast, rise string, r learn.Regime) Pace {
	sd := func(b learn.Belief) float64 { return min(max(b.SD, 0.05), 0.8) }
	warm, cold := f.Rise(rise, r), f.Rise(rise, learn.Cold)
	return Pace{
		Speed: math.Exp(warm.Mean), SD: sd(warm), Cool: sd(f.Rise(rise, learn.Cool)),
		ColdSpeed: math.Exp(cold.Mean), Cold: sd(cold),
	}
}

// tenth is what a kitchen's thermometer shows.
func tenth(k float64) unit.Kelvins { return unit.Kelvins(math.Round(10*k) / 10) }

// Steered says whether the bench sheet asks for a temperature of what is poured:
// where a method wants one of its dough, and the dough has water or milk.
func Steered(f dough.Formula, method []Stage) bool {
	return slices.ContainsFunc(method, func(s Stage) bool { return s.Part == "" && s.Dough != 0 }) &&
		f.Pour(f.ForFlour(1000)).Mass > 0
}
