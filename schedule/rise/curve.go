package rise

import "math"

// reference is the temperature at which speed is 1 and gas volumes are counted.
const reference = 27.0

// curve tabulates the speed of yeast over temperature. Read-only.
type curve struct {
	start, end, bend float64
	table            []float64
}

// common are the curves almost every dough rises by.
var common = [...]curve{tabulate(Default()), tabulate(Default().Cold(ColdFast)), tabulate(Default().Cold(ColdSlow))}

// stepsPerKelvin keeps linear interpolation within 0.0007, and 0.05 % up to 46 °C.
const stepsPerKelvin = 10

func newCurve(p *Params) curve {
	for _, c := range common {
		if c.start == p.ColdEnd && c.end == p.HotEnd && c.bend == p.Bend {
			return c
		}
	}
	return tabulate(*p)
}

func tabulate(p Params) curve {
	n := int(math.Ceil((p.HotEnd-p.ColdEnd)*stepsPerKelvin)) + 1
	c := curve{start: p.ColdEnd, end: p.HotEnd, bend: p.Bend, table: make([]float64, n)}
	for i := range c.table {
		c.table[i] = p.Speed(p.ColdEnd + float64(i)/stepsPerKelvin)
	}
	return c
}

// at is the speed at t, 0 outside the living range and for NaN.
func (c *curve) at(t float64) float64 {
	x := (t - c.start) * stepsPerKelvin
	if !(x > 0) || x >= float64(len(c.table)-1) {
		return 0
	}
	i := int(x)
	lo := c.table[i]
	return lo + (x-float64(i))*(c.table[i+1]-lo)
}

// Speed is how fast yeast makes gas at t, 1 at 27 °C:
//
//	f(T) = [(T-Tmin)(1-e^{b(T-Tmax)})]² / [the same at 27 °C]²,  0 outside Tmin..Tmax
//
// the square-root model of Ratkowsky et al. 1983 (memory), fitted to gas, not growth:
// published growth temperatures (optimum 32 °C) would make a fridge 200 times
// slower than a warm room where bakers see about 10.
func (p *Params) Speed(t float64) float64 {
	if !(t > p.ColdEnd && t < p.HotEnd) {
		return 0
	}
	root := func(t float64) float64 { return (t - p.ColdEnd) * (1 - math.Exp(p.Bend*(t-p.HotEnd))) }
	q := root(t) / root(reference)
	return q * q
}
