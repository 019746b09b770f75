package ical

import (
	"fmt"
	"io"
	"time"

	"ovenward/schedule"
)

// Calendar is what is written for calendars.
type Calendar struct {
	Name    string // shown as the calendar's name
	Install string // tells installations apart: random, kept for good
	Waits   bool   // rises, rests and bakes as well, as time that is free
	// Refresh is how often a subscriber should ask again; 0 = 15 minutes.
	Refresh time.Duration
	Days    []Day
}

// Day is the plan of one day.
type Day struct {
	ID      int64
	Version int       // the plan's, rising with every plan of the day
	Saved   time.Time // when it was made; stamps its entries, so that the same plans give the same bytes
	Plan    *schedule.Plan
	Before  *schedule.Plan // the plan before; what only it has is cancelled. nil = none
	Words   func(Entry) Words
}

// Words is what an entry says.
type Words struct {
	Title string
	Text  string // what there is more to say; when it is by the clock on the wall is added
	Where string // "" = nothing to say
}

// producer names the program that wrote the file (RFC 5545, 3.7.3).
const producer = "-//ovenward//ovenward//EN"

// Write writes the calendar. The zones of its plans must be known.
func Write(w io.Writer, c Calendar) error {
	if c.Refresh <= 0 {
		c.Refresh = 15 * time.Minute
	}
	o := &lines{}
	o.raw("BEGIN", "VCALENDAR")
	o.raw("VERSION", "2.0")
	o.raw("PRODID", producer)
	o.raw("CALSCALE", "GREGORIAN")
	o.raw("METHOD", "PUBLISH")
	o.text("NAME", c.Name)
	o.text("X-WR-CALNAME", c.Name)
	o.raw("REFRESH-INTERVAL;VALUE=DURATION", duration(c.Refresh))
	o.raw("X-PUBLISHED-TTL", duration(c.Refresh))
	before := o.buf.Len()
	for i := range c.Days {
		if err := c.day(o, &c.Days[i]); err != nil {
			return fmt.Errorf("ical: %w", err)
		}
	}
	if o.buf.Len() == before {
		something(o)
	}
	o.raw("END", "VCALENDAR")
	_, err := w.Write(o.buf.Bytes())
	return err
}

// something is the one component a calendar must have (3.6) when nothing is
// planned: a zone nobody refers to.
func something(o *lines) {
	o.raw("BEGIN", "VTIMEZONE")
	o.raw("TZID", "Etc/UTC")
	o.raw("BEGIN", "STANDARD")
	o.raw("DTSTART", "19700101T000000")
	o.raw("TZOFFSETFROM", "+0000")
	o.raw("TZOFFSETTO", "+0000")
	o.raw("END", "STANDARD")
	o.raw("END", "VTIMEZONE")
}

func (c *Calendar) day(o *lines, d *Day) error {
	loc, err := time.LoadLocation(d.Plan.Zone)
	if err != nil {
		return err
	}
	kept := map[string]bool{}
	for _, e := range Entries(d.Plan, c.Waits) {
		kept[e.id] = true
		c.event(o, d, e, loc, false)
	}
	if d.Before == nil {
		return nil
	}
	for _, e := range Entries(d.Before, c.Waits) {
		if !kept[e.id] {
			c.event(o, d, e, loc, true)
		}
	}
	return nil
}

func (c *Calendar) event(o *lines, d *Day, e Entry, loc *time.Location, cancelled bool) {
	words := d.Words(e)
	if words.Text != "" {
		words.Text += "\n"
	}
	words.Text += e.wall(loc)
	uid := fmt.Sprintf("%s.%d@%s", e.id, d.ID, c.Install)
	o.raw("BEGIN", "VEVENT")
	o.text("UID", uid)
	o.raw("DTSTAMP", utc(d.Saved))
	o.raw("LAST-MODIFIED", utc(d.Saved))
	o.raw("SEQUENCE", fmt.Sprint(d.Version))
	o.raw("DTSTART", utc(e.From))
	if e.To.After(e.From) { // without DTEND an event ends as it begins (3.6.1)
		o.raw("DTEND", utc(e.To))
	}
	o.text("SUMMARY", words.Title)
	o.text("DESCRIPTION", words.Text)
	if e.Task.Name != "" {
		o.text("CATEGORIES", e.Task.Name)
	}
	if words.Where != "" {
		o.text("LOCATION", words.Where)
	}
	switch {
	case cancelled:
		o.raw("STATUS", "CANCELLED")
	default:
		o.raw("STATUS", "CONFIRMED")
	}
	if e.Baker != "" && !cancelled {
		o.raw("TRANSP", "OPAQUE")
	} else {
		o.raw("TRANSP", "TRANSPARENT")
	}
	if e.Part != Wait && !cancelled {
		alarm(o, "alarm-"+uid, words.Title)
	}
	o.raw("END", "VEVENT")
}

// alarm calls at the start of its event.
func alarm(o *lines, uid, title string) {
	o.raw("BEGIN", "VALARM")
	o.text("UID", uid)
	o.raw("ACTION", "DISPLAY")
	o.raw("TRIGGER", "PT0S")
	o.text("DESCRIPTION", title)
	o.raw("END", "VALARM")
}
