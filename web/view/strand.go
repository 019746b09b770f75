package view

import (
	"fmt"
	"math"
	"slices"
	"time"

	"ovenward/schedule"
)

// strand draws one trace: the ribbon as wide as the volume, what process and
// place it is in, its windows and the marks of hands.
func (d *drafter) strand(s strand) strand {
	pts := d.baked(s.trace)
	d.edges(&s, pts)
	if len(s.l) < 2 {
		return s
	}
	d.out.Paths = append(d.out.Paths, path{Class: "ribbon", D: ribbon(s.l, s.r), Fill: d.filling(&s, pts)})
	d.textures(&s, pts)
	for i := range d.Plan.Tasks {
		t := &d.Plan.Tasks[i]
		if t.Batch != s.trace.Batch || t.Portion != s.trace.Portion || t.Part != s.trace.Part {
			continue
		}
		if t.Window != nil {
			d.window(&s, t)
		}
		if t.Kind == schedule.Bake {
			if !d.words {
				continue
			}
			d.say(label{text: "bake " + t.Celsius.String(), class: "note", x: s.centre, anchor: 0.5,
				want: (d.axis.y(t.Start) + d.axis.y(t.End)) / 2, pointX: math.NaN()})
		} else {
			d.notches(&s, t)
		}
	}
	d.sightings(&s)
	d.outlines(&s)
	return s
}

// sightings puts a dot on either edge where a volume was seen: on the edge the
// forecast was right, inside the dough is behind it.
func (d *drafter) sightings(s *strand) {
	for _, o := range d.Seen {
		t := d.tasks[o.Task]
		if t == nil || t.Batch != s.trace.Batch || t.Portion != s.trace.Portion || t.Part != s.trace.Part {
			continue
		}
		y := d.axis.y(o.At)
		c, _ := s.at(y)
		for _, side := range []float64{-1, 1} {
			d.seen.op('M', c+side*s.unit*o.Expansion/2, y).op('h', 0)
		}
	}
}

// baked is the trace to where the bread comes out. The model ends at the oven
// door; how far the loaf springs is not known, so it keeps its width.
func (d *drafter) baked(tr *schedule.Trace) []schedule.TracePoint {
	pts := tr.Points
	if tr.Portion == "" {
		return pts
	}
	for i := range d.Plan.Tasks {
		t := &d.Plan.Tasks[i]
		if t.Portion != tr.Portion || t.Kind != schedule.Bake {
			continue
		}
		n, _ := slices.BinarySearchFunc(pts, t.Start, func(p schedule.TracePoint, at time.Time) int { return p.At.Compare(at) })
		if n == 0 {
			return pts
		}
		in := pts[n-1]
		in.Task, in.At = t.ID, t.Start
		out := in
		out.At = t.End
		return append(slices.Clone(pts[:n]), in, out)
	}
	return pts
}

// edges turns the trace into two edges. Heights rise strictly: a pinch within
// the minute gets two pixels.
func (d *drafter) edges(s *strand, pts []schedule.TracePoint) {
	const least, parting = 2.0, 9.0
	var top float64
	if len(s.ys) > 0 {
		top = s.ys[0]
	}
	for i, p := range pts {
		y := d.axis.y(p.At)
		half := s.unit * p.Expansion / 2
		if n := len(s.ys); n > 0 {
			flat := y-s.ys[n-1] < 0.2
			if flat && i < len(pts)-1 && abs(half-s.half(n-1)) < 0.3 {
				continue
			}
			if flat {
				y = s.ys[n-1] + least
				if n == 1 && y-least == top {
					y = top + parting
				}
			}
			for v := s.ys[n-1] + 4; v < y-2 && v < top+splitRun; v += 4 { // enough points for the parting's curve
				share := (v - s.ys[n-1]) / (y - s.ys[n-1])
				s.add(v, top, s.half(n-1)+share*(half-s.half(n-1)))
			}
		} else {
			top = y
		}
		s.add(y, top, half)
	}
	s.ease(top)
}

// ease draws the parting as one movement: dividing, rounding and the first
// shaping follow each other within minutes and would only fray the edge.
func (s *strand) ease(top float64) {
	end := top + splitRun
	if s.from == s.centre || len(s.ys) < 2 || s.ys[len(s.ys)-1] < end {
		return
	}
	_, to := s.at(end)
	from := s.half(0)
	for i := 0; i < len(s.ys) && s.ys[i] < end; i++ {
		u := (s.ys[i] - top) / splitRun
		c, half := (s.l[i].x+s.r[i].x)/2, from+(to-from)*u*u*(3-2*u)
		s.l[i].x, s.r[i].x = c-half, c+half
	}
}

func (s *strand) add(y, top, half float64) {
	c := s.centre
	if u := (y - top) / splitRun; u < 1 {
		c = s.from + (s.centre-s.from)*u*u*(3-2*u)
	}
	s.ys = append(s.ys, y)
	s.l = append(s.l, point{c - half, y})
	s.r = append(s.r, point{c + half, y})
}

func (s *strand) half(i int) float64 { return (s.r[i].x - s.l[i].x) / 2 }

// at gives the middle and half the width at a height.
func (s *strand) at(y float64) (middle, half float64) {
	i := 0
	for i < len(s.ys)-2 && s.ys[i+1] < y {
		i++
	}
	share := 0.0
	if h := s.ys[i+1] - s.ys[i]; h > 0 {
		share = min(max((y-s.ys[i])/h, 0), 1)
	}
	l := s.l[i].x + share*(s.l[i+1].x-s.l[i].x)
	r := s.r[i].x + share*(s.r[i+1].x-s.r[i].x)
	return (l + r) / 2, (r - l) / 2
}

// process is what happens to the dough at a point: it ferments, is held cold or
// bakes.
func (d *drafter) process(p schedule.TracePoint) string {
	if t := d.tasks[p.Task]; t != nil && t.Kind == schedule.Bake {
		return "heat"
	}
	if pl, ok := d.Day.Kitchen.Place(p.Place); ok && pl.Kind == schedule.Cold {
		return "cold"
	}
	return "ferment"
}

// filling gives the ribbon its colours: by process, the past solid and the
// forecast lighter. Ribbons alike in that share one.
func (d *drafter) filling(s *strand, pts []schedule.TracePoint) string {
	f := fill{ID: fmt.Sprintf("%sr%d", d.id, len(d.out.Fills))}
	top, foot := s.ys[0], s.ys[len(s.ys)-1]
	var last string
	turn := func(y float64, class string) {
		if class == last {
			return
		}
		at := min(max((y-top)/(foot-top), 0), 1)
		if last != "" {
			f.Stops = append(f.Stops, stop{at, last})
		}
		f.Stops = append(f.Stops, stop{at, class})
		last = class
	}
	for i, p := range pts {
		class := "f-" + d.process(p)
		if p.At.Before(d.Now) {
			turn(d.axis.y(p.At), class+" past")
			if i+1 < len(pts) && pts[i+1].At.After(d.Now) {
				turn(d.axis.y(d.Now), class)
			}
			continue
		}
		turn(d.axis.y(p.At), class)
	}
	for _, g := range d.out.Fills {
		if slices.Equal(f.Stops, g.Stops) {
			return g.ID
		}
	}
	d.out.Fills = append(d.out.Fills, f)
	return f.ID
}

// textures lays the place over the ribbon: the warm spot dotted, the cold
// hatched, and names it.
func (d *drafter) textures(s *strand, pts []schedule.TracePoint) {
	for i := 0; i < len(pts); {
		j := i
		for j+1 < len(pts) && pts[j+1].Place == pts[i].Place && d.process(pts[j+1]) == d.process(pts[i]) {
			j++
		}
		from, to := pts[i], pts[min(j+1, len(pts)-1)]
		if pl, ok := d.Day.Kitchen.Place(from.Place); ok && d.process(from) != "heat" && pl.Kind != schedule.Room && to.At.After(from.At) {
			d.texture(s, from.At, to.At, pl)
		}
		i = j + 1
	}
}

func (d *drafter) texture(s *strand, from, to time.Time, pl *schedule.Place) {
	y1, y2 := d.axis.y(from), d.axis.y(to)
	var l, r edge
	for i, y := range s.ys {
		if y >= y1-0.1 && y <= y2+2.1 {
			l, r = append(l, s.l[i]), append(r, s.r[i])
		}
	}
	if len(l) > 1 {
		d.out.Paths = append(d.out.Paths, path{Class: "texture", D: ribbon(l, r), Fill: d.id + string(pl.Kind)})
	}
	c, _ := s.at((y1 + y2) / 2)
	if words := d.standing(pl, to.Sub(from), s.lane); words != "" {
		d.say(label{text: words, class: "place", x: c, anchor: 0.5, want: (y1 + y2) / 2, pointX: math.NaN()})
	}
}

// window marks from when to when a rise may be acted on: a tick where it is
// ready, a tail that fades, a dashed tick where it has gone too far, and thin
// whiskers for the spread of the forecast.
func (d *drafter) window(s *strand, t *schedule.Task) {
	w := t.Window
	y, far := d.axis.y(w.Ready), d.axis.y(w.TooFar)
	off := w.TooFar.After(d.axis.to()) // the page: the number without its mark
	if end := s.ys[len(s.ys)-1]; t.Part != "" && far > end {
		far, off = max(end, y), true // beneath it the dough has begun
	}
	c, half := s.at(y)
	var tail pen
	tail.box(c-half-6, y, 2*half+12, far-y)
	d.back = append(d.back, path{Class: "tail", D: tail.String(), Fill: d.id + "tail"})
	d.ready.across(c-half-9, c+half+9, y)
	x := c + half + 13
	early, tardy := d.axis.y(w.Early), d.axis.y(w.Tardy)
	d.spread.across(x-3, x+3, early)
	if open := far + 12; tardy > open { // how much later no longer matters
		d.spread.line(x, early, x, open)
	} else {
		d.spread.line(x, early, x, tardy)
		d.spread.across(x-3, x+3, tardy)
	}
	d.say(label{text: d.word("ready ") + clock(w.Ready), class: "readyt", x: c, anchor: 0.5, want: y - 8, pointX: c - half - 9})
	if off {
		d.say(label{text: d.word("too far ") + Clock(w.TooFar, w.Ready), class: "late", x: c, anchor: 0.5, want: y + 8, pointX: math.NaN()})
		return
	}
	d.tooFar.across(c-half-9, c+half+9, far)
	d.say(label{text: d.word("too far ") + clock(w.TooFar), class: "late", x: c, anchor: 0.5, want: far + 8, pointX: c - half - 9})
}

// notches marks on the ribbon where hands touch the dough.
func (d *drafter) notches(s *strand, t *schedule.Task) {
	for _, h := range t.Hands {
		y := (d.axis.y(h.From) + d.axis.y(h.To)) / 2
		if y < s.ys[0] || y > s.ys[len(s.ys)-1] {
			continue
		}
		c, half := s.at(y)
		for _, side := range []float64{-1, 1} {
			x := c + side*half
			d.notch.op('M', x+side*2, y-4).op('l', -side*7, 4, side*7, 4).op('z')
		}
	}
}
