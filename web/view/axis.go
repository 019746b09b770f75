package view

import (
	"slices"
	"time"

	"ovenward/schedule"
)

const (
	foldOver  = 2 * time.Hour    // idle for longer is folded away
	foldEdge  = 12 * time.Minute // and begins this long after the last thing to do
	foldStrip = 48.0             // px a fold takes, whatever its length
	axisTop   = 14.0             // px above the first minute
	axisFoot  = 40.0             // px below the last, for a flag
)

// axis maps instants to heights: straight lines between knots, steep where work
// is and almost flat where nothing is to do.
type axis struct {
	knots []knot
	folds []stretch
}

type knot struct {
	at time.Time
	y  float64
}

// stretch is a stretch of time.
type stretch struct{ from, to time.Time }

// newAxis lays time down the page at px per minute, folding idle stretches.
// busy must not be empty.
func newAxis(busy []stretch, px float64) axis {
	busy = merge(busy, foldOver)
	var a axis
	y := axisTop
	a.knots = append(a.knots, knot{busy[0].from, y})
	for i, b := range busy {
		if i > 0 {
			a.folds = append(a.folds, stretch{busy[i-1].to, b.from})
			y += foldStrip
			a.knots = append(a.knots, knot{b.from, y})
		}
		y += b.to.Sub(b.from).Minutes() * px
		a.knots = append(a.knots, knot{b.to, y})
	}
	return a
}

// merge widens every stretch by the fold's edge and joins what is then closer
// than gap.
func merge(in []stretch, gap time.Duration) []stretch {
	in = slices.Clone(in)
	slices.SortFunc(in, func(a, b stretch) int { return a.from.Compare(b.from) })
	var out []stretch
	for _, s := range in {
		s = stretch{s.from.Add(-foldEdge), s.to.Add(foldEdge)}
		n := len(out) - 1
		if n < 0 || s.from.Sub(out[n].to) > gap-2*foldEdge {
			out = append(out, s)
		} else if s.to.After(out[n].to) {
			out[n].to = s.to
		}
	}
	return out
}

// y is the height of an instant; before the first and after the last knot it
// stays there.
func (a axis) y(t time.Time) float64 {
	k := a.knots
	i, found := slices.BinarySearchFunc(k, t, func(k knot, t time.Time) int { return k.at.Compare(t) })
	switch {
	case found:
		return k[i].y
	case i == 0:
		return k[0].y
	case i == len(k):
		return k[i-1].y
	}
	share := t.Sub(k[i-1].at).Minutes() / k[i].at.Sub(k[i-1].at).Minutes()
	return k[i-1].y + share*(k[i].y-k[i-1].y)
}

func (a axis) from() time.Time { return a.knots[0].at }
func (a axis) to() time.Time   { return a.knots[len(a.knots)-1].at }
func (a axis) height() float64 { return a.knots[len(a.knots)-1].y + axisFoot }

// folded reports whether t lies inside a fold.
func (a axis) folded(t time.Time) bool {
	return slices.ContainsFunc(a.folds, func(f stretch) bool { return t.After(f.from) && t.Before(f.to) })
}

// busy lists the stretches in which hands, mixer or oven have something to do,
// and the moments that carry a label.
func busy(p *schedule.Plan) []stretch {
	var out []stretch
	at := func(t time.Time) { out = append(out, stretch{t, t}) }
	for _, t := range p.Tasks {
		for _, h := range t.Hands {
			out = append(out, stretch{h.From, h.To})
		}
		if t.Kind == schedule.Bake || t.Kind == schedule.Preheat || t.Mixer != "" {
			out = append(out, stretch{t.Start, t.End})
		}
		if t.Window != nil {
			at(t.Window.Ready)
		}
		if t.Promise != nil {
			at(*t.Promise)
			at(t.End)
		}
	}
	return out
}
