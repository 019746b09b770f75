package view

import (
	"fmt"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// StandingModel is what the page of standing orders shows.
type StandingModel struct {
	Orders []record.Standing
	Today  time.Time
	Days   int    // made ahead by itself
	Zone   string // "" = not said yet
	Ahead  []AheadDay
	Stale  []StaleDay            // made before the standing orders changed
	Moved  []*schedule.WallError // times that are not one moment, on the days ahead
	Form   Form                  // of how far ahead
}

// StaleDay is a day that was made, with what standing orders ask for now and what
// it has.
type StaleDay struct {
	record.Coming
	Has []schedule.Order
}

// AheadDay is a date to come on which standing orders fall.
type AheadDay struct {
	Date   time.Time
	Coming record.Coming // its Day is 0 while it is not made
	Own    string        // name of a day of the baker's own
}

// line says what became of the date.
func (d AheadDay) line() string {
	switch {
	case d.Coming.Day != 0:
		return comingLine(d.Coming)
	case d.Own != "":
		return "you have a day of your own, " + d.Own
	case d.Coming.Date != "":
		return "you have deleted it"
	}
	return "not made yet"
}

// makeWord is what the button for it says.
func makeWord(own string) string {
	if own != "" {
		return "Add them to it"
	}
	return "Make this day"
}

// StandingFormModel is what the form of a standing order shows.
type StandingFormModel struct {
	Form    Form
	Order   record.Standing // as it is kept, zero for a new one
	Breads  []record.Name
	AskZone bool
}

// DateName is "Saturday 28 November".
func DateName(date time.Time) string { return date.Format("Monday 2 January") }

// dateText is DateName of a date as text, with the year where it is another one.
func dateText(text string, today time.Time) string {
	d, err := time.Parse(time.DateOnly, text)
	switch {
	case err != nil:
		return text
	case d.Year() != today.Year():
		return d.Format("Monday 2 January 2006")
	}
	return DateName(d)
}

// Made says which days were made.
func Made(names []string) string { return "Made and planned: " + list(names) + "." }

// everyWords are the weekdays of a standing order: "every Monday and Thursday".
func everyWords(w schedule.Weekdays) string {
	workdays := schedule.EveryDay &^ schedule.On(time.Saturday, time.Sunday)
	switch w {
	case schedule.EveryDay:
		return "every day"
	case workdays:
		return "Monday to Friday"
	}
	var names []string
	for _, d := range weekdays() {
		if w.Has(d) {
			names = append(names, d.String())
		}
	}
	return "every " + list(names)
}

// weekdays are the days of the week as bakers count them.
func weekdays() []time.Weekday {
	return []time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday, time.Saturday, time.Sunday}
}

// weekdayWord is a day in files and forms.
func weekdayWord(d time.Weekday) string { return schedule.On(d).String() }

// standingTitle is "24 Plain bun".
func standingTitle(o record.Standing) string { return fmt.Sprintf("%d %s", o.Pieces, o.Name) }

// standingLine is "every Saturday, out by 07:30, for Café X".
func standingLine(o record.Standing) string {
	by := "out by "
	if o.Cool {
		by = "cooled by "
	}
	s := everyWords(o.Days) + ", " + by + o.At.String()
	if o.For != "" {
		s += ", for " + o.For
	}
	return upper(s)
}

// standingSpan says from when to when, nothing where that is plain.
func standingSpan(o record.Standing, today time.Time) string {
	now, s := today.Format(time.DateOnly), ""
	switch {
	case o.Until != "" && o.Until < now:
		return "Ended on " + dateText(o.Until, today) + "."
	case o.From > now:
		s = "from " + dateText(o.From, today)
	}
	if o.Until != "" {
		s = strings.TrimSpace(s + " until " + dateText(o.Until, today))
	}
	if s == "" {
		return ""
	}
	return Sentence(s)
}

// exceptions words those to come.
func exceptions(o record.Standing, today time.Time) (lines []string) {
	for _, e := range o.Except {
		if e.Date < today.Format(time.DateOnly) {
			continue
		}
		s := dateText(e.Date, today) + ": "
		if e.Pieces == 0 {
			s += "none"
		} else {
			s += count(e.Pieces, "piece")
			if e.At != nil {
				s += " by " + e.At.String()
			}
		}
		lines = append(lines, s)
	}
	return lines
}

// comingLine words a day that was made.
func comingLine(c record.Coming) string {
	s := count(len(c.Orders), "standing order")
	if c.Touched {
		s += ", changed by you since"
	}
	return s
}

// staleLine says what a day that was made lacks.
func (m StandingModel) staleLine(c StaleDay) string {
	has, asked := m.ordered(c.Has), m.ordered(c.Orders)
	switch {
	case c.Touched && len(c.Orders) == 0:
		return "you have changed this day, and it stays as it is: " + has + ". No standing order falls on it any more. Look at it yourself."
	case c.Touched:
		return "you have changed this day, and it stays as it is: " + has + ". The standing orders now ask for " + asked + ". Look at it yourself."
	case len(c.Orders) == 0:
		return "it has " + has + "; no standing order falls on it any more, so it goes."
	}
	return "it has " + has + "; the standing orders now ask for " + asked + "."
}

// ordered lists orders: "24 Plain bun by 07:30 and 6 Rye by 10:00".
func (m StandingModel) ordered(all []schedule.Order) string {
	names := map[string]string{}
	for _, o := range m.Orders {
		names[o.Bread] = o.Name
	}
	var words []string
	for _, o := range all {
		s := fmt.Sprintf("%d\u00a0%s", o.Pieces, orElse(names[o.Bread], o.Bread))
		if _, clock, ok := strings.Cut(string(o.Promise()), "T"); ok && len(clock) >= 5 {
			s += " by " + clock[:5]
		}
		words = append(words, s)
	}
	if len(words) == 0 {
		return "nothing"
	}
	return list(words)
}

// renewable counts the stale days that nobody has touched.
func (m StandingModel) renewable() (n int) {
	for _, c := range m.Stale {
		if !c.Touched {
			n++
		}
	}
	return n
}

// MovedLine says what became of a time that a change of clocks skips or repeats.
func MovedLine(e *schedule.WallError) string {
	date, clock, _ := strings.Cut(string(e.Wall), "T")
	d, _ := time.Parse(time.DateOnly, date)
	if e.Gap {
		return fmt.Sprintf("On %s clocks go forward over %s: what stands for then is promised for %s.", DateName(d), clock, e.Choices[1].Format("15:04"))
	}
	return fmt.Sprintf("On %s clocks go back and %s comes twice: what stands for then is promised for the first, %s.", DateName(d), clock, e.Choices[0].Format("15:04 MST"))
}

// aheadLine says what is made by itself.
func aheadLine(m StandingModel) string {
	switch {
	case m.Zone == "":
		return "No day is made by itself before the time zone is saved."
	case m.Days == 0:
		return "No day is made by itself; you make them here, or in the week."
	}
	return fmt.Sprintf("Days are made and planned by themselves, up to %s ahead. A day you have changed or deleted is left alone, and so is a date on which you have a day of your own.", count(m.Days, "day"))
}
