package schedule

import (
	"math"
	"slices"

	"ovenward/schedule/simulate"
	"ovenward/schedule/solve"
)

// Prices of repairing a day: a move costs less than anything done to a dough,
// and a minute past too far more than two minutes late.
const (
	priceMoved  = 20        // a work moved at all
	priceMove   = 2         // and for every minute
	priceRescue = 1500      // a while in the cold, a knock-back more
	priceLain   = 200_000   // a minute of dough or bread waiting longer than it may
	priceOver   = 3_000_000 // a minute of a rise past too far
)

// Whiles in the cold: shorter ones change nothing, longer ones are a retard.
const (
	leastChill = 15
	mostChill  = 240
	chillStep  = 5
	// mostDelay is for how long hands are waited for, and awkward what a carrying
	// without any counts, in minutes of a rise's best moment missed.
	mostDelay = 20
	awkward   = 15
	// mostOverdue is how much longer than it may something can go on.
	mostOverdue = 8 * 60
)

// underWay are the ways a wait may end that has begun, from its exact window
// and beyond it where it cannot be ended inside; nil for a wait yet to begin.
func (m *model) underWay(p *passage, i int, hold []solve.Hold) []solve.Mode {
	if !p.past.fixed(i) {
		return nil
	}
	wt := solve.Mode{Name: "on", Space: hold}
	stage := (*Stage)(nil)
	if i < len(p.strand.waits) {
		if stage = p.strand.stage(p.strand.waits[i].stage); stage != nil {
			wt.Space = append(slices.Clone(hold), m.space(p, i)...)
		}
		if p.cold[i] {
			wt.Name = "chill"
		}
	}
	if i+1 < len(p.strand.works) && p.past.fixed(i+1) {
		return []solve.Mode{wt} // history
	}
	end := p.at[i] + p.strand.works[i].dur
	gone := max(0, m.problem.Now-end)
	switch {
	case stage == nil:
		wt.Max = m.day.Settings.slack()
	case p.strand.waits[i].minutes > 0:
		return m.orBroken(overdue(timedFold(wt, p.strand.waits[i].minutes), gone, priceLain))
	case p.strand.waits[i].toFold():
		best := m.walker.window(p, i).Best - float64(end)
		aside := max(5, best/5)
		wt.Min, wt.Max = int(math.Max(0, best-aside)), int(best+aside)
	case p.rising(i):
		return m.rising(p, i, wt, end, gone)
	default:
		wt.Min = int(math.Ceil(float64(stage.Least)))
		if wt.Max = max(wt.Min, int(stage.Most)); i+1 == len(p.strand.works)-1 && p.strand.works[i+1].stage < 0 {
			wt.Max = wt.Min
		}
	}
	return m.orBroken(overdue([]solve.Mode{wt}, gone, priceLain))
}

// overdue lets the last of modes go on past its end or past what is gone
// already, the longer the dearer.
func overdue(modes []solve.Mode, gone int, price int64) []solve.Mode {
	last := modes[len(modes)-1]
	from := max(last.Max, last.Min-1, gone-1) + 1
	for over, wide := 0, 4; over < mostOverdue; over += wide {
		wide = max(wide, over/3)
		late := last
		late.Min, late.Max, late.Window = from+over, from+over+wide-1, nil
		late.Cost = last.Cost + price*int64(over+wide)
		modes = append(modes, late)
	}
	return modes
}

// rising are the ways to end a rise under way.
func (m *model) rising(p *passage, i int, as solve.Mode, end, gone int) []solve.Mode {
	v := m.walker.window(p, i)
	e := float64(end)
	between := func(name string, from, to float64, more, less int, price int64) solve.Mode {
		mode := as
		mode.Name, mode.Cost = name, price
		mode.Min = int(math.Ceil(math.Max(0, from-e))) + more
		mode.Max = int(math.Floor(math.Max(0, to-e))) - less
		return mode
	}
	s := p.strand.stage(p.strand.waits[i].stage)
	var modes []solve.Mode
	if p.cold[i] && s.Chill != nil {
		mode := between("chill", v.Ready, math.Max(v.Ready, v.TooFar), 1, 2, 0)
		if r := p.spell[i]; r == nil || r.kind != FinishWarm {
			mode.Min, mode.Max = max(mode.Min, int(s.Chill.Least)), min(mode.Max, int(s.Chill.Most))
		}
		modes = append(modes, mode)
	} else {
		if begin := p.begin[i].Minute; m.worthLooking(p, i) {
			soon := begin + lookFrom(v.Ready-begin, m.walker.unsure(p, i, v.Spread))
			modes = append(modes, between("look", soon, v.Ready, 1, 0, priceLook))
		}
		modes = append(modes,
			between("best", v.Best, (v.Best+v.Late)/2, 0, 0, 0),
			between("young", v.Ready, v.Best, 1, 0, priceYoung),
			between("old", v.Best, v.Late, 0, 0, priceOld),
			between("last", v.Late, v.TooFar, 0, 1, priceLast))
	}
	whole := p.spell[i] == nil || p.spell[i].kind == ColdLater && p.spell[i].to <= m.problem.Now
	if m.press && s.Kind == Rise && whole {
		if again := m.pressAgain(p, i, as, end); again != nil {
			return m.orBroken(again)
		}
	}
	modes = overdue(modes, gone, priceOver)
	modes = slices.DeleteFunc(modes, func(x solve.Mode) bool { return x.Max < x.Min || x.Max < gone })
	if m.rescue && p.spell[i] == nil {
		modes = append(modes, m.chillAWhile(p, i, as, end, gone)...)
	}
	if m.rescue && whole {
		modes = append(modes, m.takeOut(p, i, as, end, gone)...)
	}
	return m.orBroken(modes)
}

// chillAWhile lets a rise under way stand in the cold from now on, as long as
// it takes: whiles of every length together reach from the window of the
// shortest to that of the longest. A dough that is nearly ready cools too slowly
// for that, and then only has its last stretch drawn out.
func (m *model) chillAWhile(p *passage, i int, as solve.Mode, end, gone int) []solve.Mode {
	cold, ok := m.fridge(p, i)
	if !ok {
		return nil
	}
	from := max(m.problem.Now, int(math.Ceil(p.begin[i].Minute)))
	short := m.walker.window(p.rescued(i, &spell{kind: ChillAWhile, place: cold.Name, from: from, to: from + leastChill}), i)
	long := m.walker.window(p.rescued(i, &spell{kind: ChillAWhile, place: cold.Name, from: from, to: from + mostChill}), i)
	as.Name, as.Cost = "rescue", priceRescue
	as.Min, as.Max = int(math.Ceil(short.Best))-end, int(math.Floor(long.Late))-end
	as.Min = max(as.Min, from+leastChill-end)
	as.Space = append(slices.Clone(as.Space), m.shelf(p, cold)...)
	last := as
	last.Min, last.Max, last.Cost = max(as.Min, as.Max+1), int(math.Floor(long.TooFar))-end-1, priceRescue+priceLast
	return slices.DeleteFunc(overdue([]solve.Mode{as, last}, gone, priceOver), func(x solve.Mode) bool { return x.Max < x.Min })
}

// outside begins the name of a way to end a cold rise out of the cold; the place
// follows.
const outside = "out "

// takeOut lets a rise under way in the cold finish outside from now on: at the
// bench, and in places kept warm. In the cold a slow dough hardly gets on, so that
// what an hour on the bench does may take it half a day.
func (m *model) takeOut(p *passage, i int, as solve.Mode, end, gone int) []solve.Mode {
	if m.walker.place(p, i).Kind != Cold {
		return nil
	}
	from := max(m.problem.Now, int(math.Ceil(p.begin[i].Minute)))
	bench, _ := m.day.Kitchen.Place("")
	var modes []solve.Mode
	for k := range m.day.Kitchen.Places {
		to := &m.day.Kitchen.Places[k]
		if to != bench && to.Kind != Warm {
			continue
		}
		v := m.walker.window(p.rescued(i, p.out(i, to.Name, from, from)), i)
		out := as
		out.Name, out.Cost = outside+to.Name, priceRescue
		out.Min, out.Max = max(int(math.Ceil(v.Ready))+1, from)-end, int(math.Floor(v.TooFar))-end-1
		out.Space = append(slices.Clone(as.Space), m.shelf(p, to)...)
		modes = append(modes, overdue([]solve.Mode{out}, gone, priceOver)...)
	}
	return slices.DeleteFunc(modes, func(x solve.Mode) bool { return x.Max < x.Min })
}

// out takes the dough of wait i out of the cold; that it may have gone in later
// than its rise began is not forgotten.
func (p *passage) out(i int, place string, from, to int) *spell {
	s := &spell{kind: FinishWarm, place: place, from: from, to: to}
	switch old := p.spell[i]; {
	case old == nil:
	case old.kind == ColdLater:
		s.in = old.to
	default:
		s.in = old.in
	}
	return s
}

// pressed knocks the dough of wait i back, in the cold or out of it.
func (p *passage) pressed(i, from int) *spell {
	s := p.out(i, "", from, from)
	s.kind = PressAgain
	return s
}

// pressAgain knocks a bulk rise back now, to rise once more where it stands: in the
// cold that takes so much longer that a dough ahead of its time can keep the plan's.
func (m *model) pressAgain(p *passage, i int, as solve.Mode, end int) []solve.Mode {
	from := max(m.problem.Now, int(math.Ceil(p.begin[i].Minute)))
	v := m.walker.window(p.rescued(i, p.pressed(i, from)), i)
	as.Name, as.Cost = "press", priceRescue
	as.Min, as.Max = int(math.Ceil(v.Ready))-end+1, int(math.Floor(v.TooFar))-end-2
	if c := p.strand.stage(p.strand.waits[i].stage).Chill; p.cold[i] && c != nil {
		as.Min, as.Max = max(as.Min, int(c.Least)), min(as.Max, int(c.Most))
	}
	if as.Max < as.Min {
		return nil
	}
	return []solve.Mode{as}
}

// rescueModes let a rise yet to begin, of a dough under way, begin in the cold.
func (m *model) rescueModes(p *passage, i int, hold []solve.Hold) []solve.Mode {
	cold, ok := m.fridge(p, i)
	if !ok {
		return nil
	}
	home, air := m.walker.airOf(p, i), m.grid.air[cold.Name]
	along := func(minutes float64) simulate.Tables {
		route := []simulate.Leg{{Air: air, Minutes: minutes}, {Air: home}}
		return simulate.TableAlong(p.begin[i], route, p.goal(i), m.grid.slots)
	}
	short, long := along(leastChill), along(mostChill)
	best, last := window(short.Best, long.Late, 0, 0), window(long.Late, long.TooFar, 0, -2)
	for e := range best.Min {
		best.Min[e], last.Min[e] = max(best.Min[e], leastChill), max(last.Min[e], leastChill)
	}
	space := append(append(slices.Clone(hold), m.space(p, i)...), m.shelf(p, cold)...)
	return []solve.Mode{
		{Name: "rescue", Window: best, Space: space, Cost: priceRescue},
		{Name: "rescue", Window: last, Space: space, Cost: priceRescue + priceLast},
	}
}

// fridge is where a rise may be chilled that does not stand cold already.
func (m *model) fridge(p *passage, i int) (*Place, bool) {
	if m.walker.place(p, i).Kind == Cold {
		return nil, false
	}
	c := m.day.Kitchen.fridge()
	return c, c != nil
}

// shelf is what the dough takes of a place.
func (m *model) shelf(p *passage, c *Place) []solve.Hold {
	r, limited := m.spaces[c.Name]
	if !limited {
		return nil
	}
	n := m.day.Kitchen.tubs(p.strand.mass)
	if p.strand.portion != nil {
		n = p.strand.portion.Trays
	}
	return []solve.Hold{{Any: []int{r}, Amount: int32(n)}}
}

// rescued is p with wait i rescued.
func (p *passage) rescued(i int, s *spell) *passage {
	q := *p
	q.spell = slices.Clone(p.spell)
	q.spell[i] = s
	return &q
}

// fit finds the while in the cold after which the rise of wait i is nearest its
// best when it is ended: as short as will do, and begun when free says that
// hands are. A dough that cannot be held back so far stays cold to the end.
func (w *walker) fit(p *passage, i, from, end int, free func(minute int) bool) *spell {
	cold := w.kitchen.fridge()
	var best *spell
	least := math.Inf(1)
	for delay := 0; delay <= mostDelay; delay += chillStep {
		begin := from + delay
		longest := max(leastChill, min(mostChill, end-begin))
		lengths := []int{longest}
		for n := leastChill; n < longest; n += chillStep {
			lengths = append(lengths, n)
		}
		slices.Sort(lengths)
		try := func(length int) float64 {
			s := &spell{kind: ChillAWhile, place: cold.Name, from: begin, to: begin + length}
			v := w.window(p.rescued(i, s), i)
			off := math.Abs(v.Best-float64(end)) + 4*math.Max(0, float64(end)-v.TooFar) + float64(delay)/4
			if !free(s.from) || !free(s.to) {
				off += awkward
			}
			if off < least {
				best, least = s, off
			}
			return v.Best
		}
		lo, hi := 0, len(lengths)-1
		for lo < hi { // the longer the while, the later the best moment
			if mid := (lo + hi) / 2; try(lengths[mid]) < float64(end) {
				lo = mid + 1
			} else {
				hi = mid
			}
		}
		if try(lengths[lo]); free(best.from) && free(best.to) {
			break
		}
	}
	return best
}
