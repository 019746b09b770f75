package dough

import "ovenward/schedule/unit"

// WaterRule is the three-factor rule, or four-factor with a preferment:
//
//	T_water = (n+1) T_dough - sum of the n others - friction
//
// where the others are flour, room and, if there is one, preferment. The result
// may be below freezing or above what yeast bears; see Ice and YeastLiquid.
func WaterRule(dough unit.Celsius, friction unit.Kelvins, others ...unit.Celsius) unit.Celsius {
	t := unit.Celsius(len(others)+1)*dough - unit.Celsius(friction)
	for _, o := range others {
		t -= o
	}
	return t
}
