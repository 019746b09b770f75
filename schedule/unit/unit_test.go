package unit_test

import (
	"math"
	"testing"

	"ovenward/schedule/unit"
)

func TestString(t *testing.T) {
	t.Parallel()
	for want, got := range map[string]string{
		"26.5\u00a0°C":      unit.Celsius(26.5).String(),
		"4\u00a0°C":         unit.Celsius(4.04).String(),
		"0\u00a0°C":         unit.Celsius(-0.01).String(),
		"850\u00a0g":        unit.Grams(850.2).String(),
		"8.25\u00a0g":       unit.Grams(8.25).String(),
		"12.4\u00a0kg":      unit.Grams(12400).String(),
		"5.62\u00a0kg":      unit.Grams(5621).String(),
		"1\u00a0kg":         unit.Grams(999.6).String(),
		"999\u00a0g":        unit.Grams(999.4).String(),
		"62.5\u00a0%":       unit.Percent(62.5).String(),
		"35\u00a0min":       unit.Minutes(35).String(),
		"1\u00a0h":          unit.Minutes(60).String(),
		"1\u00a0h\u00a005":  unit.Minutes(65).String(),
		"-1\u00a0h\u00a030": unit.Minutes(-90).String(),
		"24\u00a0h\u00a030": unit.Minutes(1470).String(),
		"11.1\u00a0°C":      unit.Kelvins(100.0 / 9).String(),
		"-6.7\u00a0°C":      unit.FromFahrenheit(20).String(),
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

// The fixed points of both scales (ice 0 °C = 32 °F, steam 100 °C = 212 °F; BIPM
// SI brochure gives 0 °C = 273.15 K).
func TestFahrenheit(t *testing.T) {
	t.Parallel()
	for c, f := range map[unit.Celsius]float64{0: 32, 100: 212, -40: -40, 37: 98.6} {
		if got := unit.FromFahrenheit(f); math.Abs(float64(got-c)) > 1e-9 {
			t.Errorf("%v °F = %v, want %v", f, got, c)
		}
	}
}
