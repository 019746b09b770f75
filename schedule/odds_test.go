package schedule_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// One loaf, proving, with one promise: how often it is kept is the probability
// that a normal number is small enough (math.Erf), for looks every ten minutes from
// the planned bake on. 64 rehearsals are right to about 0.12 two sigma; the mirror
// images make them better.
func TestOddsOfOneProof(t *testing.T) {
	t.Parallel()
	d := dayOf(t, "single-pan-loaf")
	p := planned(t, d)
	proof := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Proof })
	bake := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Bake })
	shape := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Shape })
	last := taskOf(t, &p, func(k schedule.Task) bool { return k.Promise != nil })
	now := proof.Start.Add(5 * time.Minute)
	for _, off := range []unit.Minutes{-25, -5, 0, 10} { // the promise against the plan's end
		day := *d
		day.Orders = append([]schedule.Order(nil), d.Orders...)
		o := &day.Orders[0]
		end := schedule.WallOf(last.End.Add(time.Duration(off) * time.Minute))
		if o.Out != "" {
			o.Out = end
		} else {
			o.Ready = end
		}
		cs := replan(t, &day, &p, now, schedule.Slip{ID: "1", Kind: schedule.Started, At: shape.Start, Task: shape.ID})
		var odds schedule.Odds
		found := false
		for _, c := range cs {
			got := taskOf(t, &c.Plan, func(k schedule.Task) bool { return k.Kind == schedule.Bake })
			if got.Start.Equal(bake.Start) {
				odds, found = c.Odds, true
			}
		}
		if !found {
			t.Errorf("promise %v from the plan's end: no choice keeps the bake's time: %v", off, cs[0].Kind)
			continue
		}
		const patience = 10
		rise := func(at time.Time) float64 { return at.Sub(proof.Start).Minutes() }
		w := proof.Window
		sd := math.Log(rise(w.Tardy)/rise(w.Best)) / 1.2815515655446004
		room := math.Floor((float64(off)+5)/patience) * patience // keeping counts to five minutes
		want := 0.0
		if room >= 0 {
			want = normal(math.Log((rise(bake.Start)+room)/rise(w.Ready)) / sd)
		}
		if math.Abs(odds.Kept-want) > 0.12 || odds.Draws != 64 {
			t.Errorf("promise %v from the plan's end: kept in %.2f of %d rehearsals, want %.2f", off, odds.Kept, odds.Draws, want)
		}
	}
}

// normal is the probability of a standard normal number below z.
func normal(z float64) float64 { return (1 + math.Erf(z/math.Sqrt2)) / 2 }

// Nothing is moved that gains nothing: beside keeping the times stand only choices
// that mend something, or are expected to be less late, or to harm doughs less, by
// three minutes or more.
func TestMovesGain(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	score := func(c schedule.Choice) float64 {
		harm := c.Odds.Over
		for _, v := range c.Risks {
			if v.Code == schedule.BadWait {
				harm += float64(v.By)
			}
		}
		return c.Odds.Late + 3*harm
	}
	keeps, moves := 0, 0
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 7))
		now := p.Tasks[0].Start.Add(time.Duration(r.Int64N(int64(p.Tasks[len(p.Tasks)-1].End.Sub(p.Tasks[0].Start))))).Truncate(time.Minute)
		s := randomSlip(r, d, &p, now)
		cs, err := schedule.Replan(t.Context(), d, &p, []schedule.Slip{s}, now, d.Settings)
		if err != nil {
			continue // what cannot have happened
		}
		for _, keep := range cs {
			if keep.Kind != schedule.Keep {
				continue
			}
			keeps++
			for _, c := range cs {
				if c.Kind == schedule.Keep {
					continue
				}
				if moves++; len(c.Broken) >= len(keep.Broken) && score(keep)-score(c) < 3 {
					t.Errorf("%s at %s: %s gains nothing: %+v, keeping %+v", s.Kind, now.Format("15:04"), c.Kind, c.Odds, keep.Odds)
				}
			}
		}
	}
	if keeps < 10 || moves == 0 {
		t.Errorf("%d kept, %d moves beside: too few to say anything", keeps, moves)
	}
}
