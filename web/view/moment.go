package view

import (
	"slices"
	"time"

	"github.com/a-h/templ"

	"ovenward/schedule"
)

// A day and a time are asked for in two fields, so that no browser shows hours of
// its own land: name+".day" has the day, and name the time as typed. Where name
// has both, "2026-11-28T06:30", it comes from what is kept.

// DayOf is the name of the field with the day of another field.
func DayOf(name string) string { return name + ".day" }

// Moment reads the two fields: the day, "" for none, and the time as typed.
func (f *Form) Moment(name string) (day, clock string) {
	const date = len(time.DateOnly)
	v := f.get(name)
	if len(v) > date && v[date] == 'T' {
		return v[:date], v[date+1:]
	}
	return f.get(DayOf(name)), v
}

// clockAttributes are those of a field for a time of day. A keyboard of digits has
// no colon, and needs none.
func clockAttributes() templ.Attributes {
	return templ.Attributes{
		"inputmode": "numeric", "autocomplete": "off", "placeholder": "06:30", "maxlength": "12",
		"pattern": `\s*[0-9]{1,2}\s*[:.,hH]?\s*[0-9]{0,2}\s*([+\-][0-9]{2}:[0-9]{2}|Z)?\s*`,
		"title":   "of 24 hours, like 06:30, 0630 or 17h30",
	}
}

// dayOptions are the days from one to another, and the one chosen.
func dayOptions(from, to time.Time, chosen string) (out []Option) {
	for d := from; !d.After(to); d = d.AddDate(0, 0, 1) {
		out = append(out, dayOption(d))
	}
	if t, err := time.Parse(time.DateOnly, chosen); err == nil && !slices.ContainsFunc(out, func(o Option) bool { return o.Value == chosen }) {
		out = append(out, dayOption(t))
	}
	return out
}

func dayOption(d time.Time) Option { return Option{d.Format(time.DateOnly), d.Format("Mon 2 Jan")} }

// daysAbout are the days about that of the form, for a field.
func daysAbout(f *Form, name string, before, after int) []Option {
	chosen, _ := f.Moment(name)
	d, err := time.Parse(time.DateOnly, f.get("date"))
	if err != nil {
		return dayOptions(time.Time{}, time.Time{}.AddDate(0, 0, -1), chosen)
	}
	return dayOptions(d.AddDate(0, 0, -before), d.AddDate(0, 0, after), chosen)
}

// daysOf are the days of a plan, with today and tomorrow, which are called so.
func (m *Picture) daysOf(chosen string) []Option {
	day := func(t time.Time) time.Time {
		y, n, d := t.In(m.Now.Location()).Date()
		return time.Date(y, n, d, 0, 0, 0, 0, time.UTC)
	}
	today := day(m.Now)
	from, to := today, today.AddDate(0, 0, 1)
	for _, t := range []time.Time{m.Plan.Outcome.WorkStart, m.Plan.Outcome.WorkEnd} {
		if d := day(t); !t.IsZero() && d.Before(from) {
			from = d
		} else if !t.IsZero() && d.After(to) {
			to = d
		}
	}
	out := dayOptions(from, to, chosen)
	for i := range out {
		switch out[i].Value {
		case today.Format(time.DateOnly):
			out[i].Word = "today, " + out[i].Word
		case today.AddDate(0, 0, 1).Format(time.DateOnly):
			out[i].Word = "tomorrow, " + out[i].Word
		}
	}
	return out
}

// lastDay is the day of a plan's last work, on which most is promised.
func (m *Picture) lastDay() string {
	at := schedule.WallOf(m.Plan.Outcome.WorkEnd.In(m.Now.Location()))
	return string(at[:len(time.DateOnly)])
}
