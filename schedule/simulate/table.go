package simulate

import (
	"math"
)

// Tables hold the window of a rise for every minute it may begin at.
type Tables struct {
	Ready, Best, Late, TooFar []float64 // minutes from the start; index is the start minute

	Spread  []float64 // see Window
	Limit   float64   // minutes a rise was followed; what is not reached stands at it
	Unready []bool    // not even ready within the limit
}

// TableLimit is how many minutes a rise is followed for a table: two days.
const TableLimit = 48 * 60

// Table gives the window of a dough that begins this rise in state s at each
// minute 0 to slots, its clock moved there, and waits in air. Start + window
// never decreases: beginning later is never ready, nor too far, earlier.
func Table(s State, air *Air, t Target, slots int) Tables {
	return TableAlong(s, []Leg{{Air: air}}, t, slots)
}

// TableAlong is Table for a rise that changes place on the way.
func TableAlong(s State, route []Leg, t Target, slots int) Tables {
	slots = max(slots, 0)
	if len(route) == 0 {
		route = []Leg{{Air: &Air{}}}
	}
	b := &builder{state: s, route: route, target: t, steadyFrom: 0}
	for _, leg := range route {
		b.steadyFrom = max(b.steadyFrom, leg.Air.steadyFrom())
	}
	b.sample(slots)
	b.straighten()
	return b.fill(slots)
}

// builder samples windows at few starts and fills in between.
type builder struct {
	state      State
	route      []Leg
	target     Target
	steadyFrom int
	starts     []int
	windows    []Window
}

const (
	spacing   = 90   // minutes between first samples
	apart     = 180  // the same where the rise ends in steady air, so that little changes with its start
	closest   = 4    // minutes between samples at the least
	tolerance = 1.5  // minutes by which a straight line may miss the sample in its middle,
	relative  = 0.01 // or this share of the way to the edge
)

// sample takes windows every hour and a half or three, more closely where they
// bend. Once the air is steady for good all starts are alike.
func (b *builder) sample(slots int) {
	last, every := min(slots, b.steadyFrom), spacing
	if b.route[len(b.route)-1].Air.steady() {
		every = apart
	}
	from := b.at(0)
	b.add(0, from)
	for i := 0; i < last; {
		j := min(i+every, last)
		to := b.at(j)
		b.refine(i, from, j, to)
		b.add(j, to)
		i, from = j, to
	}
	if slots > last {
		b.add(slots, from)
	}
}

func (b *builder) add(start int, w Window) {
	b.starts, b.windows = append(b.starts, start), append(b.windows, w)
}

func (b *builder) at(start int) Window {
	s := b.state
	s.Minute = float64(start)
	return s.window(b.route, b.target, TableLimit)
}

// refine adds samples between i and j where straight lines miss by more than
// the tolerance.
func (b *builder) refine(i int, from Window, j int, to Window) {
	if j-i < 2*closest {
		return
	}
	m := (i + j) / 2
	mid := b.at(m)
	if !alike(mix(from, to, float64(m-i)/float64(j-i)), mid) {
		b.refine(i, from, m, mid)
		b.add(m, mid)
		b.refine(m, mid, j, to)
		return
	}
	b.add(m, mid)
}

// mix is the window a share x of the way from a to b.
func mix(a, b Window, x float64) Window {
	line := func(a, b float64) float64 { return a + x*(b-a) }
	return Window{Ready: line(a.Ready, b.Ready), Best: line(a.Best, b.Best), Late: line(a.Late, b.Late), TooFar: line(a.TooFar, b.TooFar), Spread: max(a.Spread, b.Spread)}
}

// alike says whether a straight line is good enough at the sample w.
func alike(line, w Window) bool {
	near := func(a, b float64) bool { return math.Abs(a-b) <= max(tolerance, relative*b) }
	return near(line.Ready, w.Ready) && near(line.Best, w.Best) && near(line.Late, w.Late) && near(line.TooFar, w.TooFar)
}

// straighten makes the instants never decrease. A dough begun earlier has
// always made more gas, but it may stand colder, and cold dough stands lower:
// seen by volume the later one can be ahead for some minutes. Ready and best
// then wait for the later, late and too far come with the earlier.
func (b *builder) straighten() {
	w, n := b.windows, len(b.windows)
	for i := 1; i < n; i++ {
		d := float64(b.starts[i] - b.starts[i-1])
		w[i].Ready = max(w[i].Ready, w[i-1].Ready-d)
		w[i].Best = max(w[i].Best, w[i-1].Best-d)
	}
	for i := n - 2; i >= 0; i-- {
		d := float64(b.starts[i+1] - b.starts[i])
		w[i].Late = min(w[i].Late, w[i+1].Late+d)
		w[i].TooFar = min(w[i].TooFar, w[i+1].TooFar+d)
	}
	if b.target.SlowReady || b.target.FastTooFar {
		return
	}
	for i := range w {
		w[i].Late = max(w[i].Late, w[i].Best)
		w[i].TooFar = max(w[i].TooFar, w[i].Late)
	}
}

// fill draws straight lines between the samples.
func (b *builder) fill(slots int) Tables {
	block := make([]float64, 5*(slots+1))
	row := func(i int) []float64 { return block[i*(slots+1) : (i+1)*(slots+1) : (i+1)*(slots+1)] }
	t := Tables{Ready: row(0), Best: row(1), Late: row(2), TooFar: row(3), Spread: row(4), Limit: TableLimit, Unready: make([]bool, slots+1)}
	k := 0
	for m := range slots + 1 {
		for k < len(b.starts)-1 && b.starts[k+1] <= m {
			k++
		}
		w, unready := b.windows[k], b.windows[k].Unready
		if i := b.starts[k]; i < m {
			w = mix(w, b.windows[k+1], float64(m-i)/float64(b.starts[k+1]-i))
			unready = unready || b.windows[k+1].Unready
		}
		t.Ready[m], t.Best[m], t.Late[m], t.TooFar[m] = w.Ready, w.Best, w.Late, w.TooFar
		t.Spread[m], t.Unready[m] = w.Spread, unready
	}
	return t
}
