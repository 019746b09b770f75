package simulate

import (
	"math"

	"ovenward/schedule/unit"
)

// Air is what surrounds a dough: the temperature of a place minute by minute
// and how it passes heat. Read-only, so many doughs may share one.
type Air struct {
	Temps []float64 // °C at minute 0, 1, 2... of the day's grid; before the first and beyond the last, those
	H     float64   // W/(m² K), see heat.StillOpen and its like; 0 insulates, Kept keeps the dough itself at Temps
}

// Kept is the coefficient of a place that keeps the dough itself at its
// temperature from core to surface, as recipes say "at 26 °C" and mean the dough.
var Kept = math.Inf(1)

// Steady is air of one temperature for ever.
func Steady(t unit.Celsius, h float64) *Air { return &Air{Temps: []float64{float64(t)}, H: h} }

// Temperatures and coefficients outside these bounds are taken at the bound.
const (
	coldest, hottest = -40, 300
	mostH            = 1000
)

// at is the temperature at minute, linear between the minutes of the grid. Air
// that is missing or not a number has no temperature: ok is false.
func (a *Air) at(minute float64) (t float64, ok bool) {
	n := len(a.Temps)
	if n == 0 {
		return 0, false
	}
	switch i := int(minute); {
	case minute <= 0:
		t = a.Temps[0]
	case i >= n-1:
		t = a.Temps[n-1]
	default:
		t = a.Temps[i] + (minute-float64(i))*(a.Temps[i+1]-a.Temps[i])
	}
	if math.IsNaN(t) {
		return 0, false
	}
	return min(max(t, coldest), hottest), true
}

// over is the mean temperature of d minutes from minute on, looked at every
// minute, of long waits at twelve moments.
func (a *Air) over(minute, d float64) (t float64, ok bool) {
	if len(a.Temps) < 2 || d <= 1 {
		return a.at(minute + d/2)
	}
	n := min(math.Ceil(d), 12)
	for i := range int(n) {
		v, ok := a.at(minute + (float64(i)+0.5)*d/n)
		if !ok {
			return 0, false
		}
		t += v
	}
	return t / n, true
}

// h is the coefficient within its bounds.
func (a *Air) h() float64 {
	switch {
	case !(a.H > 0):
		return 0
	case math.IsInf(a.H, 1):
		return a.H
	}
	return min(a.H, mostH)
}

// steadyFrom is the first minute from which the temperature never changes.
func (a *Air) steadyFrom() int {
	for i := len(a.Temps) - 1; i > 0; i-- {
		if a.Temps[i] != a.Temps[i-1] {
			return i
		}
	}
	return 0
}

// steady says whether a is of one temperature for ever.
func (a *Air) steady() bool { return a.steadyFrom() == 0 }
