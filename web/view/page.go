package view

import (
	"fmt"
	"strconv"
	"time"
)

// Page is the frame around every page.
type Page struct {
	Title   string
	Assets  string // path prefix of the static files, "/static/<hash>/"
	Theme   string // "day", "night" or "" for what the device says
	Path    string // of this page, where a small form comes back to
	Now     time.Time
	Words   Words
	Tab     string   // the page's own link in the header
	Day     *DayHead // the day whose page this is; nil elsewhere
	Said    []string // what the last action did
	Undo    *Undo    // the last tap, while it can be taken back
	Foot    string   // address of the style of the foot of its sheets of paper; "" on other pages
	Damaged bool     // part of what is stored cannot be read
}

// DayHead is what every page of a day shows of it.
type DayHead struct {
	ID      int64
	Name    string
	Example bool   // invented, marked as such
	Version int    // of the plan
	Fixed   string // the moment a rehearsal stands at, "" for the clock
}

// Undo is what was said with one touch and can still be taken back.
type Undo struct {
	Tap     string // its key
	Task    string
	Version int
	What    string // "Done: Mix A"
	At      time.Time
	Left    time.Duration // for how long it can be taken back
	First   string        // what has to be taken back before; "" = nothing
	More    int           // what else can be taken back
}

// link is one entry of a menu.
type link struct{ Tab, Href, Word string }

// At is the address of a page of the day: "/now", "" for the drawing.
func (d DayHead) At(tab string) string { return "/days/" + strconv.FormatInt(d.ID, 10) + tab }

// links are the renderings of one day, and its planning.
func (d *DayHead) links() []link {
	return []link{{"now", d.At("/now"), "Now"}, {"day", d.At(""), "Day"}, {"sheet", d.At("/sheet"), "Sheet"}, {"plan", d.At("/plan"), "Plan"}}
}

func houseLinks() []link {
	return []link{{"days", "/days", "Days"}, {"breads", "/breads", "Breads"}, {"kitchen", "/kitchen", "Kitchen"}, {"learned", "/learned", "Learned"}, {"settings", "/settings", "Settings"}}
}

// onPaper puts at the foot of every sheet of paper of which plan it is and when
// it was printed. The address changes with both, so that a page that stays open
// asks for the style again when it says something else, and not before.
func (p Page) onPaper() Page {
	if p.Day != nil {
		p.Foot = p.Day.At(fmt.Sprintf("/foot.css?plan=%d&minute=%d", p.Day.Version, p.Now.Unix()/60))
	}
	return p
}

func (p Page) dayID() string {
	if p.Day == nil {
		return ""
	}
	return strconv.FormatInt(p.Day.ID, 10)
}

func orHome(href string) string {
	if href == "" {
		return "/"
	}
	return href
}

// live reports whether the page shows what changes by itself, and so is fetched
// anew when it does; a page with a form is not, lest something typed be lost.
func (p Page) live() bool {
	return p.Tab == "now" || p.Tab == "day" || p.Tab == "sheet" || p.Tab == "went"
}

// style is what the page loads beside what every page does.
func (p Page) style() string {
	if p.Day != nil {
		return "day.css"
	}
	return "house.css"
}

// drawn reports whether the page has the drawing of a day, whose style is loaded
// with it.
func (p Page) drawn() bool { return p.Tab == "day" || p.Tab == "choices" }

// script is what the page loads; that of a day loads that of every page.
func (p Page) script() string {
	if p.Day != nil {
		return "day.js"
	}
	return "ovenward.js"
}

func itoa(n int) string { return strconv.Itoa(n) }
