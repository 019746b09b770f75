package schedule_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
	"ovenward/schedule/unit"
	"ovenward/testdata"
)

// tearoom is the example day with its plan.
var tearoom = sync.OnceValues(func() (*schedule.Day, schedule.Plan) {
	d, err := dayfile.DecodeDay("example.json", testdata.Example)
	if err != nil {
		panic(err)
	}
	p, err := schedule.PlanDay(context.Background(), d, d.Settings)
	if err != nil {
		panic(err)
	}
	return d, p
})

func replan(tb testing.TB, d *schedule.Day, p *schedule.Plan, now time.Time, log ...schedule.Slip) []schedule.Choice {
	tb.Helper()
	cs, err := schedule.Replan(tb.Context(), d, p, log, now, d.Settings)
	if err != nil {
		tb.Fatal(err)
	}
	if len(cs) == 0 || len(cs) > 3 {
		tb.Fatalf("%d choices", len(cs))
	}
	return cs
}

// taskOf is the first task that want says yes to.
func taskOf(tb testing.TB, p *schedule.Plan, want func(schedule.Task) bool) schedule.Task {
	tb.Helper()
	i := slices.IndexFunc(p.Tasks, want)
	if i < 0 {
		tb.Fatal("the plan has no such task")
	}
	return p.Tasks[i]
}

// Where nothing has happened that the plan does not say, it stays to the last
// byte, at any time of the day.
func TestReplanNothing(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	for _, after := range []time.Duration{-time.Hour, 0, 30 * time.Minute, 12 * time.Hour, 13*time.Hour + 7*time.Minute, 20 * time.Hour} {
		cs := replan(t, d, &p, p.Tasks[0].Start.Add(after))
		want := []schedule.Choice{{Kind: schedule.Keep, Plan: p, LateTotal: p.Outcome.LateTotal}}
		if diff := cmp.Diff(want, cs); diff != "" {
			t.Errorf("after %v: %s", after, diff)
		}
	}
}

// Work done just when it was planned changes nothing.
func TestReplanAsPlanned(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	for _, now := range []time.Time{p.Tasks[4].Start, p.Tasks[len(p.Tasks)/2].Start, p.Tasks[len(p.Tasks)-3].Start} {
		var log []schedule.Slip
		for _, k := range p.Tasks {
			if !k.End.After(now) && k.Kind != schedule.Preheat {
				log = append(log, schedule.Slip{ID: k.ID, Kind: schedule.Done, At: k.End, Task: k.ID})
			}
		}
		slices.SortStableFunc(log, func(a, b schedule.Slip) int { return a.At.Compare(b.At) })
		cs := replan(t, d, &p, now, log...)
		if len(cs) != 1 || cs[0].Kind != schedule.Keep || len(cs[0].Moves) > 0 {
			t.Fatalf("at %s: %d choices, first %s, moves %v", now.Format("15:04"), len(cs), cs[0].Kind, cs[0].Moves)
		}
		if diff := cmp.Diff(p.Tasks, cs[0].Plan.Tasks); diff != "" {
			t.Errorf("at %s: %s", now.Format("15:04"), diff)
		}
	}
}

// randomSlip is something that may happen to a plan at now.
func randomSlip(r *rand.Rand, d *schedule.Day, p *schedule.Plan, now time.Time) schedule.Slip {
	s := schedule.Slip{ID: "x", At: now}
	task := func(want func(schedule.Task) bool) bool {
		var fit []string
		for _, k := range p.Tasks {
			if k.Start.Before(now) && !k.End.Before(now.Add(-15*time.Minute)) && want(k) {
				fit = append(fit, k.ID)
			}
		}
		if len(fit) > 0 {
			s.Task = fit[r.IntN(len(fit))]
		}
		return len(fit) > 0
	}
	rises := func(k schedule.Task) bool { return k.Kind.Rises() }
	while := func(most int) time.Time { return now.Add(time.Duration(10+r.IntN(most)) * time.Minute) }
	switch r.IntN(10) {
	case 0, 1:
		if s.Kind = schedule.NotYet; task(rises) {
			s.Minutes = unit.Minutes(r.IntN(50))
			return s
		}
	case 2:
		if s.Kind = schedule.Ready; task(rises) {
			return s
		}
	case 3:
		if s.Kind = schedule.Over; task(rises) {
			return s
		}
	case 4:
		if s.Kind, s.Expansion = schedule.Volume, 1+2*r.Float64(); task(rises) {
			return s
		}
	case 5:
		if s.Kind, s.Celsius = schedule.WasWarm, unit.Celsius(18+14*r.Float64()); task(rises) {
			return s
		}
	case 6:
		s.Kind, s.Of, s.To = schedule.OvenOut, d.Kitchen.Ovens[0].Name, while(90)
		return s
	case 7:
		if s.Kind, s.Minutes = schedule.Done, 0; task(func(k schedule.Task) bool { return k.Kind.Work() }) {
			return s
		}
	case 8:
		s.Kind, s.Of, s.Celsius = schedule.RoomIs, d.Kitchen.Places[0].Name, unit.Celsius(16+12*r.Float64())
		return s
	}
	s.Kind, s.Task, s.Of, s.To = schedule.Away, "", d.Kitchen.Bakers[r.IntN(len(d.Kitchen.Bakers))].Name, while(60)
	return s
}

// Whatever happens at whatever moment, once and again: what is over stays as it
// was, every plan offered says of itself just what the judge finds, what was
// accepted is kept, and the same log gives the same bytes.
func TestReplanRandom(t *testing.T) {
	t.Parallel()
	n := uint64(24)
	if testing.Short() {
		n = 4
	}
	for _, name := range []string{"example", "hot-afternoon", "three-breads-one-dough"} {
		d := dayOf(t, name)
		p := planned(t, d)
		first, last := p.Tasks[0].Start, p.Tasks[len(p.Tasks)-1].Start
		for seed := range n {
			t.Run(fmt.Sprint(name, " ", seed), func(t *testing.T) {
				t.Parallel()
				r := rand.New(rand.NewPCG(seed, 7))
				now := first.Add(time.Duration(r.Int64N(int64(last.Sub(first))))).Truncate(time.Minute)
				twice(t, r, d, p, now)
			})
		}
	}
}

// twice lets two things happen to a plan, the first choice accepted each time.
func twice(t *testing.T, r *rand.Rand, d *schedule.Day, p schedule.Plan, now time.Time) {
	var log []schedule.Slip
	for range 2 {
		next := append(slices.Clone(log), randomSlip(r, d, &p, now))
		if len(schedule.ValidateLog(d, &p, next, now)) > 0 {
			continue // the second contradicts the first
		}
		log = next
		cs := replan(t, d, &p, now, log...)
		for i := range cs {
			honest(t, d, &cs[i], log, now)
			frozen(t, &p, &cs[i].Plan, log, now)
		}
		if again := replan(t, d, &p, now, log...); !bytes.Equal(asJSON(t, cs), asJSON(t, again)) {
			t.Error("the same log gives other choices")
		}
		p = cs[0].Plan
		if again := replan(t, d, &p, now, log...); again[0].Kind != schedule.Keep || len(again[0].Moves) > 0 {
			t.Errorf("once accepted, it is %s with %d moves", again[0].Kind, len(again[0].Moves))
		}
		if t.Failed() {
			t.Fatalf("at %s: %+v", now.Format("15:04"), log)
		}
		now = now.Add(time.Duration(r.IntN(40)) * time.Minute)
	}
}

func asJSON(tb testing.TB, v any) []byte {
	tb.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		tb.Fatal(err)
	}
	return b
}

// honest wants a choice to say everything the judge finds from now on.
func honest(t *testing.T, d *schedule.Day, c *schedule.Choice, log []schedule.Slip, now time.Time) {
	t.Helper()
	found, err := schedule.CheckFrom(d, &c.Plan, log, now)
	if err != nil {
		t.Fatal(err)
	}
	said := slices.Concat(c.Risks, c.Broken)
	for _, v := range found {
		same := func(w schedule.Violation) bool { return cmp.Equal(v, w) }
		if v.Code != schedule.LatePromise && !slices.ContainsFunc(said, same) {
			t.Errorf("%s: not said: %+v", c.Kind, v)
		}
	}
	var moved, dropped int
	for _, m := range c.Moves {
		if !m.Start.IsZero() && m.Start.Before(now) {
			moved++
		}
		if m.Start.IsZero() {
			dropped++
		}
	}
	if moved+dropped > 0 {
		t.Errorf("%s: %d works moved into the past, %d lost", c.Kind, moved, dropped)
	}
}

// frozen wants every work that was over to be where it was, unless the log says
// otherwise.
func frozen(t *testing.T, old, p *schedule.Plan, log []schedule.Slip, now time.Time) {
	t.Helper()
	is := map[string]schedule.Task{}
	for _, k := range p.Tasks {
		is[k.ID] = k
	}
	for _, k := range old.Tasks {
		said := slices.ContainsFunc(log, func(s schedule.Slip) bool { return s.Task == k.ID || s.Kind == schedule.Away })
		if k.End.After(now.Add(-20*time.Minute)) || said {
			continue
		}
		if got := is[k.ID]; !got.Start.Equal(k.Start) || !got.End.Equal(k.End) {
			t.Errorf("%s was %s-%s, is %s-%s", k.ID, k.Start.Format("15:04"), k.End.Format("15:04"), got.Start.Format("15:04"), got.End.Format("15:04"))
		}
	}
}

// sentence words a choice as a baker would hear it, for the log of a test.
func sentence(d *schedule.Day, c schedule.Choice) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: ", c.Kind)
	for _, r := range c.Rescues {
		fmt.Fprintf(&b, "%s %s from %s for %.0f min (%s); ", r.Kind, r.Name, r.From.Format("15:04"), r.To.Sub(r.From).Minutes(), r.Task)
	}
	for _, m := range c.Moves {
		i := slices.IndexFunc(c.Plan.Tasks, func(k schedule.Task) bool { return k.ID == m.Task })
		if i >= 0 && c.Plan.Tasks[i].Kind == schedule.Bake {
			fmt.Fprintf(&b, "%s into the oven %s, not %s; ", c.Plan.Tasks[i].Name, m.Start.Format("15:04"), m.Was.Format("15:04"))
		}
	}
	fmt.Fprintf(&b, "%d tasks move; ", len(c.Moves))
	for _, l := range c.Late {
		fmt.Fprintf(&b, "%s %v late; ", l.Bread, l.By)
	}
	for _, v := range slices.Concat(c.Risks, c.Broken) {
		fmt.Fprintf(&b, "%s %s by %v; ", v.Task, v.Code, v.By)
	}
	return b.String()
}

// Three mornings that go wrong, with what is offered. What a baker would say to
// it is common practice, no source: a proof that needs twenty minutes more pushes
// its own load and whatever the oven then has no time for, and nothing else; a
// baker half an hour late shapes what has waited longest first; doughs on the
// point of being ready cannot be saved by the fridge, the others can.
func TestReplanMornings(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	proof := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Proof && k.Name == "Currant bun" })
	shape := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Shape && len(k.Hands) > 0 })
	baker := shape.Hands[0].Baker
	for _, c := range []struct {
		name string
		now  time.Time
		slip schedule.Slip
		want func(t *testing.T, cs []schedule.Choice)
	}{
		{"the currant buns' proof needs 20 min more", proof.End,
			schedule.Slip{Kind: schedule.NotYet, Task: proof.ID, Minutes: 20},
			func(t *testing.T, cs []schedule.Choice) {
				best := cs[0]
				bake := taskOf(t, &best.Plan, func(k schedule.Task) bool { return k.Kind == schedule.Bake && k.Portion == proof.Portion })
				if wait := bake.Start.Sub(proof.End); wait < 20*time.Minute || wait > 40*time.Minute {
					t.Errorf("the buns go in %v after", wait)
				}
				if len(best.Risks)+len(best.Broken) > 0 || best.LateTotal > 30 {
					t.Errorf("risks %v, broken %v, late %v", best.Risks, best.Broken, best.LateTotal)
				}
			}},
		{"the baker is half an hour late to the shaping", shape.Start.Add(30 * time.Minute),
			schedule.Slip{Kind: schedule.Away, Of: baker, From: shape.Start, To: shape.Start.Add(30 * time.Minute)},
			func(t *testing.T, cs []schedule.Choice) {
				got := taskOf(t, &cs[0].Plan, func(k schedule.Task) bool { return k.ID == shape.ID })
				if late := got.Start.Sub(shape.Start); late < 30*time.Minute || late > 50*time.Minute {
					t.Errorf("shaped %v late", late)
				}
				if len(cs[0].Broken) > 0 {
					t.Errorf("broken: %v", cs[0].Broken)
				}
			}},
		{"the oven is out for an hour", proof.Start,
			schedule.Slip{Kind: schedule.OvenOut, Of: d.Kitchen.Ovens[0].Name, To: proof.Start.Add(time.Hour)},
			func(t *testing.T, cs []schedule.Choice) {
				i := slices.IndexFunc(cs, func(c schedule.Choice) bool { return c.Kind == schedule.PutInCold })
				if i != 0 {
					t.Fatalf("chilling comes %d", i)
				}
				for _, c := range cs[1:] {
					if c.AtRisk() <= cs[0].AtRisk() && c.LateTotal <= cs[0].LateTotal {
						t.Errorf("%s is better than chilling", c.Kind)
					}
				}
				for _, r := range cs[0].Rescues {
					if took := r.To.Sub(r.From); took < 15*time.Minute || took > 4*time.Hour || r.From.Before(proof.Start) {
						t.Errorf("%s: %s to %s", r.Task, r.From, r.To)
					}
				}
			}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			c.slip.ID, c.slip.At = "1", c.now
			cs := replan(t, d, &p, c.now, c.slip)
			t.Logf("%s, %s:", c.now.Format("15:04"), c.name)
			for _, x := range cs {
				t.Log("  " + sentence(d, x))
			}
			c.want(t, cs)
		})
	}
}

// Orders come and go while the day is on.
func TestReplanOrders(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	loaf := slices.IndexFunc(d.Orders, func(o schedule.Order) bool { return o.Bread == "potato-loaf" })
	mix := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Mix && k.Part == "" && k.Name == "Potato loaf" })
	now := mix.Start.Add(-time.Hour)
	slip := schedule.Slip{ID: "1", At: now, Order: loaf}
	pieces := func(c schedule.Choice) (n int) {
		for _, b := range c.Plan.Batches {
			for _, q := range b.Portions {
				if q.Order == loaf {
					n += q.Pieces
				}
			}
		}
		return n
	}
	slip.Kind = schedule.OrderDropped
	if cs := replan(t, d, &p, now, slip); pieces(cs[0]) != 0 || len(cs[0].Broken) > 0 {
		t.Errorf("dropped before the mix: %d pieces, %v", pieces(cs[0]), cs[0].Broken)
	}
	late := slip
	late.At = mix.End.Add(time.Minute)
	if cs := replan(t, d, &p, late.At, late); pieces(cs[0]) != d.Orders[loaf].Pieces || len(cs[0].Broken) > 0 {
		t.Errorf("dropped after the mix: %d pieces, %v", pieces(cs[0]), cs[0].Broken)
	}
	slip.Kind, slip.New = schedule.OrderAdded, &schedule.Order{Bread: "plain-bun", Pieces: 12, Ready: "2026-11-28T13:00"}
	cs := replan(t, d, &p, now, slip)
	if got := cs[0].Plan; len(got.Batches) != len(p.Batches)+1 || len(cs[0].Broken) > 0 || cs[0].LateTotal > 0 {
		t.Errorf("added: %d batches, broken %v, late %v", len(got.Batches), cs[0].Broken, cs[0].LateTotal)
	}
	again, err := schedule.Replan(t.Context(), d, &cs[0].Plan, []schedule.Slip{slip}, now.Add(time.Minute), d.Settings)
	if err != nil || again[0].Kind != schedule.Keep {
		t.Errorf("once accepted: %v, %v", again[0].Kind, err)
	}
}

// The example day and one of twelve orders after one slip, on one core.
func BenchmarkReplan(b *testing.B) {
	d, p := tearoom()
	proof := taskOf(b, &p, func(k schedule.Task) bool { return k.Kind == schedule.Proof && k.Name == "Currant bun" })
	type slipped struct {
		name string
		day  *schedule.Day
		plan *schedule.Plan
		now  time.Time
		slip schedule.Slip
	}
	all := []slipped{
		{"slow proof", d, &p, proof.End, schedule.Slip{Kind: schedule.NotYet, Task: proof.ID, Minutes: 20}},
		{"baker late", d, &p, proof.Start, schedule.Slip{Kind: schedule.Away, Of: d.Kitchen.Bakers[0].Name, From: proof.Start.Add(-30 * time.Minute), To: proof.Start}},
		{"oven out", d, &p, proof.Start, schedule.Slip{Kind: schedule.OvenOut, Of: d.Kitchen.Ovens[0].Name, To: proof.Start.Add(time.Hour)}},
		{"warm room", d, &p, proof.Start, schedule.Slip{Kind: schedule.RoomIs, Of: "Bench", Celsius: 25}},
	}
	busy := busyDay(b, 12)
	full := planned(b, busy)
	proofs := slices.DeleteFunc(slices.Clone(full.Tasks), func(k schedule.Task) bool { return k.Kind != schedule.Proof })
	middle := proofs[len(proofs)/2]
	all = append(all,
		slipped{"orders=12, slow proof", busy, &full, middle.End, schedule.Slip{Kind: schedule.NotYet, Task: middle.ID, Minutes: 20}},
		slipped{"orders=12, oven out", busy, &full, middle.Start, schedule.Slip{Kind: schedule.OvenOut, Of: busy.Kitchen.Ovens[0].Name, To: middle.Start.Add(time.Hour)}})
	for _, c := range all {
		b.Run(c.name, func(b *testing.B) {
			c.slip.ID, c.slip.At = "1", c.now
			timed(b, func() { replan(b, c.day, c.plan, c.now, c.slip) })
		})
	}
}

// A small search seldom finds what people do by themselves: all in the order it
// was, each a little later. A dough for three breads in one oven, the first of
// which needs twenty minutes more, is late by no more than that.
func TestReplanPushes(t *testing.T) {
	t.Parallel()
	d := dayOf(t, "three-breads-one-dough")
	p := planned(t, d)
	first := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Bake })
	proof := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Proof && k.Portion == first.Portion })
	slip := schedule.Slip{ID: "1", Kind: schedule.NotYet, At: proof.End, Task: proof.ID, Minutes: 20}
	cs := replan(t, d, &p, slip.At, slip)
	if best := cs[0]; len(best.Risks)+len(best.Broken) > 0 || best.LateTotal > 20 {
		t.Error(sentence(d, best))
	}
}
