package view

import (
	"strconv"
	"time"

	"ovenward/store/record"
)

func dayLink(d record.Day) string {
	if d.Version == 0 {
		return DayHead{ID: d.ID}.At("/plan")
	}
	return DayHead{ID: d.ID}.At("")
}

func dayLine(d record.Day, now time.Time) string {
	s := count(len(d.Orders), "order")
	if date := dateText(d.Date, now); date != d.Name {
		s = date + " · " + s
	}
	if d.Version == 0 {
		s += " · not planned yet"
	} else {
		s += " · planned"
	}
	if d.Example {
		s += " · example"
	}
	return s
}

// dated is a day's name and date, once where they are the same.
func dated(d record.Day, now time.Time) string {
	date := dateText(d.Date, now)
	if date == d.Name {
		return date
	}
	return d.Name + ", " + date
}

func likeOptions(days []record.Day, now time.Time) []Option {
	out := []Option{{"", "no other day"}}
	for _, d := range days {
		out = append(out, Option{strconv.FormatInt(d.ID, 10), dated(d, now)})
	}
	return out
}
