package view

import (
	"strconv"

	"ovenward/store/record"
)

func dayLink(d record.Day) string {
	if d.Version == 0 {
		return DayHead{ID: d.ID}.At("/plan")
	}
	return DayHead{ID: d.ID}.At("")
}

func dayLine(d record.Day) string {
	s := d.Date + " · " + count(len(d.Orders), "order")
	if d.Version == 0 {
		s += " · not planned yet"
	} else {
		s += " · plan " + itoa(d.Version)
	}
	if d.Example {
		s += " · example"
	}
	return s
}

func likeOptions(days []record.Day) []Option {
	out := []Option{{"", "an empty day"}}
	for _, d := range days {
		out = append(out, Option{strconv.FormatInt(d.ID, 10), d.Name + ", " + d.Date})
	}
	return out
}
