package view

import (
	"math"
	"time"

	"github.com/a-h/templ"

	"ovenward/schedule"
)

// Picture is what the drawing of a day shows. The drawing is a picture of the
// sheet: everything in it stands in the table as well.
type Picture struct {
	Day     *schedule.Day
	Plan    *schedule.Plan // as it runs
	Planned *schedule.Plan // as it was made; nil for the same
	Traces  []schedule.Trace
	Now     time.Time
	Done    map[string]bool      // task IDs
	Lost    map[string]bool      // those of Done whose dough was thrown away
	Begun   map[string]bool      // begun, loaded
	OnIt    map[string]bool      // somebody is on what comes next of it
	Ready   map[string]bool      // rises, or what follows them, that were seen to be ready
	Wait    map[string]time.Time // until when what needs more is left alone
	Decide  *Offered             // what waits for a decision
	Seen    []Sighting           // how far doughs were seen to have risen
	People  []schedule.Baker     // as they were said to be there
	Version int                  // of the plan
	Zoom    int                  // 1, 2 or 4 times the height of a whole day
	Words   Words

	Old       *schedule.Plan // drawn as dashed outlines, to compare with
	OldTraces []schedule.Trace
}

// Sighting is a volume somebody saw, against the dough just mixed.
type Sighting struct {
	Task      string
	At        time.Time
	Expansion float64
}

// Drawing is a day as rising ribbons: hours run down the page, every dough is a
// ribbon as wide as its volume. All geometry is in pixels.
type Drawing struct {
	Width, Height float64
	Gutter        float64
	Fits          bool   // nothing is off the side of the screens it is made for
	ID            string // "w" for a desk, "n" for a hand: before its other ids
	Heads         []head
	Hours         []label // in the gutter, x = 0 at its left
	NowY          float64 // < 0: now is not on the page
	NowText       string
	Paths         []path
	Fills         []fill // gradients the ribbons are filled with
	Labels        []label
	MinutePx      float64 // height of a minute outside folds
}

// box is the size of a part of the drawing as attributes: in pixels, and as the
// coordinates it keeps where it grows or shrinks.
func (d Drawing) box(w, h float64) templ.Attributes {
	return templ.Attributes{"width": num(w), "height": num(h), "viewBox": "0 0 " + num(w) + " " + num(h)}
}

// frame says in classes which screens the drawing is for and whether it fits them.
func (d Drawing) frame() string {
	name := "wide"
	if d.ID == narrow.id {
		name = "narrow"
	}
	if d.Fits {
		name += " fits"
	}
	return name
}

// head is the heading of a column.
type head struct {
	X         float64
	room      float64 // to the next
	Name, Sub string
	Short     string // stands there where the name has no room, and the key has it; "" = the name is cut
	Hands     bool   // of a person
}

// path is one shape of the drawing.
type path struct {
	Class string
	D     string
	Fill  string // id of a gradient or pattern
	Task  string // task it belongs to, for marking from the table
}

// fill is a vertical gradient with hard stops.
type fill struct {
	ID    string
	Stops []stop
}

// stop is where one kind of filling begins, as a share of the gradient.
type stop struct {
	At    float64
	Class string
}

const headH = 54.0

// Draw lays the day out for a desk.
func Draw(m Picture) Drawing { return draw(m, wide) }

// DrawNarrow lays the day out for a screen in a hand: every person's hands, every
// dough and every oven at once, without words but names and times.
func DrawNarrow(m Picture) Drawing { return draw(m, narrow) }

func draw(m Picture, s sizes) Drawing {
	span := busy(m.Plan)
	if m.Old != nil {
		span = append(span, busy(m.Old)...)
	}
	if len(span) == 0 {
		return Drawing{}
	}
	px := s.minute(span) * float64(max(m.Zoom, 1))
	d := &drafter{Picture: m, sizes: s, axis: newAxis(span, px), tasks: map[string]*schedule.Task{}}
	for i := range m.Plan.Tasks {
		d.tasks[m.Plan.Tasks[i].ID] = &m.Plan.Tasks[i]
	}
	d.out.MinutePx = px
	d.people()
	d.lanes()
	d.ovens()
	if d.words {
		d.places()
	}
	d.finish()
	return d.out
}

// drafter draws column after column, from left to right.
type drafter struct {
	Picture
	sizes
	axis  axis
	tasks map[string]*schedule.Task
	x     float64 // where the next column begins
	out   Drawing

	back   []path // beneath the ribbons
	front  []path // above them
	labels []label
	strips []label // in folds, where nothing else stands
	ready  pen     // ticks, one path for all
	tooFar pen
	spread pen // whiskers of the forecast
	notch  pen
	seen   pen // dots where a volume was seen
	stem   pen
	ruled  pen // column lines
	todo   pen // bars of hands, where there are no words beside each
	done   pen
}

// reserve takes a width under a heading and gives its left edge.
func (d *drafter) reserve(w float64, h head) float64 {
	x := d.x
	h.X, h.room = x, w+d.gap
	d.out.Heads = append(d.out.Heads, h)
	d.x += w + d.gap
	return x
}

func (d *drafter) say(l label) { d.labels = append(d.labels, l) }

// finish joins the layers, back to front, and sets the labels.
func (d *drafter) finish() {
	o := &d.out
	o.ID, o.Gutter = d.id, d.gutter
	o.Fits = d.x <= d.fits
	o.Width, o.Height = math.Max(d.x, d.fills), d.axis.height()
	place(d.labels)
	ribbons := o.Paths
	o.Paths = nil
	d.grid()
	o.Paths = append(o.Paths, d.back...)
	o.Paths = append(o.Paths, ribbons...)
	o.Paths = append(o.Paths, d.front...)
	for _, p := range []path{
		{Class: "bar", D: d.todo.String()}, {Class: "bar done", D: d.done.String()},
		{Class: "notch", D: d.notch.String()}, {Class: "seen", D: d.seen.String()}, {Class: "stem", D: d.stem.String()},
		{Class: "spread", D: d.spread.String()}, {Class: "ready", D: d.ready.String()},
		{Class: "toofar", D: d.tooFar.String()}, {Class: "leader", D: d.leaders()},
	} {
		if p.D != "" {
			o.Paths = append(o.Paths, p)
		}
	}
	o.Labels = append(d.labels, d.strips...)
	o.NowY = -1
	if !d.Now.Before(d.axis.from()) && !d.Now.After(d.axis.to()) {
		o.NowY, o.NowText = d.axis.y(d.Now), clock(d.Now.In(d.axis.from().Location()))
	}
}

// leaders joins labels that had to move to what they speak of.
func (d *drafter) leaders() string {
	var p pen
	for _, l := range d.labels {
		if l.pointX != l.pointX || abs(l.y-l.want) < leaderOver {
			continue
		}
		end := l.left()
		if end < l.pointX {
			end = l.left() + l.width()
		}
		p.line(l.pointX, l.want, end, l.y)
	}
	return p.String()
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
