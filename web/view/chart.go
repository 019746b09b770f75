package view

import (
	"fmt"
	"math"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// Chart is the volume and the temperature of one portion of dough from the mix
// to the oven, over hours.
type Chart struct {
	chartSize
	Top      float64 // of the field the lines are in; what hands do stands above it
	Height   float64
	Bands    []band // where the dough is
	Lines    []path
	Labels   []label
	From, To time.Time
}

// chartSize is how a chart is laid out, in px: for a desk, or for a screen in a
// hand, which it fits.
type chartSize struct {
	id          string  // its class, and before the ids of its patterns
	Width       float64 // of all
	field       float64 // height of the field
	left, right float64 // beside the field, for its scales
	hours       float64 // figures of hours that have room
}

var (
	wideChart   = chartSize{id: "wide", Width: 760, field: 274, left: 46, right: 46, hours: 12}
	narrowChart = chartSize{id: "narrow", Width: 332, field: 220, left: 36, right: 30, hours: 7}
)

// band is a while in one place.
type band struct {
	X, W float64
	Cold bool
	Warm bool
	Name string
}

const (
	chartHead = 20.0 // above what hands do, for the places
	chartFoot = 34.0 // below the field, for the hours
)

// NewCharts draw what becomes of a dough, for a desk and for a hand: traces of the
// whole dough and of one portion, in order. Volume is read on the left, temperature
// on the right.
func NewCharts(d *schedule.Day, p *schedule.Plan, traces []schedule.Trace, w Words) []Chart {
	return []Chart{newChart(wideChart, d, p, traces, w), newChart(narrowChart, d, p, traces, w)}
}

func newChart(size chartSize, d *schedule.Day, p *schedule.Plan, traces []schedule.Trace, w Words) Chart {
	c := charter{Chart: Chart{chartSize: size}, words: w}
	for _, t := range traces {
		if t.Part == "" {
			c.points = append(c.points, t.Points...)
		}
	}
	if len(c.points) == 0 {
		return c.Chart
	}
	c.From, c.To = c.points[0].At, c.points[len(c.points)-1].At
	c.most = 2.0
	c.hot = 30.0
	for _, q := range c.points {
		c.most = math.Max(c.most, q.Expansion)
		c.hot = math.Max(c.hot, float64(q.Core))
	}
	c.most, c.hot = math.Ceil(c.most*2)/2, math.Ceil(c.hot/10)*10
	c.marks(p)
	c.Height = c.Top + c.field + chartFoot
	c.bands(d)
	c.scales()
	c.curve("volume", func(q schedule.TracePoint) float64 { return c.volume(q.Expansion) })
	c.curve("warmth", func(q schedule.TracePoint) float64 { return c.warmth(float64(q.Mean)) })
	c.curve("core", func(q schedule.TracePoint) float64 { return c.warmth(float64(q.Core)) })
	return c.Chart
}

type charter struct {
	Chart
	words     Words
	points    []schedule.TracePoint
	most, hot float64 // tops of the scales
}

func (c *charter) x(t time.Time) float64 {
	return c.left + (c.Width-c.left-c.right)*t.Sub(c.From).Minutes()/math.Max(1, c.To.Sub(c.From).Minutes())
}

// y is a height, from 0 at the foot to 1 at the top.
func (c *charter) y(part float64) float64 {
	return c.Top + (1-part)*c.field
}

func (c *charter) volume(e float64) float64 { return c.y((e - 0.5) / (c.most - 0.5)) }
func (c *charter) warmth(t float64) float64 { return c.y(t / c.hot) }

// bands marks where the dough is, and for how long.
func (c *charter) bands(d *schedule.Day) {
	for i := 0; i < len(c.points); {
		j := i
		for j+1 < len(c.points) && c.points[j+1].Place == c.points[i].Place {
			j++
		}
		end := c.points[min(j+1, len(c.points)-1)].At
		b := band{X: c.x(c.points[i].At), W: c.x(end) - c.x(c.points[i].At), Name: c.points[i].Place}
		if p, ok := d.Kitchen.Place(b.Name); ok {
			b.Cold, b.Warm = p.Kind == schedule.Cold, p.Kind == schedule.Warm
		}
		c.Bands = append(c.Bands, b)
		if !end.After(c.points[i].At) {
			break
		}
		for _, text := range []string{b.Name + " " + lasting(c.points[i].At, end), b.Name} {
			l := label{x: b.X + b.W/2, y: chartHead / 2, anchor: 0.5, text: text, class: "place"}
			if l.width() <= b.W {
				c.Labels = append(c.Labels, l)
				break
			}
		}
		i = j + 1
	}
}

// scales draws the grid with its figures: hours from the mix, volume, °C.
func (c *charter) scales() {
	grid := pen{}
	for e := 0.5; e <= c.most+0.01; e += 0.5 {
		y := c.volume(e)
		grid.across(c.left, c.Width-c.right, y)
		c.Labels = append(c.Labels, label{x: c.left - 6, y: y, anchor: 1, text: fmt.Sprintf("%g×", e), class: "scale"})
	}
	for t := 0.0; t <= c.hot; t += 10 {
		c.Labels = append(c.Labels, label{x: c.Width - c.right + 6, y: c.warmth(t), text: fmt.Sprintf("%g°", t), class: "scale"})
	}
	hours := c.To.Sub(c.From).Hours()
	step := 1.0
	for hours/step > c.hours {
		step *= 2
	}
	for h := 0.0; h <= hours; h += step {
		x := c.x(c.From.Add(time.Duration(h * float64(time.Hour))))
		grid.line(x, c.Top, x, c.Top+c.field)
		c.Labels = append(c.Labels, label{x: x, y: c.Top + c.field + 14, anchor: 0.5, text: fmt.Sprintf("%g h", h), class: "scale"})
	}
	c.Lines = append(c.Lines, path{Class: "gridline", D: grid.String()})
}

func (c *charter) curve(class string, y func(schedule.TracePoint) float64) {
	p := pen{}
	op := byte('M')
	for _, q := range c.points {
		p.op(op, c.x(q.At), y(q))
		op = 'L'
	}
	c.Lines = append(c.Lines, path{Class: class, D: p.String()})
}

// marks says what hands do, each at its time and below each other where there is no
// room beside; the field begins beneath.
func (c *charter) marks(p *schedule.Plan) {
	const above = 10 // px from the last word to the field
	var names []label
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if t.Start.Before(c.From) || t.Start.After(c.To) || len(t.Hands) == 0 || t.Part != "" {
			continue
		}
		names = append(names, label{x: c.x(t.Start), pointX: c.x(t.Start), anchor: 0.5, text: c.words.Verb(t.Kind), class: "scale"})
	}
	c.Top = chartHead
	for i := range names {
		l := &names[i]
		l.x -= max(0, l.left()+l.width()-c.Width) // nothing is cut at the side
		l.y = chartHead + lineHeight/2
		for _, before := range names[:i] {
			if l.meets(before) {
				l.y = max(l.y, before.y+lineHeight)
			}
		}
		c.Top = max(c.Top, l.y+lineHeight/2+above)
	}
	notch := pen{}
	for _, l := range names {
		notch.line(l.pointX, c.Top-4, l.pointX, c.Top+6)
	}
	c.Lines = append(c.Lines, path{Class: "mark", D: notch.String()})
	c.Labels = append(c.Labels, names...)
}

// caption says in words what the chart shows.
func (c Chart) caption() string {
	return "Volume and temperature of the dough over " + lasting(c.From, c.To) + ", from the mix to the oven; the table below has the figures"
}

// lasting is how long it is between two instants: "1 h 05".
func lasting(from, to time.Time) string { return unit.Minutes(to.Sub(from).Minutes()).String() }
