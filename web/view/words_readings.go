package view

import (
	"fmt"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// Measured is a place with what was read in it.
type Measured struct {
	Place  schedule.Place
	Hours  []schedule.Hourly
	Taught []schedule.Reading // its curve by what was read; nil = too little was
}

// n is how many readings there are.
func (m Measured) n() (n int) {
	for _, h := range m.Hours {
		n += h.N
	}
	return n
}

func (m Measured) typed(h schedule.Hourly) string { return m.Place.At(float64(h.Middle())).String() }

// readWords is what an hour comes to, as far as it is known.
func readWords(h schedule.Hourly) string {
	if !h.Known() {
		return fmt.Sprintf("%s, too few yet", h.Celsius)
	}
	return h.Celsius.String()
}

func rangeWords(h schedule.Hourly) string {
	if h.Low == h.High {
		return h.Low.String()
	}
	return bareCelsius(h.Low) + " – " + h.High.String()
}

// bareCelsius is a temperature without its unit.
func bareCelsius(c unit.Celsius) string { return strings.TrimSuffix(c.String(), "\u00a0°C") }

func hourSpan(h int) string { return fmt.Sprintf("%02d:00 – %02d:59", h, h) }

// comesTo says what planning by the readings would be.
func (m Measured) comesTo() string {
	if len(m.Taught) == 0 {
		return fmt.Sprintf("An hour counts from %d readings on; newer ones count more.", schedule.LeastReadings)
	}
	words := make([]string, len(m.Taught))
	for i, r := range m.Taught {
		words[i] = fmt.Sprintf("%s %s", r.At, r.Celsius)
	}
	return "By what was read: " + strings.Join(words, ", ") + ". Hours with too few readings are moved as their neighbours are."
}

func measuredOptions(all []Measured) []Option {
	var out []Option
	for _, m := range all {
		out = append(out, Option{m.Place.Name, m.Place.Name})
	}
	return out
}
