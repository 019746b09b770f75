package simulate_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// careful is the same dough followed without haste: 40 shells, steps of 15 s.
type careful struct {
	k      *rise.Kinetics
	field  *heat.Field
	yeast  rise.State
	minute float64
}

func (c *careful) wait(t *testing.T, air *simulate.Air, minutes float64) {
	t.Helper()
	const step = 0.25
	q := make([]float64, heat.MaxShells)
	for range int(minutes / step) {
		temps, weights := c.field.Temps(), c.field.Weights()
		sum := 0.0
		for i, w := range weights {
			f := c.k.Speed(temps[i])
			q[i] = c.k.Heat(c.k.Pace(&c.yeast)) / 3600 * f
			sum += w * f
		}
		i := min(int(c.minute), len(air.Temps)-1)
		at := air.Temps[i]
		if i < len(air.Temps)-1 {
			at += (c.minute - float64(i)) * (air.Temps[i+1] - at)
		}
		if err := c.field.Step(unit.Celsius(at), air.H, step, q); err != nil {
			t.Fatal(err)
		}
		mean := c.field.Mean()
		c.yeast.Step(c.k, step/60, sum, mean)
		if err := c.field.Grow(c.yeast.Expansion(c.k, mean)); err != nil {
			t.Fatal(err)
		}
		c.minute += step
	}
}

// anyAir is a place as kitchens have them: a wave over the day, now and then a
// jump when the heating or a door changes it.
func anyAir(r *rand.Rand, minutes int) *simulate.Air {
	base, swing, jump := 4+24*r.Float64(), 4*r.Float64(), 0.0
	a := &simulate.Air{H: 5 + 10*r.Float64(), Temps: make([]float64, minutes)}
	for m := range a.Temps {
		if r.IntN(600) == 0 {
			jump = 10 * (r.Float64() - 0.5)
		}
		a.Temps[m] = base + jump + swing*math.Sin(float64(m)/229)
	}
	return a
}

func anyBody(r *rand.Rand) heat.Body {
	mass := unit.Grams(60 * math.Pow(100, r.Float64()))
	switch r.IntN(3) {
	case 0:
		return heat.Ball(mass)
	case 1:
		return heat.Flat(mass, 0.01+0.03*r.Float64(), r.IntN(2) == 0)
	}
	return heat.Tub(mass, 0.015*math.Cbrt(float64(mass)))
}

// TestStrides bounds what few shells and long strides cost: work, gas and
// expansion within 1 % of a careful run, temperatures within 0.25 K, through
// three random places with a knock-back between.
func TestStrides(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(5, 5))
	for range 25 {
		d, body, start := lean(unit.Percent(0.5+3*r.Float64())), anyBody(r), unit.Celsius(18+12*r.Float64())
		field, err := heat.NewField(body, heat.MaxShells, start)
		if err != nil {
			t.Fatal(err)
		}
		slow := &careful{k: rise.New(d.Recipe, 0, rise.Default()), field: field}
		quick := mustStart(t, d, 0, body, start)
		for range 3 {
			air, minutes := anyAir(r, 1000), float64(30+r.IntN(300))
			slow.wait(t, air, minutes)
			quick.Wait(air, minutes)
			y := quick.Yeast()
			within(t, "work", y.Work, slow.yeast.Work, 0.007*slow.yeast.Work)
			within(t, "gas", y.Made, slow.yeast.Made, 0.007*slow.yeast.Made)
			e := slow.yeast.Expansion(slow.k, slow.field.Mean())
			within(t, "expansion", quick.Expansion(), e, max(0.01, 0.01*(e-1)))
			within(t, "mean", float64(quick.Mean()), float64(slow.field.Mean()), 0.15)
			within(t, "core", float64(quick.Core()), float64(slow.field.Core()), 0.25)
			quick.Handle(rise.KnockBack)
			slow.yeast.Handle(slow.k, rise.KnockBack, slow.field.Mean())
			_ = slow.field.Grow(slow.yeast.Expansion(slow.k, slow.field.Mean()))
		}
	}
}
