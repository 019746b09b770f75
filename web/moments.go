package web

import (
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/web/view"
)

// offset is what stands behind a time that happens twice, to tell which is meant.
var offset = regexp.MustCompile(`([+-][0-9]{2}:[0-9]{2}|Z)$`)

// joinMoments puts every day and the time typed beside it together, as
// [schedule.Wall] writes them, and says what cannot be; that stays as it was typed.
// No time is no moment. A field that holds both already is left alone.
func joinMoments(in url.Values) (faults []view.FieldFault) {
	for day := range in {
		name, ok := strings.CutSuffix(day, view.DayOf(""))
		if !ok {
			continue
		}
		text, date := strings.TrimSpace(in.Get(name)), strings.TrimSpace(in.Get(day))
		if both, _ := (&view.Form{Values: url.Values{name: {text}}}).Moment(name); text == "" || both != "" {
			continue
		}
		wall, err := moment(date, text)
		if err != nil {
			faults = append(faults, view.FieldFault{Field: name, What: view.Sentence(err.Error())})
			continue
		}
		in.Set(name, string(wall))
	}
	slices.SortFunc(faults, func(a, b view.FieldFault) int { return strings.Compare(a.Field, b.Field) })
	return faults
}

// moment is a day and a time typed beside it. 24:00 is the next day's 00:00.
func moment(day, text string) (schedule.Wall, error) {
	which := offset.FindString(text)
	c, err := schedule.TypedClock(strings.TrimSuffix(text, which))
	if err != nil {
		return "", err
	}
	date, err := time.Parse(time.DateOnly, day)
	switch {
	case day == "":
		return "", fmt.Errorf("no day is given for %s; give it beside the time", text)
	case err != nil:
		return "", fmt.Errorf("“%s” is not a date; write it as 2026-11-28", day)
	case c == 24*60:
		day, c = date.AddDate(0, 0, 1).Format(time.DateOnly), 0
	}
	return schedule.Wall(day + "T" + c.String() + which), nil
}

// newFaults are those of fields nothing is said of yet.
func newFaults(have, more []view.FieldFault) []view.FieldFault {
	return slices.DeleteFunc(slices.Clone(more), func(m view.FieldFault) bool {
		return slices.ContainsFunc(have, func(h view.FieldFault) bool { return h.Field == m.Field })
	})
}
