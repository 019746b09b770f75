package view

import (
	"fmt"
	"math"
	"time"

	"ovenward/schedule/unit"
)

// grid draws what lies beneath everything: hours, days, folds, clock changes.
func (d *drafter) grid() {
	var hours, days, changes pen
	w := d.x
	for t := firstHour(d.axis.from()); !t.After(d.axis.to()); t = t.Add(time.Hour) {
		y := d.axis.y(t)
		if midnight := t.Hour() == 0; midnight {
			days.across(0, w, y-1.5)
			days.across(0, w, y+1.5)
			d.hour(t.Format("Mon 2"), y, " day")
		} else if !d.axis.folded(t) {
			hours.across(0, w, y)
			d.hour(clock(t), y, "")
		}
	}
	if _, end := d.axis.from().ZoneBounds(); !end.IsZero() && end.Before(d.axis.to()) {
		changes.across(0, w, d.axis.y(end))
		d.strips = append(d.strips, label{text: "clocks change", class: "foldt", x: d.x - 90, y: d.axis.y(end) + 9})
	}
	d.out.Paths = append(d.out.Paths, path{Class: "col", D: d.ruled.String()},
		path{Class: "hour", D: hours.String()}, path{Class: "dayrule", D: days.String()}, path{Class: "change", D: changes.String()})
	for _, f := range d.axis.folds {
		d.fold(f)
	}
}

func (d *drafter) hour(text string, y float64, class string) {
	d.out.Hours = append(d.out.Hours, label{text: text, class: class, x: d.gutter - 5, anchor: 1, y: y})
}

// fold draws a torn strip that says how long it really is.
func (d *drafter) fold(f stretch) {
	top, bottom := d.axis.y(f.from), d.axis.y(f.to)
	var body, tears pen
	body.box(0, top, d.x, bottom-top)
	torn(&tears, top, d.x)
	torn(&tears, bottom, d.x)
	d.out.Paths = append(d.out.Paths, path{Class: "fold", D: body.String()}, path{Class: "tear", D: tears.String()})
	mid := (top + bottom) / 2
	d.strips = append(d.strips,
		label{text: "nothing for " + unit.Minutes(f.to.Sub(f.from).Minutes()).String(), class: "foldt", x: 6, y: mid - 8},
		label{text: clock(f.from) + " → " + clock(f.to), class: "foldt", x: 6, y: mid + 8})
}

// torn is a line like the edge of torn paper.
func torn(p *pen, y, w float64) {
	const tooth = 14.0
	p.op('M', 0, y)
	n := int(math.Ceil(w / tooth))
	*p = fmt.Appendf(*p, "q%g -6 %g 0", tooth/2, tooth)
	for range n - 1 {
		*p = fmt.Appendf(*p, "t%g 0", tooth)
	}
}

// firstHour is the first whole hour of the clock at or after t.
func firstHour(t time.Time) time.Time {
	h := time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), 0, 0, 0, t.Location())
	if h.Before(t) {
		h = h.Add(time.Hour)
	}
	return h
}
