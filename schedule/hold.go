package schedule

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ovenward/schedule/simulate"
	"ovenward/schedule/solve"
)

// later begins the name of a way to hold a rise in the cold that it goes into after
// some minutes at the bench; the minutes follow.
const later = "later "

// atBench are for how many minutes a dough may stand before it goes into the cold,
// where it hardly gets on any more.
var atBench = []int{0, 45, 90, 150}

// doubt is for how much of a forecast's spread to either side a rise in the cold is
// planned: half of one sd; doughs within it are two in five.
const doubt = 0.5

// chillModes hold a rise in the cold: at once, or after a while at the bench, for
// most of such a rise is done before the dough is cold. Where a dough that is
// slower or faster than forecast would be ready, too, and not too far, costs
// nothing; what only a dough as forecast keeps is the dearer.
func (m *model) chillModes(p *passage, i int, s *Stage, hold []solve.Hold) []solve.Mode {
	cold := p.held(i, true)
	bench, _ := m.day.Kitchen.Place("")
	begin, goal := p.as(i, true), cold.goal(i)
	space := append(slices.Clone(hold), m.space(cold, i)...)
	var modes []solve.Mode
	for _, n := range atBench {
		name, price := "chill", int64(priceChill)
		route := []simulate.Leg{{Air: m.walker.airOf(cold, i)}}
		if n > 0 {
			if bench == nil || m.walker.place(cold, i) == bench {
				break
			}
			name, price = later+fmt.Sprint(n), priceChill+priceLater
			route = append([]simulate.Leg{{Air: m.grid.air[bench.Name], Minutes: float64(n)}}, route...)
		}
		t := simulate.TableAlong(begin, route, goal, m.grid.slots)
		w := window(t.Ready, t.TooFar, 1, -2)
		for e := range w.Min {
			w.Min[e] = max(w.Min[e], int32(s.Chill.Least)+int32(n))
			w.Max[e] = max(0, min(w.Max[e], int32(s.Chill.Most)))
		}
		sure := m.sure(p, i, begin, route, goal, t.Spread, w)
		if n > 0 {
			m.whileThere(w, n)
			m.whileThere(sure, n)
		}
		modes = append(modes,
			solve.Mode{Name: name, Window: sure, Space: space, Cost: price},
			solve.Mode{Name: name, Window: w, Space: space, Cost: price + priceEdge})
	}
	if m.shared(p, i) {
		return widest(modes, clampIndex(p.at[i]+p.strand.works[i].dur, m.grid.slots+1))
	}
	return modes
}

// shared says whether more than one portion ends wait i, so that one way of spending
// it must do for all.
func (m *model) shared(p *passage, i int) bool {
	return p.strand.portion == nil && i == len(p.strand.works)-1 && slices.ContainsFunc(m.trees, func(t *tree) bool {
		return t.trunk == p.strand && len(t.branches) > 1
	})
}

// widest keeps of pairs of modes the one that leaves doughs the most room that begin
// at a minute.
func widest(modes []solve.Mode, begin int) []solve.Mode {
	best, most := 0, int32(math.MinInt32)
	for k := 0; k < len(modes); k += 2 {
		if room := modes[k].Window.Max[begin] - modes[k].Window.Min[begin]; room > most {
			best, most = k, room
		}
	}
	return modes[best : best+2]
}

// sure is the part of a window that doughs keep which are off by doubt.
func (m *model) sure(p *passage, i int, begin simulate.State, route []simulate.Leg, goal simulate.Target, spread []float64, w *solve.Window) *solve.Window {
	off := doubt * p.strand.spread(i, &begin, spread[0])
	at := func(ln float64) simulate.Tables {
		s, d := begin, *p.strand.dough
		if d.Speed = p.strand.paceIn(i).speed(true); d.Speed == 0 {
			d.Speed = 1
		}
		d.Speed *= math.Exp(ln)
		s.Become(&d)
		return simulate.TableAlong(s, route, goal, m.grid.slots)
	}
	slow, fast := at(-off), at(off)
	out := window(slow.Ready, fast.TooFar, 1, -2)
	for e := range out.Min {
		out.Min[e], out.Max[e] = max(out.Min[e], w.Min[e]), max(0, min(out.Max[e], w.Max[e]))
	}
	return out
}

// whileThere closes a window for starts n minutes before nobody is there. Its edges
// must never come sooner for a later start: it is closed by the edges of the starts
// on either side that are possible.
func (m *model) whileThere(w *solve.Window, n int) {
	last := len(w.Min) - 1
	least := int32(last + 4*simulate.TableLimit)
	for e := last; e >= 0; e-- {
		if m.attended(e + n) {
			least = int32(e) + w.Min[e]
		} else {
			w.Min[e] = least - int32(e)
		}
	}
	most := int32(-1)
	for e := range w.Max {
		if m.attended(e + n) {
			most = int32(e) + w.Max[e]
		} else {
			w.Max[e] = max(0, most-int32(e))
		}
	}
}

// attended says whether anybody is there at a minute.
func (m *model) attended(minute int) bool {
	return slices.ContainsFunc(m.bakers, func(b int) bool {
		caps := m.problem.Resources[b].Cap
		return minute < len(caps) && caps[minute] > 0
	})
}

// stay keeps for how long the dough of wait w is to stand at the bench before it
// goes into the cold, by the way the solver has chosen: no longer than somebody is
// there to put it in.
func (m *model) stay(p *passage, w int, mode string) {
	if p.past.fixed(w) {
		return
	}
	minutes, is := strings.CutPrefix(mode, later)
	if !is && mode == "broken" {
		return
	}
	if !is {
		if r := p.spell[w]; r != nil && r.kind == ColdLater {
			p.spell[w] = nil
		}
		return
	}
	n := 0
	fmt.Sscan(minutes, &n)
	bench, _ := m.day.Kitchen.Place("")
	from := p.at[w] + p.strand.works[w].dur
	to := from + n
	for to > from && !m.attended(to) {
		to--
	}
	p.spell[w] = &spell{kind: ColdLater, place: bench.Name, from: from, to: to}
}
