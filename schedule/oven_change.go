package schedule

import (
	"math"

	"ovenward/schedule/unit"
)

// ColdOven is the temperature of an oven nobody has lit yet.
const ColdOven unit.Celsius = 20

// endless is longer than any plan, in minutes.
const endless = 100 * 24 * 60

// Change is how many minutes the oven needs from one temperature to another,
// rounded up. An oven that cannot change, for want of a rate, needs longer than
// any plan.
func (o Oven) Change(from, to unit.Celsius) int {
	rate := o.Heat
	if to < from {
		rate = o.Cool
	}
	d := math.Abs(float64(to - from))
	switch {
	case d == 0:
		return 0
	case d < endless*float64(rate):
		return wholeMinutes(d / float64(rate))
	}
	return endless
}
