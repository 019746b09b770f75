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
	schedule.Learned
	Name       string
	Steered    bool // the bench sheet asks for water or milk for it
	Bulk       Paced
	Final      Paced
	Cool, Warm unit.Kelvins // in eight cases of ten, of how much warmer than reckoned it comes off the mixer
	Seen       []Lesson     // of its rises
	Mixes      []Lesson     // of its temperature off the mixer
}

// Paced is the pace of a dough's bulk or final rise with its ranges.
type Paced struct {
	schedule.Pace
	Low, High         float64 // of the speed, in eight cases of ten
	ColdLow, ColdHigh float64 // the same below 10 °C
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

// correction is what was learnt of the two rises, which err apart.
func (l Learnt) correction() string {
	return l.Bulk.correction("bulk rise") + " " + l.Final.correction("final rise")
}

func (p Paced) correction(rise string) string {
	s := "as fast here as the model says"
	if w := pace(p.Speed); w != "as fast" {
		s = w + " here than the model says"
	}
	return fmt.Sprintf("Its %s is %s; between %s and %s in eight cases of ten. Below 10\u00a0°C less is known: between %s and %s.",
		rise, s, pace(p.Low), pace(p.High), pace(p.ColdLow), pace(p.ColdHigh))
}

// warmth words a difference of temperature.
func warmth(k unit.Kelvins) string {
	k = unit.Kelvins(math.Round(10*float64(k)) / 10)
	switch {
	case k > 0:
		return k.String() + " warmer"
	case k < 0:
		return (-k).String() + " cooler"
	}
	return "as warm"
}

// mixing says how warm it comes off the mixer.
func (l Learnt) mixing() string {
	is := "It comes off the mixer as warm as it is wanted"
	switch w := warmth(l.Friction); {
	case l.Steered && w == "as warm":
		is = "It comes off the mixer as warm as the water or milk of the bench sheet would have it"
	case l.Steered:
		is = "It comes off the mixer " + w + " than the water or milk of the bench sheet would have it, if that did not allow for it; now it does"
	case warmth(l.Warmer) != "as warm":
		is = "It comes off the mixer " + warmth(l.Warmer) + " than it is wanted"
	}
	return fmt.Sprintf("%s. On a single day, between %s and %s in eight cases of ten.", is, warmth(l.Cool), warmth(l.Warm))
}

// unallowed says what the dough is planned for, and what would be without what
// was learnt.
func (l Learnt) unallowed() string {
	planned := "Plans expect it as warm as it is wanted"
	if w := warmth(l.Warmer); w != "as warm" {
		planned = "Plans expect it " + w + " than it is wanted"
		if l.Steered {
			planned += ", until it shows that water or milk is taken as asked for"
		}
	}
	without := "Without it, plans would expect dough wanted at 26\u00a0°C to be just that"
	if l.Steered {
		without += ", and the water or milk asked for would bring it to " + warm(26+float64(l.Friction))
	}
	return fmt.Sprintf("%s. %s. From %s.", planned, without, count(len(l.Mixes), "measurement"))
}

// without says what would be forecast without the correction.
func (l Learnt) without() string {
	const twoHours, hour = 120, 60
	return fmt.Sprintf("Without it, a bulk rise that takes %s here would be forecast as %s, a final rise of %s as %s. From %s.",
		unit.Minutes(twoHours), unit.Minutes(math.Round(twoHours*l.Speed)), unit.Minutes(hour), unit.Minutes(math.Round(hour*l.Proof.Speed)), count(len(l.Seen), "sighting"))
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

// warm is a temperature as a thermometer shows it.
func warm(t float64) string { return unit.Celsius(math.Round(10*t) / 10).String() }

// allowed is what the water allowed for when the dough was mixed.
func (s Lesson) allowed() string {
	if s.Allowed == 0 {
		return "nothing"
	}
	return warmth(unit.Kelvins(s.Allowed)) + " mixing"
}

// off is how far the dough was from what was wanted.
func (s Lesson) off() string {
	d := warmth(unit.Kelvins(s.Observed - s.Predicted))
	if s.Doubted {
		d += ", unlike the others; hardly counted"
	}
	return d
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

// mostSeen is how many sightings of a dough are shown.
const mostSeen = 20

func (l Learnt) newest() []Lesson { return l.Seen[:min(len(l.Seen), mostSeen)] }
