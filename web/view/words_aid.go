package view

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"ovenward/schedule"
)

// Aid says what would help, in a sentence.
func (m *Picture) Aid(a schedule.Aid) string {
	switch a.Code {
	case schedule.AidStay:
		return m.stay(a)
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

// asked says who is asked to stay until when, or to come at what time.
func asked(all []schedule.Asked, day time.Time) string {
	var out []string
	for _, a := range all {
		from, to := a.From.In(day.Location()), a.To.In(day.Location())
		if a.Comes {
			out = append(out, fmt.Sprintf("%s comes at %s (%s sooner)", a.Baker, Clock(from, day), a.Longer()))
		} else {
			out = append(out, fmt.Sprintf("%s stays until %s (%s longer)", a.Baker, Clock(to, day), a.Longer()))
		}
	}
	return list(out)
}

// rested says what rest is left to who stays or comes, where that is short.
func rested(all []schedule.Asked) string {
	var out []string
	for _, a := range all {
		if a.Rest > 0 {
			out = append(out, fmt.Sprintf(" That leaves %s %s between work and work, sleep and way home in it: ask whether that will do. Eleven hours are a usual least, and local law may want them.", a.Baker, a.Rest))
		}
	}
	return strings.Join(out, "")
}

// stay says who would have to be there beyond the hours, what promises that keeps, and
// what it leaves them of their night.
func (m *Picture) stay(a schedule.Aid) string {
	s := asked(a.Asked, m.Now) + ": then "
	var kept, late []string
	for _, i := range a.Kept {
		kept = append(kept, m.orderName(i))
	}
	for _, l := range a.Late {
		one := m.orderName(l.Order) + " is " + l.By.String() + " late"
		if l.Was > l.By {
			one += ", not " + l.Was.String()
		}
		late = append(late, one)
	}
	switch {
	case len(late) == 0:
		s += "everything is on time"
	case len(kept) == 0:
		s += list(late) + ", and everything else is on time"
	default:
		s += strings.Join(kept, "; ") + " is on time, and " + list(late)
	}
	return s + "." + rested(a.Asked)
}

// aidButton is what the button says that takes an aid; "" where it must be got
// first.
func aidButton(a schedule.Aid) string {
	switch {
	case len(a.Slips) == 0:
		return ""
	case a.Code == schedule.AidStay:
		return agreed(a.Asked)
	case a.Code == schedule.AidLater:
		return "Promise it later"
	case a.Code == schedule.AidFewer:
		return "Lower the order"
	}
	return "Drop it"
}

// agreed is what the button says once somebody was asked, and agrees.
func agreed(all []schedule.Asked) string {
	var names []string
	for _, a := range all {
		if !slices.Contains(names, a.Baker) {
			names = append(names, a.Baker)
		}
	}
	return "Agreed with " + list(names)
}

// sealed is an aid as the form that takes it carries it.
func sealed(a schedule.Aid) string {
	b, err := json.Marshal(schedule.Aid{Code: a.Code, Slips: a.Slips})
	if err != nil {
		return "" // and so none that can be taken
	}
	return string(b)
}
