package view

import (
	"fmt"
	"math"
	"time"

	"ovenward/schedule"
)

// Ribbon is in small how the dough of a form rises: volume over time, when each
// rise is ready, and both in words. The zero value says how to get one.
type Ribbon struct {
	Blank  bool        // nothing is written down yet
	Stop   *FieldFault // why there is none
	Rises  []string    // in words, by time
	Notes  []string    // what to be told of it
	Lasts  string      // from the mix to the end of what is drawn
	Ready  []band      // when a rise is ready
	Lines  []path
	Labels []label
}

// Geometry of a ribbon, px.
const (
	ribbonW, ribbonH      = 320.0, 160.0
	ribbonL, ribbonR      = 26.0, 10.0
	ribbonTop, ribbonFoot = 40.0, 20.0
)

// NewRibbon draws the traces of a plan of one bread.
func NewRibbon(p *schedule.Plan, traces []schedule.Trace, w Words) Ribbon {
	var r ribboner
	for i := range p.Tasks {
		if t := &p.Tasks[i]; t.Window != nil {
			r.Rises = append(r.Rises, w.readyAfter(t))
		}
	}
	for _, n := range p.Outcome.Notes {
		if n.Code == "late-fold" {
			r.Notes = append(r.Notes, w.Note(n, p.Made))
		}
	}
	for _, t := range traces {
		if t.Part == "" {
			r.points = append(r.points, t.Points...)
		}
	}
	if len(r.points) == 0 {
		return r.Ribbon
	}
	r.from, r.to, r.most = r.points[0].At, r.points[len(r.points)-1].At, 2
	for _, q := range r.points {
		r.most = math.Max(r.most, math.Ceil(q.Expansion*2)/2)
	}
	r.Lasts = lasting(r.from, r.to)
	r.scales()
	r.rises(p, w)
	line := pen{}
	op := byte('M')
	for _, q := range r.points {
		line.op(op, r.x(q.At), r.y(q.Expansion))
		op = 'L'
	}
	r.Lines = append(r.Lines, path{Class: "volume", D: line.String()})
	return r.Ribbon
}

// readyAfter says when a rise is ready, from its beginning.
func (w Words) readyAfter(t *schedule.Task) string {
	return fmt.Sprintf("%s ready after %s (%s), too far after %s.", w.What(t), bestAfter(t), rangeAfter(t), lasting(t.Start, t.Window.TooFar))
}

type ribboner struct {
	Ribbon
	points   []schedule.TracePoint
	from, to time.Time
	most     float64 // top of the scale
}

func (r *ribboner) x(t time.Time) float64 {
	return ribbonL + (ribbonW-ribbonL-ribbonR)*t.Sub(r.from).Minutes()/math.Max(1, r.to.Sub(r.from).Minutes())
}

func (r *ribboner) y(volume float64) float64 {
	return ribbonH - ribbonFoot - (volume-0.5)/(r.most-0.5)*(ribbonH-ribbonTop-ribbonFoot)
}

// scales draws whole volumes and hours from the mix.
func (r *ribboner) scales() {
	grid := pen{}
	for e := 1.0; e <= r.most; e++ {
		grid.across(ribbonL, ribbonW-ribbonR, r.y(e))
		r.Labels = append(r.Labels, label{x: ribbonL - 4, y: r.y(e), anchor: 1, text: fmt.Sprintf("%g×", e), class: "scale"})
	}
	hours, step := r.to.Sub(r.from).Hours(), 1.0
	for hours/step > 7 {
		step *= 2
	}
	for h := 0.0; h <= hours; h += step {
		x := r.x(r.from.Add(time.Duration(h * float64(time.Hour))))
		grid.line(x, ribbonTop, x, ribbonH-ribbonFoot)
		r.Labels = append(r.Labels, label{x: x, y: ribbonH - ribbonFoot + 11, anchor: 0.5, text: fmt.Sprintf("%g h", h), class: "scale"})
	}
	r.Lines = append(r.Lines, path{Class: "gridline", D: grid.String()})
}

// rises shades when each rise of the dough is ready, up to the next one, and marks
// what hands do and the oven.
func (r *ribboner) rises(p *schedule.Plan, w Words) {
	var marks []label
	notch := pen{}
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if t.Part != "" || t.Start.Before(r.from) || t.Start.After(r.to) {
			continue
		}
		if len(t.Hands) > 0 {
			notch.line(r.x(t.Start), ribbonTop-4, r.x(t.Start), ribbonTop+4)
		}
		if t.Window == nil {
			continue
		}
		if n := len(r.Ready); n > 0 {
			r.Ready[n-1].W = math.Min(r.Ready[n-1].W, r.x(t.Start)-r.Ready[n-1].X)
		}
		from := math.Min(r.x(t.Window.Ready), ribbonW-ribbonR)
		r.Ready = append(r.Ready, band{X: from, W: math.Max(0, math.Min(r.x(t.Window.TooFar), ribbonW-ribbonR)-from)})
		middle := (r.x(t.Start) + math.Min(r.x(t.End), ribbonW-ribbonR)) / 2
		marks = append(marks, label{x: math.Min(middle, ribbonW-40), want: 24, anchor: 0.5, text: w.Verb(t.Kind), class: "place"})
	}
	place(marks)
	r.Labels = append(r.Labels, marks...)
	r.Lines = append(r.Lines, path{Class: "mark", D: notch.String()})
}
