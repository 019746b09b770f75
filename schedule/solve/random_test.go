package solve_test

import (
	"math/rand/v2"

	"ovenward/schedule/solve"
)

// dice makes small random problems that are valid and usually have a plan.
type dice struct{ *rand.Rand }

func newDice(seed uint64) dice { return dice{rand.New(rand.NewPCG(seed, 1))} }

func (d dice) within(a, b int) int { return a + d.IntN(b-a+1) }

func (d dice) oneIn(n int) bool { return d.IntN(n) == 0 }

// some gives one or two of 0..n-1.
func (d dice) some(n int) []int {
	a := d.IntN(n)
	if b := d.IntN(n); b != a && d.oneIn(2) {
		return []int{a, b}
	}
	return []int{a}
}

func (d dice) prices(n int) []int64 {
	if d.oneIn(2) {
		return nil
	}
	c := make([]int64, n)
	for i := range c {
		c[i] = int64(d.IntN(4))
	}
	return c
}

// problem makes one of jobs jobs with up to ops operations each; with shape
// "chain" every operation follows the one before it.
func (d dice) problem(jobs, ops, slots int, chain bool) *solve.Problem {
	p := &solve.Problem{Slots: slots, Now: d.IntN(2), Late: 20, Early: int64(d.IntN(4)), Span: int64(d.IntN(3))}
	for range 2 {
		r := solve.Resource{Cap: []int32{int32(d.within(1, 2))}}
		if d.oneIn(3) {
			r.Cap = make([]int32, slots)
			for t := range r.Cap {
				r.Cap[t] = int32(d.within(0, 5)+2) / 3
			}
		}
		p.Resources = append(p.Resources, r)
	}
	for range d.within(1, 2) {
		m := solve.Machine{Cap: d.within(1, 2)}
		if d.oneIn(4) {
			m.Closed = []solve.Interval{{From: 3, To: 4}}
		}
		if d.oneIn(4) {
			m.Cold = []int{0, 1}
		}
		p.Machines = append(p.Machines, m)
	}
	if d.oneIn(2) {
		p.Setup = [][]int{{d.IntN(2), d.IntN(3)}, {d.IntN(3), d.IntN(2)}}
		p.Cold = []int{d.IntN(2), d.IntN(3)}
		p.Join = []int{d.IntN(3) - 1, d.IntN(3) - 1}
	}
	windows := []*solve.Window{d.window(slots), d.window(slots)}
	for range jobs {
		var job solve.Job
		for i := range d.within(1, ops) {
			job.Ops = append(job.Ops, d.op(p))
			if i > 0 {
				from := i - 1
				if !chain {
					from = d.IntN(i)
				}
				l := solve.Link{From: from, To: i}
				if !chain && d.oneIn(3) {
					l.From, l.To = i, from
				}
				for range d.within(1, 2) {
					l.Modes = append(l.Modes, d.mode(windows))
				}
				job.Links = append(job.Links, l)
			}
		}
		p.Jobs = append(p.Jobs, job)
	}
	return p
}

func (d dice) window(slots int) *solve.Window {
	w := &solve.Window{Min: make([]int32, slots+1), Max: make([]int32, slots+1)}
	lo, hi := d.IntN(2), d.within(1, 4)
	for e := range slots + 1 {
		w.Min[e], w.Max[e] = int32(lo), int32(hi)
		lo, hi = max(0, lo+d.within(-1, 1)), max(0, hi+d.within(-1, 1))
	}
	return w
}

func (d dice) op(p *solve.Problem) solve.Op {
	o := solve.Op{Dur: d.within(1, 3), Fixed: solve.Free, Was: solve.Free}
	for range d.IntN(3) {
		anyOf := d.some(len(p.Resources))
		n := solve.Need{Any: anyOf, Cost: d.prices(len(anyOf)), Amount: 1}
		if d.oneIn(2) {
			n.From = d.IntN(o.Dur)
			n.To = d.within(n.From+1, o.Dur)
		}
		o.Needs = append(o.Needs, n)
	}
	if d.oneIn(2) {
		anyOf := d.some(len(p.Machines))
		o.Machine = &solve.Use{Any: anyOf, Cost: d.prices(len(anyOf)), Profile: d.IntN(2), Places: 1}
	}
	if d.oneIn(2) {
		o.Due, o.Weight, o.EarlyWeight = d.within(2, p.Slots), int64(d.within(1, 2)), int64(d.IntN(2))
		if d.oneIn(3) {
			o.Hand, o.HandCost = d.IntN(4), int64(d.IntN(3))
		}
	}
	if d.oneIn(5) {
		o.Was, o.Move, o.MoveFlat = d.IntN(p.Slots), int64(d.IntN(2)), int64(d.IntN(3))
	}
	if d.oneIn(6) {
		o.Release = d.IntN(4)
	}
	if d.oneIn(12) {
		o.Fixed = d.IntN(2)
	}
	return o
}

func (d dice) mode(windows []*solve.Window) solve.Mode {
	m := solve.Mode{Max: d.IntN(4), Cost: int64(d.IntN(3))}
	if d.oneIn(2) {
		m.Window = windows[d.IntN(len(windows))]
	}
	if d.oneIn(2) {
		anyOf := d.some(2)
		m.Space = []solve.Hold{{Any: anyOf, Cost: d.prices(len(anyOf)), Amount: 1}}
	}
	return m
}
