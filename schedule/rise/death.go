package rise

import (
	"math"

	"ovenward/schedule/unit"
)

// KillFrom is the temperature from which death is counted. Below it [Params.Speed]
// already carries what warmth takes from the yeast.
const KillFrom = 45.0

// DeadLogs is the kill from which a dough counts as dead.
const DeadLogs = 6.0

// Kill is the decimal logarithm of the yeast killed in minutes at t:
//
//	minutes / D,  D = D55 · 10^{(55-T)/z},  D55 = 2 min, z = 5 K
//
// 0 below 45 °C, without end from 60 °C. Yeast cells of a dough die between 50
// and 60 °C (Hamelman, Bread; Reinhart 1991; Gardiner & Wilson 1998).
func (p *Params) Kill(t unit.Celsius, minutes float64) float64 {
	switch x := float64(t); {
	case !(x >= KillFrom && minutes > 0):
		return 0
	case x >= 60:
		return math.Inf(1)
	default:
		return minutes / p.DeathD * math.Pow(10, (x-55)/p.DeathZ)
	}
}

// Survival is the share of yeast alive after a kill of so many decimal logs.
func Survival(logs float64) float64 {
	if logs >= DeadLogs {
		return 0
	}
	return math.Pow(10, -logs)
}

// Logs is the kill that leaves so much alive, the inverse of [Survival].
func Logs(alive float64) float64 {
	if !(alive > 0) {
		return DeadLogs
	}
	return min(max(0, -math.Log10(alive)), DeadLogs)
}

// Kill is [Params.Kill] with the constants of k.
func (k *Kinetics) Kill(t unit.Celsius, minutes float64) float64 { return k.params.Kill(t, minutes) }
