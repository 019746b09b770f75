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
	Dough string  `json:"dough"` // ID of a base or a bread
	Speed float64 `json:"speed"` // 1 as the model says, 1.2 a fifth faster; 0.5 to 2
	SD    float64 `json:"sd"`    // standard deviation of ln speed, 0.05 to 0.8
	// The same of its rises below 18 °C, or above 33, and below 10 °C; 0 = as much
	// wider as the model is there.
	Cool float64 `json:"sd_cool,omitempty"`
	Cold float64 `json:"sd_cold,omitempty"`
	// ColdSpeed is Speed of rises held in the cold, from their beginning, while the
	// dough still cools; 0 is Speed.
	ColdSpeed float64 `json:"cold_speed,omitempty"`
	// Friction is what the water of the bench sheet allows for beyond what mixing is
	// set to warm a dough by; Warmer is how much warmer than wanted the dough is
	// expected off the mixer all the same. -4 to 4.
	Friction unit.Kelvins `json:"friction,omitempty"`
	Warmer   unit.Kelvins `json:"warmer,omitempty"`
}

// spread is that of a rise, in ln of its minutes, which the model alone misses by
// model, where it misses the dough's rises at room temperature by plain. What was
// learnt there says little of the cold.
func (l Learned) spread(model, plain float64) float64 {
	switch {
	case l.SD == 0:
		return model
	case model >= coldly && l.Cold > 0:
		return l.Cold
	case model > plain && model < coldly && l.Cool > 0:
		return l.Cool
	}
	return math.Sqrt(l.SD*l.SD + max(0, model*model-plain*plain))
}

// What the model misses ordinary doughs by: at room temperature, and below 10 °C.
const (
	plainly = 0.30
	coldly  = 0.60
)

// pace is the speed of rises, in the cold or not; 0 where nothing is known.
func (l Learned) pace(cold bool) float64 {
	if cold && l.ColdSpeed > 0 {
		return l.ColdSpeed
	}
	return l.Speed
}

// warmly is what the model misses a dough's rises at room temperature by, and of
// what kind they are.
func warmly(k *rise.Kinetics) (spread float64, r learn.Regime) {
	if spread = k.Spread(usualDough, false); spread > plainly {
		return spread, learn.Scarce
	}
	return spread, learn.Plain
}

// Believed is what a forecast says of a dough, given by the ID of its base or
// bread, whose rises at room temperature are of kind r. Bulk rise and proof are
// believed in one speed, the mean of the two, as sure as both are and as they
// agree; and in another in the cold. Steered says that the bench sheet asks for water for it, which then allows for friction.
func Believed(f learn.Forecast, id string, r learn.Regime, steered bool) Learned {
	speed := func(r learn.Regime) float64 {
		return (f.Rise(id+"/"+string(Rise), r).Mean + f.Rise(id+"/"+string(Proof), r).Mean) / 2
	}
	warm, cold := speed(r), speed(learn.Cold)
	about := func(r learn.Regime, ln float64) float64 {
		square := 0.0
		for _, k := range []StageKind{Rise, Proof} {
			b := f.Rise(id+"/"+string(k), r)
			square += (b.SD*b.SD + (b.Mean-ln)*(b.Mean-ln)) / 2
		}
		return min(max(math.Sqrt(square), 0.05), 0.8)
	}
	mix := id + "/" + string(Mix)
	friction := unit.Kelvins(0)
	if steered {
		friction = tenth(f.Friction(mix).Mean)
	}
	return Learned{
		Dough: id, Speed: math.Exp(warm), SD: about(r, warm), Cool: about(learn.Cool, warm), Cold: about(learn.Cold, cold),
		ColdSpeed: math.Exp(cold),
		Friction:  friction, Warmer: tenth(f.Temperature(mix, float64(friction)).Mean),
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
