package schedule_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
)

// piecesOf counts the pieces a plan makes of every order.
func piecesOf(d *schedule.Day, p *schedule.Plan) []int {
	n := make([]int, len(d.Orders))
	for _, b := range p.Batches {
		for _, q := range b.Portions {
			n[q.Order] += q.Pieces
		}
	}
	return n
}

// lostAt is the slip of a dough thrown away at the end of a task.
func lostAt(k schedule.Task) schedule.Slip {
	return schedule.Slip{ID: "lost", Kind: schedule.DoughLost, At: k.End, Task: k.ID}
}

// Whatever dough is thrown away in whatever rise of the example day: it is made
// again or left out, and nothing else is offered. What is left out is ordered no
// more; what is made again is another dough, begun after it was thrown away; of
// the other orders every piece is made either way. The judge finds in each plan
// what it says of itself, what was accepted stays, and what is taken back puts
// everything where it was.
func TestLost(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	for _, k := range p.Tasks {
		if !k.Kind.Rises() {
			continue
		}
		t.Run(k.ID, func(t *testing.T) {
			t.Parallel()
			s := lostAt(k)
			cs := replan(t, d, &p, s.At, s)
			kinds := map[schedule.ChoiceKind]bool{}
			for i := range cs {
				kinds[cs[i].Kind] = true
				afterLoss(t, d, &p, &cs[i], s)
			}
			want := map[schedule.ChoiceKind]bool{schedule.MakeAgain: true, schedule.LeaveOut: true}
			if k.ID == "B1.9" { // its preferment alone takes the rest of the day
				delete(want, schedule.MakeAgain)
			}
			if !cmp.Equal(want, kinds) {
				t.Errorf("offered: %v", kinds)
			}
		})
	}
}

// afterLoss judges one choice.
func afterLoss(t *testing.T, d *schedule.Day, p *schedule.Plan, c *schedule.Choice, s schedule.Slip) {
	t.Helper()
	log := []schedule.Slip{s}
	lost := map[string]bool{} // portions
	want := piecesOf(d, p)
	for _, l := range p.Losses(log) {
		for _, q := range l.Batch.Portions {
			lost[q.ID] = true
			if c.Kind == schedule.LeaveOut {
				want[q.Order] -= q.Pieces
			}
		}
	}
	if got := piecesOf(d, &c.Plan); !slices.Equal(got, want) {
		t.Errorf("%s: %v pieces, want %v", c.Kind, got, want)
	}
	for _, k := range c.Plan.Tasks {
		if lost[k.Portion] {
			t.Errorf("%s: %s is still to be done", c.Kind, k.ID)
		}
		if _, old := taskIn(p, k.ID); !old && k.Batch != "" && k.Start.Before(s.At) {
			t.Errorf("%s: %s is new and begins at %s", c.Kind, k.ID, k.Start.Format("15:04"))
		}
	}
	found, err := schedule.CheckFrom(d, &c.Plan, log, s.At)
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range found {
		same := func(w schedule.Violation) bool { return cmp.Equal(v, w) }
		if v.Code != schedule.LatePromise && !slices.ContainsFunc(slices.Concat(c.Risks, c.Broken), same) {
			t.Errorf("%s: not said: %+v", c.Kind, v)
		}
	}
	amended, err := schedule.Amend(d, &c.Plan, log, s.At)
	if err != nil {
		t.Fatal(err)
	}
	for i, o := range amended.Orders {
		if o.Pieces != want[i] {
			t.Errorf("%s: %d of %s ordered, want %d", c.Kind, o.Pieces, o.Bread, want[i])
		}
	}
	if again := replan(t, d, &c.Plan, s.At, log...); len(again) != 1 || again[0].Kind != schedule.Keep || len(again[0].Moves) > 0 {
		t.Errorf("once accepted: %d choices, %s", len(again), again[0].Kind)
	}
	back := replan(t, d, &c.Plan, s.At)[0]
	if diff := cmp.Diff(bakes(p), bakes(&back.Plan)); diff != "" || len(back.Plan.Lost) > 0 {
		t.Errorf("%s taken back: %s, lost %v", c.Kind, diff, back.Plan.Lost)
	}
}

func taskIn(p *schedule.Plan, id string) (schedule.Task, bool) {
	i := slices.IndexFunc(p.Tasks, func(k schedule.Task) bool { return k.ID == id })
	if i < 0 {
		return schedule.Task{}, false
	}
	return p.Tasks[i], true
}

// bakes is what a plan bakes and how much of it.
func bakes(p *schedule.Plan) map[string]int {
	out := map[string]int{}
	for _, k := range p.Tasks {
		if k.Kind == schedule.Bake {
			out[k.ID] = k.Pieces
		}
	}
	return out
}

// What is lost with a dough: all of it while it is whole, what is not taken yet
// once some is, one portion alone after that; with a preferment the dough it was
// for.
func TestLosses(t *testing.T) {
	t.Parallel()
	_, p := tearoom()
	first := taskOf(t, &p, func(k schedule.Task) bool { return k.Portion != "" && k.Batch == "A" })
	rise := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Rise && k.Batch == "A" && k.Part == "" })
	proof := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Proof && k.Portion == "A1" })
	poolish := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Rise && k.Part != "" })
	taken := schedule.Slip{ID: "0", Kind: schedule.Started, At: first.Start, Task: first.ID}
	for _, c := range []struct {
		name string
		at   schedule.Task
		log  []schedule.Slip
		want string
	}{
		{"the whole dough", rise, nil, "A1 A2 A3"},
		{"the whole dough, one portion taken", rise, []schedule.Slip{taken}, strings.TrimSpace(strings.ReplaceAll("A1 A2 A3", first.Portion, ""))},
		{"before the first is taken", first, nil, "A1 A2 A3"},
		{"one portion", proof, nil, "A1"},
		{"a preferment", poolish, nil, poolish.Batch + "1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := schedule.Slip{ID: "1", Kind: schedule.DoughLost, At: later(c.at.Start, c.at.End), Task: c.at.ID}
			var got []string
			for _, l := range p.Losses(append(slices.Clone(c.log), s)) {
				for _, q := range l.Batch.Portions {
					got = append(got, q.ID)
				}
			}
			if strings.Join(got, " ") != c.want {
				t.Errorf("lost: %v, want %s", got, c.want)
			}
		})
	}
}

// later is halfway through a task.
func later(from, to time.Time) time.Time { return from.Add(to.Sub(from) / 2) }

// What cannot be thrown away is refused with what is wrong and a way out.
func TestValidateLost(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	proof := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Proof && k.Portion == "A1" })
	bake := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Bake && k.Batch == "C" })
	heat := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Preheat })
	poolish := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Rise && k.Part != "" })
	mix := taskOf(t, &p, func(k schedule.Task) bool {
		return k.Kind == schedule.Mix && k.Batch == poolish.Batch && k.Part == ""
	})
	potato := taskOf(t, &p, func(k schedule.Task) bool { return k.Batch == "C" && k.Kind == schedule.Mix })
	lost := lostAt(proof)
	for _, c := range []struct {
		name string
		log  []schedule.Slip
		want string // in the fault; "" for none
	}{
		{"a portion", []schedule.Slip{lost}, ""},
		{"twice", []schedule.Slip{lost, lostAt(proof)}, "thrown away with its dough"},
		{"done after it was thrown away", []schedule.Slip{lost, {Kind: schedule.Done, At: proof.End, Task: bakeOf(t, &p, "A1").ID}}, "thrown away with its dough"},
		{"an oven", []schedule.Slip{{Kind: schedule.DoughLost, At: heat.End, Task: heat.ID}}, "is no dough"},
		{"before it is mixed", []schedule.Slip{{Kind: schedule.DoughLost, At: p.Tasks[0].Start, Task: bake.ID}}, "is not begun"},
		{"a preferment that is mixed in", []schedule.Slip{
			{Kind: schedule.Done, At: mix.End, Task: mix.ID}, {Kind: schedule.DoughLost, At: mix.End, Task: poolish.ID},
		}, "has gone into the dough"},
		{"what is all taken", []schedule.Slip{
			{Kind: schedule.Started, At: bake.Start, Task: bake.ID}, {Kind: schedule.DoughLost, At: bake.Start, Task: potato.ID},
		}, "nothing is left"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			fs := schedule.ValidateLog(d, &p, c.log, p.Tasks[len(p.Tasks)-1].End)
			switch {
			case c.want == "" && len(fs) > 0:
				t.Errorf("refused: %v", fs)
			case c.want != "" && (len(fs) == 0 || !strings.Contains(fs[0].What, c.want) || fs[0].Remedy == ""):
				t.Errorf("%+v, want %q", fs, c.want)
			}
		})
	}
}

func bakeOf(tb testing.TB, p *schedule.Plan, portion string) schedule.Task {
	return taskOf(tb, p, func(k schedule.Task) bool { return k.Kind == schedule.Bake && k.Portion == portion })
}

// Two doughs thrown away one after the other, at random, each time the first
// choice accepted: letters are never used again, and what is lost twice is lost.
func TestLostTwice(t *testing.T) {
	t.Parallel()
	d, first := tearoom()
	for seed := range uint64(8) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(seed, 11))
			p, now, letters := first, first.Tasks[4].End, map[string]string{}
			var log []schedule.Slip
			for i := range 2 {
				now = now.Add(time.Duration(r.IntN(120)) * time.Minute)
				under := slices.DeleteFunc(slices.Clone(p.Tasks), func(k schedule.Task) bool {
					return !k.Kind.Rises() || k.Start.After(now) || !k.End.After(now)
				})
				if len(under) == 0 {
					return
				}
				log = append(log, schedule.Slip{ID: fmt.Sprint(i), Kind: schedule.DoughLost, At: now, Task: under[r.IntN(len(under))].ID})
				c := replan(t, d, &p, now, log...)[0]
				honest(t, d, &schedule.Choice{Kind: c.Kind, Plan: c.Plan, Risks: c.Risks, Broken: c.Broken}, log, now)
				if p = c.Plan; len(p.Lost) != i+1 {
					t.Errorf("%d losses", len(p.Lost))
				}
				for _, b := range p.Batches {
					if was, there := letters[b.ID]; there && was != b.Dough {
						t.Errorf("%s was %s, is %s", b.ID, was, b.Dough)
					}
					letters[b.ID] = b.Dough
				}
				for _, l := range p.Lost {
					if slices.ContainsFunc(p.Batches, func(b schedule.Batch) bool {
						return slices.ContainsFunc(b.Portions, func(q schedule.Portion) bool {
							return slices.ContainsFunc(l.Batch.Portions, func(o schedule.Portion) bool { return o.ID == q.ID })
						})
					}) {
						t.Errorf("%v is lost and made", l.Batch.Portions)
					}
				}
			}
		})
	}
}

// Of an order lowered before its dough is begun fewer pieces are made; after that
// all. An order promised later may be baked later.
func TestOrderLowered(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	loaf := slices.IndexFunc(d.Orders, func(o schedule.Order) bool { return o.Bread == "potato-loaf" })
	begin := taskOf(t, &p, func(k schedule.Task) bool { return k.Name == "Potato loaf" }).Start
	for _, c := range []struct {
		at   time.Time
		want int
	}{{begin.Add(-time.Minute), 2}, {begin.Add(time.Minute), d.Orders[loaf].Pieces}} {
		s := schedule.Slip{ID: "1", Kind: schedule.OrderLowered, At: c.at, Order: loaf, Pieces: 2}
		best := replan(t, d, &p, c.at, s)[0]
		if got := piecesOf(d, &best.Plan)[loaf]; got != c.want || len(best.Broken) > 0 {
			t.Errorf("lowered at %s: %d pieces, want %d; broken %v", c.at.Format("15:04"), got, c.want, best.Broken)
		}
	}
	proof := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Proof && k.Name == "Potato loaf" })
	slow := schedule.Slip{ID: "1", Kind: schedule.NotYet, At: proof.End, Task: proof.ID, Minutes: 60}
	best := replan(t, d, &p, slow.At, slow)[0]
	if len(best.Late) != 1 || best.Late[0].Order != loaf {
		t.Fatalf("late: %v", best.Late)
	}
	due, err := d.Orders[loaf].Promise().In(begin.Location())
	if err != nil {
		t.Fatal(err)
	}
	told := schedule.Slip{ID: "2", Kind: schedule.OrderLater, At: slow.At, Order: loaf, To: due.Add(time.Duration(best.Late[0].By) * time.Minute)}
	if got := replan(t, d, &p, slow.At, slow, told)[0]; got.LateTotal > 0 {
		t.Errorf("promised as late as it comes, it is late: %v", got.Late)
	}
}

// What a dough has taught stays taught when it is thrown away.
func TestLostHasTaught(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	proof := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Proof && k.Portion == "A1" })
	seen := schedule.Slip{ID: "1", Kind: schedule.Volume, At: later(proof.Start, proof.End), Task: proof.ID, Expansion: 1.3}
	lost := lostAt(proof)
	want, err := schedule.Observe(d, &p, []schedule.Slip{seen}, lost.At)
	if err != nil || len(want) != 1 {
		t.Fatal(want, err)
	}
	without := replan(t, d, &p, lost.At, seen, lost)[0].Plan
	for name, plan := range map[string]*schedule.Plan{"said": &p, "accepted": &without} {
		got, err := schedule.Observe(d, plan, []schedule.Slip{seen, lost}, lost.At)
		if diff := cmp.Diff(want, got); diff != "" || err != nil {
			t.Errorf("%s: %s %v", name, diff, err)
		}
	}
}

// Doughs thrown away among other things that happen, at random, any choice
// accepted each time: every plan offered says of itself just what the judge finds,
// and once accepted it stays.
func TestLostAmongOthers(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"example", "hot-afternoon", "three-breads-one-dough"} {
		d := dayOf(t, name)
		p := planned(t, d)
		for seed := range uint64(8) {
			t.Run(fmt.Sprint(name, " ", seed), func(t *testing.T) {
				t.Parallel()
				lostAmong(t, rand.New(rand.NewPCG(seed, 5)), d, p)
			})
		}
	}
}

func lostAmong(t *testing.T, r *rand.Rand, d *schedule.Day, p schedule.Plan) {
	first, last := p.Tasks[0].Start, p.Tasks[len(p.Tasks)-1].Start
	now := first.Add(time.Duration(r.Int64N(int64(last.Sub(first))))).Truncate(time.Minute)
	var log []schedule.Slip
	for i := range 3 {
		s := randomSlip(r, d, &p, now)
		under := slices.DeleteFunc(slices.Clone(p.Tasks), func(k schedule.Task) bool {
			return k.Batch == "" || k.Start.After(now) || k.End.Before(now.Add(-10*time.Minute))
		})
		if i != 1 && len(under) > 0 {
			s = schedule.Slip{Kind: schedule.DoughLost, At: now, Task: under[r.IntN(len(under))].ID}
		}
		s.ID = fmt.Sprint(i)
		next := append(slices.Clone(log), s)
		if len(schedule.ValidateLog(d, &p, next, now)) > 0 {
			continue // it contradicts what was said before
		}
		log = next
		cs := replan(t, d, &p, now, log...)
		for i := range cs {
			found, err := schedule.CheckFrom(d, &cs[i].Plan, log, now)
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range found {
				same := func(w schedule.Violation) bool { return cmp.Equal(v, w) }
				if v.Code != schedule.LatePromise && !slices.ContainsFunc(slices.Concat(cs[i].Risks, cs[i].Broken), same) {
					t.Errorf("%+v: %s: not said: %+v", log, cs[i].Kind, v)
				}
			}
		}
		p = cs[r.IntN(len(cs))].Plan
		if again := replan(t, d, &p, now, log...); again[0].Kind != schedule.Keep || len(again[0].Moves) > 0 {
			t.Errorf("%+v: once accepted, it is %s with %d moves", log, again[0].Kind, len(again[0].Moves))
		}
		now = now.Add(time.Duration(r.IntN(40)) * time.Minute)
	}
}
