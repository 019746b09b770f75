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
	Width, Height float64
	Bands         []band // where the dough is
	Lines         []path
	Labels        []label
	From, To      time.Time
}

// band is a while in one place.
type band struct {
	X, W float64
	Cold bool
	Warm bool
	Name string
}

// Geometry of a chart, px.
const (
	chartW, chartH      = 760.0, 400.0
	chartL, chartR      = 46.0, 46.0
	chartTop, chartFoot = 92.0, 34.0
)

// NewChart draws what becomes of a dough: traces of the whole dough and of one
// portion, in order. Volume is read on the left, temperature on the right.
func NewChart(d *schedule.Day, p *schedule.Plan, traces []schedule.Trace, w Words) Chart {
	c := charter{Chart: Chart{Width: chartW, Height: chartH}, words: w}
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
	c.bands(d)
	c.scales()
	c.curve("volume", func(q schedule.TracePoint) float64 { return c.volume(q.Expansion) })
	c.curve("warmth", func(q schedule.TracePoint) float64 { return c.warmth(float64(q.Mean)) })
	c.curve("core", func(q schedule.TracePoint) float64 { return c.warmth(float64(q.Core)) })
	marks := c.marks(p)
	place(marks)
	c.Labels = append(c.Labels, marks...)
	return c.Chart
}

type charter struct {
	Chart
	words     Words
	points    []schedule.TracePoint
	most, hot float64 // tops of the scales
}

func (c *charter) x(t time.Time) float64 {
	return chartL + (chartW-chartL-chartR)*t.Sub(c.From).Minutes()/math.Max(1, c.To.Sub(c.From).Minutes())
}

// y is a height, from 0 at the foot to 1 at the top.
func (c *charter) y(part float64) float64 {
	return chartH - chartFoot - part*(chartH-chartTop-chartFoot)
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
		if stay := end.Sub(c.points[i].At); b.W > 60 {
			c.Labels = append(c.Labels, label{x: b.X + b.W/2, y: 14, anchor: 0.5, text: fmt.Sprintf("%s %s", b.Name, lasting(c.points[i].At, end)), class: "place"})
		} else if stay <= 0 {
			break
		}
		i = j + 1
	}
}

// scales draws the grid with its figures: hours from the mix, volume, °C.
func (c *charter) scales() {
	grid := pen{}
	for e := 0.5; e <= c.most+0.01; e += 0.5 {
		y := c.volume(e)
		grid.across(chartL, chartW-chartR, y)
		c.Labels = append(c.Labels, label{x: chartL - 6, y: y, anchor: 1, text: fmt.Sprintf("%g×", e), class: "scale"})
	}
	for t := 0.0; t <= c.hot; t += 10 {
		c.Labels = append(c.Labels, label{x: chartW - chartR + 6, y: c.warmth(t), text: fmt.Sprintf("%g°", t), class: "scale"})
	}
	hours := c.To.Sub(c.From).Hours()
	step := 1.0
	for hours/step > 12 {
		step *= 2
	}
	for h := 0.0; h <= hours; h += step {
		x := c.x(c.From.Add(time.Duration(h * float64(time.Hour))))
		grid.line(x, chartTop, x, chartH-chartFoot)
		c.Labels = append(c.Labels, label{x: x, y: chartH - chartFoot + 14, anchor: 0.5, text: fmt.Sprintf("%g h", h), class: "scale"})
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

// marks puts what hands do under the chart's head, and where each rise is ready.
func (c *charter) marks(p *schedule.Plan) (names []label) {
	notch := pen{}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if t.Start.Before(c.From) || t.Start.After(c.To) || len(t.Hands) == 0 || t.Part != "" {
			continue
		}
		x := c.x(t.Start)
		notch.line(x, chartTop-4, x, chartTop+6)
		names = append(names, label{x: x, want: 66, anchor: 0.5, text: c.words.Verb(t.Kind), class: "scale"})
	}
	c.Lines = append(c.Lines, path{Class: "mark", D: notch.String()})
	return names
}

// caption says in words what the chart shows.
func (c Chart) caption() string {
	return "Volume and temperature of the dough over " + lasting(c.From, c.To) + ", from the mix to the oven; the table below has the figures"
}

// lasting is how long it is between two instants: "1 h 05".
func lasting(from, to time.Time) string { return unit.Minutes(to.Sub(from).Minutes()).String() }
