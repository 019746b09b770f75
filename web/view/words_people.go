package view

import (
	"fmt"
	"time"

	"ovenward/schedule"
)

// otherwise is a person who is there otherwise than usual, in sentences.
type otherwise struct {
	Name string
	Says []string
}

// otherwise are the people who are there otherwise than usual from now on.
func (m *Picture) otherwise() (out []otherwise) {
	loc := m.Now.Location()
	for i := range m.People {
		b := &m.People[i]
		o := otherwise{Name: b.Name}
		for _, a := range b.Beyond(loc) {
			if a.To.After(m.Now) {
				o.Says = append(o.Says, asked([]schedule.Asked{a}, m.Now)+".")
			}
		}
		for _, s := range b.Away {
			from, err1 := s.From.In(loc)
			to, err2 := s.To.In(loc)
			if err1 == nil && err2 == nil && to.After(m.Now) {
				o.Says = append(o.Says, fmt.Sprintf("%s is not there from %s to %s.", b.Name, Clock(from, m.Now), Clock(to, from)))
			}
		}
		if len(o.Says) > 0 {
			out = append(out, o)
		}
	}
	return out
}

// beyond says in the words of an offer that somebody is there beyond the hours.
func (m *Picture) beyond(s schedule.Slip) string {
	a := schedule.Asked{Baker: s.Of, From: s.From, To: s.To}
	for i := range m.Day.Kitchen.Bakers {
		if b := &m.Day.Kitchen.Bakers[i]; b.Name == s.Of {
			a = b.Asks(s.From.In(m.Now.Location()), s.To.In(m.Now.Location()))
		}
	}
	return asked([]schedule.Asked{a}, m.Now)
}

// Agreed says what was noted of somebody who stays or comes, and what rest it leaves.
func Agreed(a schedule.Asked, now time.Time) string {
	all := []schedule.Asked{a}
	return "Noted: " + asked(all, now) + "." + rested(all)
}

// stayOptions are the two ways to be there beyond the hours, in the words of offers.
func stayOptions() []Option { return []Option{{"", "stays until"}, {"comes", "comes at"}} }

// UsualAgain says that it was noted of somebody.
func UsualAgain(name string) string { return "Noted: " + usualAgain(name) + "." }

func usualAgain(name string) string { return name + " keeps the usual hours after all" }

// IsPast says that somebody was to be there beyond the hours at a time that is over.
func IsPast(a schedule.Asked, now time.Time) string {
	if a.Comes {
		return fmt.Sprintf("The hours of %s begin at %s, and it is %s already; give a time to come, or say what was done.", a.Baker, Clock(a.To, now), clock(now))
	}
	return fmt.Sprintf("%s is past, it is %s already; give a time to come.", Clock(a.To, now), clock(now))
}
