package view

import (
	"fmt"
	"math"
	"strings"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// Learnt is what one dough has taught.
type Learnt struct {
	Dough, Name string
	Speed       float64 // against the model
	Low, High   float64 // of it, in eight cases of ten
	Seen        []Lesson
}

// Lesson is one sighting and what it is worth.
type Lesson struct {
	schedule.Lesson
	Bound   bool // it had not reached it yet
	Past    bool // it had gone beyond it
	Doubted bool // so unlike the others that it hardly counts
}

// pace words a speed as a percentage.
func pace(x float64) string {
	n := int(math.Round(100 * (x - 1)))
	switch {
	case n > 0:
		return fmt.Sprintf("%d\u00a0%% faster", n)
	case n < 0:
		return fmt.Sprintf("%d\u00a0%% slower", -n)
	}
	return "as fast"
}

func (l Learnt) correction() string {
	s := "It rises as fast here as the model says"
	if p := pace(l.Speed); p != "as fast" {
		s = "It rises " + p + " here than the model says"
	}
	return fmt.Sprintf("%s; between %s and %s in eight cases of ten.", s, pace(l.Low), pace(l.High))
}

// without says what would be forecast without the correction.
func (l Learnt) without() string {
	const twoHours = 120
	return fmt.Sprintf("A rise that takes %s here would be forecast as %s without it. From %s.",
		unit.Minutes(twoHours), unit.Minutes(math.Round(twoHours*l.Speed)), count(len(l.Seen), "sighting"))
}

// rise names the rise of a sighting.
func (s Lesson) rise(dough string) string {
	switch part := strings.TrimPrefix(s.Bread, dough+"/"); part {
	case string(schedule.Rise):
		return "bulk rise"
	case string(schedule.Proof):
		return "final rise"
	default:
		return part
	}
}

func (s Lesson) predicted() string { return unit.Minutes(math.Round(s.Predicted)).String() }

func (s Lesson) observed() string {
	m := unit.Minutes(math.Round(s.Observed)).String()
	switch {
	case s.Bound:
		return "not yet after " + m
	case s.Past:
		return "past it after " + m
	}
	return m
}

func (s Lesson) difference() string {
	d := fmt.Sprintf("%+.0f\u00a0%%", 100*(s.Observed/s.Predicted-1))
	if s.Bound && s.Observed <= s.Predicted || s.Past && s.Observed >= s.Predicted {
		d = "as the model says"
	}
	if s.Doubted {
		d += ", unlike the others; hardly counted"
	}
	return strings.Replace(d, "-", "−", 1)
}
