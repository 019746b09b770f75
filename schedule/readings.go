package schedule

import (
	"cmp"
	"math"
	"slices"

	"ovenward/schedule/unit"
)

// Measured is a temperature read off in a place.
type Measured struct {
	Day     int // counted from any fixed day
	Minute  int // of the local day
	Celsius unit.Celsius
}

// Hourly is what the readings of one hour of the day come to.
type Hourly struct {
	Hour      int          // 0 to 23; what was read from 06:00 to 06:59 is of hour 6
	N         int          // readings
	Celsius   unit.Celsius // what the place is to be taken as having, 0 without readings
	Low, High unit.Celsius // of the readings
}

// LeastReadings is from how many readings on an hour counts as known.
const LeastReadings = 3

// Known reports whether there are readings enough to plan by.
func (h Hourly) Known() bool { return h.N >= LeastReadings }

// Middle is the middle of the hour.
func (h Hourly) Middle() Clock { return Clock(h.Hour*60 + 30) }

// A reading counts half after a month, so that the curve follows the seasons, and
// one far from the others hardly: Huber's estimate of location (P. J. Huber,
// "Robust Estimation of a Location Parameter", 1964, with the k that keeps 95 %
// efficiency, 1.345, and the median deviation times 1.4826 as its scale; from
// memory). Thermometers are read to half a degree: the scale is no smaller.
const (
	halfLife   = 30.0 // days
	huberK     = 1.345
	leastScale = 0.5 // °C
	huberSteps = 20
)

// ByHour gives what was read by the hour of the day, 24 of them, as of a day.
func ByHour(seen []Measured, today int) []Hourly {
	by := make([][]Measured, 24)
	for _, m := range seen {
		h := min(max(m.Minute/60, 0), 23)
		by[h] = append(by[h], m)
	}
	out := make([]Hourly, 24)
	for h, all := range by {
		out[h] = Hourly{Hour: h, N: len(all)}
		if len(all) > 0 {
			slices.SortStableFunc(all, func(a, b Measured) int {
				return cmp.Or(cmp.Compare(a.Celsius, b.Celsius), cmp.Compare(a.Day, b.Day))
			})
			out[h].Low, out[h].High = all[0].Celsius, all[len(all)-1].Celsius
			out[h].Celsius = huber(all, today)
		}
	}
	return out
}

// weighed is a value that counts so much.
type weighed struct{ value, weight float64 }

// huber is the robust mean of readings.
func huber(all []Measured, today int) unit.Celsius {
	seen := make([]weighed, len(all))
	for i, m := range all {
		seen[i] = weighed{float64(m.Celsius), math.Exp2(-float64(max(today-m.Day, 0)) / halfLife)}
	}
	at := median(seen)
	off := slices.Clone(seen)
	for i := range off {
		off[i].value = math.Abs(off[i].value - at)
	}
	far := huberK * max(1.4826*median(off), leastScale)
	for range huberSteps {
		sum, total := 0.0, 0.0
		for _, x := range seen {
			w := x.weight
			if d := math.Abs(x.value - at); d > far {
				w *= far / d
			}
			sum, total = sum+w*x.value, total+w
		}
		at = sum / total
	}
	return unit.Celsius(at)
}

// median is the weighted median.
func median(all []weighed) float64 {
	all = slices.SortedFunc(slices.Values(all), func(a, b weighed) int { return cmp.Compare(a.value, b.value) })
	total, sum := 0.0, 0.0
	for _, x := range all {
		total += x.weight
	}
	for _, x := range all {
		if sum += x.weight; sum >= total/2 {
			return x.value
		}
	}
	return all[len(all)-1].value
}

// Taught is the place's curve corrected by what was read: at hours that are known
// it has what was read, between them the typed curve moved by as much as on
// either side. nil if no hour is known.
func (p Place) Taught(hours []Hourly) []Reading {
	var by Place // what the typed curve is off by
	for _, h := range hours {
		if h.Known() {
			by.Curve = append(by.Curve, Reading{h.Middle(), h.Celsius - p.At(float64(h.Middle()))})
		}
	}
	if len(by.Curve) == 0 {
		return nil
	}
	var out []Reading
	for _, c := range [][]Reading{p.Curve, by.Curve} {
		for _, r := range c {
			t := p.At(float64(r.At)) + by.At(float64(r.At))
			out = append(out, Reading{r.At, unit.Celsius(math.Round(10*float64(t)) / 10)})
		}
	}
	slices.SortStableFunc(out, func(a, b Reading) int { return cmp.Compare(a.At, b.At) })
	return slices.CompactFunc(out, func(a, b Reading) bool { return a.At == b.At })
}
