package solve_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"ovenward/schedule/solve"
)

// Nonsense is refused with a reason or solved; it never panics, hangs, or
// gives a plan that Check refuses.
func FuzzSolve(f *testing.F) {
	for seed := range uint64(200) {
		f.Add(seed, uint64(seed*seed), byte(seed))
	}
	f.Add(uint64(76), uint64(5751), byte('L'))  // a wait far below 0
	f.Add(uint64(253), uint64(1889), byte('[')) // a profile beyond 32 bits
	f.Add(uint64(96), uint64(16), byte(2))      // nothing has a price, and something no place
	f.Fuzz(func(t *testing.T, seed, spoil uint64, times byte) {
		d := newDice(seed)
		p := d.problem(d.within(0, 6), d.within(1, 6), d.within(6, 40), d.oneIn(2))
		w := dice{rand.New(rand.NewPCG(spoil, 7))}
		for range times % 8 {
			w.spoil(p)
		}
		r, err := solve.Solve(context.Background(), p, solve.Settings{Steps: 60, BoundSteps: 5})
		if err != nil {
			return
		}
		if v := solve.Check(p, &r.Plan); len(v) > 0 {
			t.Fatalf("plan is wrong: %v", v)
		}
		if len(r.Plan.Unplaced) == 0 && (r.Bound.Total > r.Plan.Cost.Total || r.Bound.Late > r.Plan.Cost.Late) {
			t.Fatalf("bound %+v above plan %+v", r.Bound, r.Plan.Cost)
		}
	})
}

// spoil changes one number somewhere, usually to something odd.
func (d dice) spoil(p *solve.Problem) {
	odd := []int{-1, 0, 1, 2, 3, 7, 50, 1 << 20, -1 << 40, 1 << 62}[d.IntN(10)]
	ints := []*int{&p.Slots, &p.Now}
	longs := []*int64{&p.Late, &p.Early, &p.Span}
	for i := range p.Resources {
		for t := range p.Resources[i].Cap {
			if d.oneIn(4) {
				p.Resources[i].Cap[t] = int32(odd)
				return
			}
		}
	}
	for i := range p.Machines {
		ints = append(ints, &p.Machines[i].Cap)
		for k := range p.Machines[i].Closed {
			ints = append(ints, &p.Machines[i].Closed[k].From, &p.Machines[i].Closed[k].To)
		}
	}
	for a := range p.Setup {
		ints = append(ints, &p.Cold[a], &p.Join[a])
		for b := range p.Setup[a] {
			ints = append(ints, &p.Setup[a][b])
		}
	}
	for j := range p.Jobs {
		for i := range p.Jobs[j].Ops {
			o := &p.Jobs[j].Ops[i]
			ints = append(ints, &o.Dur, &o.Due, &o.Release, &o.Fixed, &o.Was, &o.Hand)
			longs = append(longs, &o.Weight, &o.EarlyWeight, &o.HandCost, &o.Move, &o.MoveFlat)
			for k := range o.Needs {
				ints = append(ints, &o.Needs[k].From, &o.Needs[k].To, &o.Needs[k].Any[0])
			}
			if o.Machine != nil {
				ints = append(ints, &o.Machine.Any[0], &o.Machine.Profile, &o.Machine.Places)
			}
		}
		for i := range p.Jobs[j].Links {
			l := &p.Jobs[j].Links[i]
			ints = append(ints, &l.From, &l.To, &l.Modes[0].Min, &l.Modes[0].Max)
			longs = append(longs, &l.Modes[0].Cost)
		}
	}
	if k := d.IntN(len(ints) + len(longs)); k < len(ints) {
		*ints[k] = odd
	} else {
		*longs[k-len(ints)] = int64(odd)
	}
}
