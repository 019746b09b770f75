package schedule

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"
)

// longest is how far ahead a promise may lie.
const longest = 14 * 24 * time.Hour

// Validate reports every fault of the day at once, in the order of the day
// file. A day without faults can be planned, though it may turn out late.
func (d *Day) Validate() Faults {
	v := &inspection{day: d, loc: time.UTC}
	v.head()
	v.kitchen()
	v.bases()
	v.breads()
	v.orders()
	v.decks()
	v.skills()
	v.learned()
	return v.faults
}

// inspection is a day being looked through.
type inspection struct {
	day    *Day
	loc    *time.Location // UTC while the zone is not known
	zoned  bool
	now    time.Time // zero while it is not known
	faults Faults
}

func (v *inspection) fault(where, what, remedy string) {
	v.faults = append(v.faults, Fault{where, what, remedy})
}

// want reports a fault unless ok, and gives ok back.
func (v *inspection) want(ok bool, where, what, remedy string) bool {
	if !ok {
		v.fault(where, what, remedy)
	}
	return ok
}

// within wants lo <= x <= hi. What is not a number at all says only that.
func (v *inspection) within(where string, x, lo, hi float64, what, remedy string) bool {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		what = "this is not a number"
	}
	return v.want(x >= lo && x <= hi, where, what, remedy)
}

// head looks at what stands above the kitchen.
func (v *inspection) head() {
	d := v.day
	v.want(d.Format == DayFormat, "format", fmt.Sprintf("%q is not a day file this program reads", d.Format), "write "+DayFormat)
	v.want(strings.TrimSpace(d.Name) != "", "name", "the day has no name", "give it one, such as Saturday")
	v.zone()
	if now, ok := v.wall("now", d.Now); ok {
		v.now = now
	}
	s := d.Settings
	v.want(s.Steps >= 0, "settings.steps", fmt.Sprintf("a search of %d steps cannot be", s.Steps), "leave it out, or give 1 or more")
	v.want(s.Slack >= 0 && s.Slack <= 240, "settings.slack", fmt.Sprintf("dough cannot lie for %d minutes between two works", s.Slack), "leave it out for 15, or give 1 to 240")
	v.want(s.Reserve >= -1 && s.Reserve <= 240, "settings.reserve", fmt.Sprintf("%d minutes cannot be kept in hand", s.Reserve), "leave it out for 15, give 1 to 240, or -1 for none")
}

func (v *inspection) zone() {
	const remedy = "give the IANA name of where the kitchen is, such as Europe/Dublin"
	loc, err := v.day.Location()
	switch {
	case v.day.Zone == "":
		v.fault("zone", "no time zone is given", remedy)
	case err != nil || v.day.Zone == "Local":
		v.fault("zone", fmt.Sprintf("there is no time zone %q", v.day.Zone), remedy)
	default:
		v.loc, v.zoned = loc, true
	}
}

// wall reads a local time; false where it is none or not one instant.
func (v *inspection) wall(where string, w Wall) (time.Time, bool) {
	t, err := w.In(v.loc)
	var twice *WallError
	switch {
	case err == nil:
		return t, true
	case w == "":
		v.fault(where, "no date and time is given", "write it as 2026-11-28T08:00")
	case errors.As(err, &twice):
		v.fault(where, twice.what(), twice.remedy())
	case offsetGiven(w):
		if v.zoned { // else the zone is at fault, and known to be
			v.fault(where, fmt.Sprintf("%q has an offset that %s does not have then", string(w), v.loc), "leave the offset away")
		}
	default:
		v.fault(where, fmt.Sprintf("%q is not a date and time", string(w)), "write it as 2026-11-28T08:00")
	}
	return time.Time{}, false
}

func offsetGiven(w Wall) bool {
	_, err := time.Parse(wallLayout+"Z07:00", string(w))
	return err == nil
}

func (e *WallError) what() string { s, _, _ := strings.Cut(e.Error(), "; "); return s }

func (e *WallError) remedy() string { _, s, _ := strings.Cut(e.Error(), "; "); return s }

// names wants every name given and none given twice, whatever its capitals.
func (v *inspection) names(list, field, thing string, n int, name func(int) string) {
	first := map[string]int{}
	for i := range n {
		key := strings.ToLower(strings.TrimSpace(name(i)))
		where := at(list, i) + "." + field
		if !v.want(key != "", where, "this "+thing+" has no name", "give it one of its own") {
			continue
		}
		if k, seen := first[key]; seen {
			v.fault(where, fmt.Sprintf("%q is the name of %s already", name(i), at(list, k)), "give each a name of its own")
			continue
		}
		first[key] = i
	}
}

// at is an element of a list, "breads[2]".
func at(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }

// choose is the remedy for a name that is not there.
func choose(names []string, none string) string {
	switch n := len(names); n {
	case 0:
		return none
	case 1:
		return "choose " + names[0]
	default:
		return "choose " + strings.Join(names[:n-1], ", ") + " or " + names[n-1]
	}
}
