package view

import (
	"fmt"
	"strings"

	"ovenward/schedule"
)

// Aid says what would help, in a sentence.
func (m *Picture) Aid(a schedule.Aid) string {
	switch a.Code {
	case schedule.AidHands:
		return fmt.Sprintf("With one more pair of hands from %s to %s everything would be on time.", Clock(a.From, m.Now), Clock(a.To, a.From))
	case schedule.AidOven:
		var names []string
		for _, o := range m.Day.Kitchen.Ovens {
			names = append(names, o.Name)
		}
		return "With one more oven like " + list(names) + " everything would be on time: ask who has one free."
	}
	var orders []string
	for _, s := range a.Slips {
		if s.Order < 0 || s.Order >= len(m.Day.Orders) {
			continue
		}
		o := m.Day.Orders[s.Order]
		name := m.ordered(schedule.Lateness{Order: s.Order, Bread: o.Bread})
		switch s.Kind {
		case schedule.OrderLater:
			name = fmt.Sprintf("%d %s at %s (promised for %s)", o.Pieces, name, Clock(s.To.In(m.Now.Location()), m.Now), wallTime(o.Promise()))
		case schedule.OrderLowered:
			name = fmt.Sprintf("%d %s, not %d", s.Pieces, name, o.Pieces)
		default:
			name = m.orderName(s.Order)
		}
		orders = append(orders, name)
	}
	which := strings.Join(orders, "; ")
	switch a.Code {
	case schedule.AidLater:
		return "Tell whoever waits a later time, which can be kept: " + which + "."
	case schedule.AidFewer:
		return "With fewer pieces everything would be on time: " + which + "."
	case schedule.AidDrop:
		return "Without this order all others would be on time: " + which + "."
	case schedule.AidLeave:
		return "Without this bread everything else would be on time: " + which + "."
	}
	return string(a.Code)
}

// aidButton is what the button says that takes an aid; "" where it must be got
// first.
func aidButton(a schedule.Aid) string {
	switch {
	case len(a.Slips) == 0:
		return ""
	case a.Code == schedule.AidLater:
		return "Promise it later"
	case a.Code == schedule.AidFewer:
		return "Lower the order"
	}
	return "Drop it"
}
