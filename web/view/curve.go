package view

import "math"

// edge is one side of a ribbon: x as a function of y, y rising.
type edge []point

type point struct{ x, y float64 }

// thin leaves out points that the line through its neighbours meets within tol
// (Douglas and Peucker 1973), for both edges at once so that they keep the same
// heights. It returns the kept indices.
func thin(l, r edge, tol float64) []int {
	keep := make([]bool, len(l))
	var split func(a, b int)
	split = func(a, b int) {
		keep[a], keep[b] = true, true
		worst, at := tol, -1
		for i := a + 1; i < b; i++ {
			if d := math.Max(off(l, a, b, i), off(r, a, b, i)); d > worst {
				worst, at = d, i
			}
		}
		if at > 0 {
			split(a, at)
			split(at, b)
		}
	}
	if len(l) > 0 {
		split(0, len(l)-1)
	}
	var out []int
	for i, k := range keep {
		if k {
			out = append(out, i)
		}
	}
	return out
}

// off is how far sideways point i lies from the line a–b.
func off(e edge, a, b, i int) float64 {
	share := (e[i].y - e[a].y) / (e[b].y - e[a].y)
	return math.Abs(e[a].x + share*(e[b].x-e[a].x) - e[i].x)
}

// slopes gives dx/dy at every point so that the cubic through them never
// overshoots: what does not swell in the dough must not swell in the drawing.
// Harmonic means of the neighbouring secants (Fritsch and Butland 1984).
func (e edge) slopes() []float64 {
	m := make([]float64, len(e))
	for i := 1; i < len(e)-1; i++ {
		h0, h1 := e[i].y-e[i-1].y, e[i+1].y-e[i].y
		d0, d1 := (e[i].x-e[i-1].x)/h0, (e[i+1].x-e[i].x)/h1
		if d0*d1 > 0 {
			m[i] = (h0 + h1) * 3 / ((2*h1+h0)/d0 + (h1+2*h0)/d1)
		}
	}
	if n := len(e); n > 1 {
		m[0] = (e[1].x - e[0].x) / (e[1].y - e[0].y)
		m[n-1] = (e[n-1].x - e[n-2].x) / (e[n-1].y - e[n-2].y)
	}
	return m
}

// draw continues the path from the edge's first point to its last, or the other
// way round, in Bézier curves, and in lines where they are straight.
func (p *pen) draw(e edge, back bool) {
	m := e.slopes()
	for k := 1; k < len(e); k++ {
		i, j := k-1, k
		if back {
			i, j = len(e)-k, len(e)-k-1
		}
		h := (e[j].y - e[i].y) / 3
		third := (e[j].x - e[i].x) / 3
		if abs(m[i]*h-third) < 0.05 && abs(m[j]*h-third) < 0.05 {
			p.op('l', 3*third, 3*h)
			continue
		}
		p.op('c', m[i]*h, h, e[j].x-m[j]*h-e[i].x, 2*h, e[j].x-e[i].x, 3*h)
	}
}

// ribbon is the closed outline between two edges.
func ribbon(l, r edge) string {
	kept := thin(l, r, 0.3)
	tl, tr := make(edge, len(kept)), make(edge, len(kept))
	for i, k := range kept {
		// whole tenths, so that relative steps do not drift
		tl[i], tr[i] = tenth(l[k]), tenth(r[k])
	}
	var p pen
	p.op('M', tl[0].x, tl[0].y)
	p.draw(tl, false)
	p.op('H', tr[len(tr)-1].x)
	p.draw(tr, true)
	p.op('z')
	return p.String()
}

func tenth(q point) point { return point{math.Round(q.x*10) / 10, math.Round(q.y*10) / 10} }
