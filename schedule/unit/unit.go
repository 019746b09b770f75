// Package unit names the quantities of a kitchen, so that a temperature cannot
// be passed where a weight is meant.
package unit

import (
	"fmt"
	"math"
)

// Celsius is a temperature in degrees Celsius, never a difference.
type Celsius float64

// Kelvins is a temperature difference in kelvins: friction, a rise of dough
// temperature. 20 °F of friction are 11.1 K, not -6.7 °C.
type Kelvins float64

// Grams is a mass.
type Grams float64

// Litres is a volume.
type Litres float64

// Percent is a share of the flour in baker's percent: flour is 100.
type Percent float64

// Minutes is a physical duration, whatever clocks do meanwhile.
type Minutes float64

// FromFahrenheit converts a temperature.
func FromFahrenheit(f float64) Celsius { return Celsius((f - 32) * 5 / 9) }

// String writes c as "26.5 °C", whole degrees without a decimal.
func (c Celsius) String() string { return decimal(float64(c), 1) + "\u00a0°C" }

// String writes 3 K as a baker reads it: "3 °C".
func (k Kelvins) String() string { return decimal(float64(k), 1) + "\u00a0°C" }

// String writes p as "62 %".
func (p Percent) String() string { return decimal(float64(p), 2) + "\u00a0%" }

// String writes g as "850 g" below a kilogram and "12.4 kg" from there, as it is
// read; what is weighed out is written to the gram.
func (g Grams) String() string {
	switch a := math.Abs(float64(g)); {
	case a >= 999.5:
		return decimal(float64(g)/1000, 2) + "\u00a0kg"
	case a >= 10:
		return decimal(float64(g), 0) + "\u00a0g"
	default:
		return decimal(float64(g), 2) + "\u00a0g"
	}
}

// String writes m as "35 min", "1 h" or "1 h 05".
func (m Minutes) String() string {
	t := int(math.Round(float64(m)))
	sign := ""
	if t < 0 {
		sign, t = "-", -t
	}
	switch {
	case t < 60:
		return fmt.Sprintf("%s%d\u00a0min", sign, t)
	case t%60 == 0:
		return fmt.Sprintf("%s%d\u00a0h", sign, t/60)
	default:
		return fmt.Sprintf("%s%d\u00a0h\u00a0%02d", sign, t/60, t%60)
	}
}

// decimal writes v with at most n decimals, trailing zeros dropped.
func decimal(v float64, n int) string {
	s := fmt.Sprintf("%.*f", n, v)
	if n > 0 {
		for s[len(s)-1] == '0' {
			s = s[:len(s)-1]
		}
		if s[len(s)-1] == '.' {
			s = s[:len(s)-1]
		}
	}
	if s == "-0" {
		return "0"
	}
	return s
}
