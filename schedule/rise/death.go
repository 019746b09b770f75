package rise

import (
	"math"

	"ovenward/schedule/unit"
)

// killFrom is the temperature from which death is counted. Below it [Params.Speed]
// already carries what warmth takes from the yeast.
const killFrom = 45.0

// deadLogs is the kill from which a dough counts as dead.
const deadLogs = 6.0

// Kill is the decimal logarithm of the yeast killed in minutes at t:
//
//	minutes / D,  D = D55 · 10^{(55-T)/z},  D55 = 2 min, z = 5 K
//
// 0 below 45 °C, without end from 60 °C. Yeast cells of a dough die between 50
// and 60 °C (Hamelman, Bread; Reinhart 1991; Gardiner & Wilson 1998).
func (p *Params) Kill(t unit.Celsius, minutes float64) float64 {
	switch x := float64(t); {
	case !(x >= killFrom && minutes > 0):
		return 0
	case x >= 60:
		return math.Inf(1)
	default:
		return minutes / p.DeathD * math.Pow(10, (x-55)/p.DeathZ)
	}
}

// Survival is the share of yeast alive after a kill of so many decimal logs.
func Survival(logs float64) float64 {
	if logs >= deadLogs {
		return 0
	}
	return math.Pow(10, -logs)
}
