package schedule

import (
	"context"
	"math"
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// ChoiceKind says what a choice does, in the main.
type ChoiceKind string

// The kinds of choice. Words for them belong to the screen.
const (
	Keep      ChoiceKind = "keep"       // the times stay as they are
	Shift     ChoiceKind = "shift"      // what follows moves along
	SwapLoads ChoiceKind = "swap-loads" // the oven takes its loads in another order
	PutInCold ChoiceKind = "chill"      // a dough stands in the cold for a while
	PressOnce ChoiceKind = "knock-back" // a bulk rise is knocked back and rises again
	OutOfCold ChoiceKind = "take-out"   // a dough behind in the cold finishes its rise outside
	BakeNow   ChoiceKind = "bake-now"   // what is ready goes into the oven sooner than planned
	PartLate  ChoiceKind = "part-late"  // some promises are kept, others not
)

// Choice is one way to go on, with what it costs.
type Choice struct {
	Kind ChoiceKind `json:"kind"`
	Plan Plan       `json:"plan"`

	Late      []Lateness   `json:"late,omitempty"`    // by order, where late now or before
	LateTotal unit.Minutes `json:"late_minutes"`      // weighted
	Risks     []Violation  `json:"risks,omitempty"`   // rises and waits outside their bounds, and by how much
	Broken    []Violation  `json:"broken,omitempty"`  // what else it does not satisfy
	Rescues   []Rescued    `json:"rescues,omitempty"` // what is done to doughs from now on
	Moves     []Move       `json:"moves,omitempty"`   // work of hands and bakes that move, by new start
	Odds      Odds         `json:"odds"`              // of the rest of the day, rehearsed
}

// Lateness is how late an order is, and was in the plan before.
type Lateness struct {
	Order int          `json:"order"` // index in the amended day's orders
	Bread string       `json:"bread"` // ID
	By    unit.Minutes `json:"by_minutes"`
	Was   unit.Minutes `json:"was_minutes,omitempty"`
}

// Rescued is a rescue and the rise it is for.
type Rescued struct {
	Task string `json:"task"`
	Name string `json:"name"` // of the dough or bread
	Rescue
}

// Move is a task that begins at another time. A task that is new has no Was,
// one that is dropped no Start.
type Move struct {
	Task  string    `json:"task"`
	Was   time.Time `json:"was,omitzero"`
	Start time.Time `json:"start,omitzero"`
}

// AtRisk is by how many minutes rises and waits miss their bounds in all. Hands that
// come some minutes before a dough is expected to be ready put nothing at risk: they
// wait.
func (c *Choice) AtRisk() (m unit.Minutes) {
	for _, v := range c.Risks {
		if v.Code != TooEarly || v.By > mostLook+1 {
			m += v.By
		}
	}
	return m
}

// try is a way to plan the rest of the day: with what choices, moving which
// batches.
type try struct {
	choices
	free func(batch string) bool
}

// choices are what can be done, best first.
func (r *repair) choices(ctx context.Context) ([]Choice, error) {
	if r.untouched() {
		return []Choice{{Kind: Keep, Plan: *r.old, LateTotal: r.old.Outcome.LateTotal, Late: r.lateness(r.old)}}, nil
	}
	kept, possible := r.keep()
	keep := r.choice(kept)
	if possible && r.asBad(&keep) && (keep.LateTotal == 0 || !r.hastened(kept)) {
		keep.Kind = Keep
		return []Choice{keep}, nil
	}
	var found []Choice
	everything := func(string) bool { return true }
	good := func() bool {
		return slices.ContainsFunc(found, func(c Choice) bool { return c.holds() && c.LateTotal == 0 && c.Odds.Late < ruin })
	}
	hit := r.hit(&keep)
	struck := func(b string) bool { return len(hit) == len(r.jobs) || hit[b] }
	tries := []try{{choices{}, struck}}
	if len(hit) < len(r.jobs) {
		tries = append(tries, try{choices{}, everything})
	}
	plain := len(tries) // which is better is for their rehearsals to say
	tries = append(tries, try{choices{rescue: true}, everything})
	if r.over(kept) {
		tries = append(tries, try{choices{press: true}, everything})
	}
	for i, t := range tries {
		if i >= plain && good() {
			break
		}
		x, err := r.attempt(ctx, t.choices, t.free)
		if err != nil {
			return nil, err
		}
		if x != nil {
			found = append(found, *x)
		}
	}
	mended := func(c Choice) bool { return len(c.Broken) < len(keep.Broken) }
	possible = possible && !slices.ContainsFunc(found, mended)
	return r.sift(found, keep, possible), nil
}

// untouched says whether nothing has happened that the plan does not say.
func (r *repair) untouched() bool {
	for _, moved := range r.moved {
		if moved {
			return false
		}
	}
	return len(r.log) == 0
}

// holds says whether nothing is at risk or broken.
func (c *Choice) holds() bool { return c.AtRisk() == 0 && len(c.Broken) == 0 }

// asBad says whether keeping the times is no worse than what the old plan said
// of itself.
func (r *repair) asBad(keep *Choice) bool {
	worse := func(v Violation) bool {
		return !slices.ContainsFunc(r.old.Outcome.Broken, func(o Violation) bool {
			return o.Code == v.Code && o.Task == v.Task && o.By+1 >= v.By
		})
	}
	return keep.LateTotal <= r.old.Outcome.LateTotal && !slices.ContainsFunc(slices.Concat(keep.Risks, keep.Broken), worse)
}

// hastened says whether a rise to come is ready sooner than the old plan had it,
// so that something late may be less so.
func (r *repair) hastened(p *Plan) bool {
	return slices.ContainsFunc(p.Tasks, func(t Task) bool {
		return t.Window != nil && t.End.After(r.now) && slices.ContainsFunc(r.old.Tasks, func(o Task) bool {
			return o.ID == t.ID && o.Window != nil && o.Window.Ready.Sub(t.Window.Ready) >= tremble
		})
	})
}

// hit are the batches that cannot go on as planned.
func (r *repair) hit(keep *Choice) map[string]bool {
	out := map[string]bool{}
	for b, moved := range r.moved {
		if moved {
			out[b] = true
		}
	}
	for _, v := range slices.Concat(keep.Risks, keep.Broken) {
		for _, t := range keep.Plan.Tasks {
			if t.ID == v.Task {
				out[t.Batch] = true
			}
		}
	}
	for _, l := range keep.Late {
		for _, b := range keep.Plan.Batches {
			if l.By > l.Was && slices.ContainsFunc(b.Portions, func(q Portion) bool { return q.Order == l.Order }) {
				out[b.ID] = true
			}
		}
	}
	return out
}

// over says whether a bulk rise is said, or bound, to go too far.
func (r *repair) over(p *Plan) bool {
	for i := range p.Tasks {
		if t := &p.Tasks[i]; t.Kind == Rise && t.Window != nil && t.Start.Before(r.now) && t.End.After(r.now) {
			if t.End.After(t.Window.TooFar) || slices.ContainsFunc(r.log, func(s Slip) bool { return s.Kind == Over && s.Task == t.ID }) {
				return true
			}
		}
	}
	return false
}

// choice tells what a plan costs against the old one.
func (r *repair) choice(p *Plan) Choice {
	c := Choice{Plan: *p, LateTotal: lateness(r.day, p), Late: r.lateness(p), Moves: r.moves(p)}
	o := &c.Plan.Outcome
	o.Broken = nil
	for _, v := range r.check(p) {
		if v.Code != LatePromise {
			o.Broken = append(o.Broken, v)
		}
		switch v.Code {
		case LatePromise:
		case TooEarly, TooLate, BadWait:
			c.Risks = append(c.Risks, v)
		default:
			c.Broken = append(c.Broken, v)
		}
	}
	o.Kept = c.LateTotal == 0 && len(o.Broken) == 0
	for _, t := range p.Tasks {
		if t.Rescue != nil && !t.Rescue.To.Before(r.now) {
			c.Rescues = append(c.Rescues, Rescued{t.ID, t.Name, *t.Rescue})
		}
	}
	c.Kind = r.kind(&c)
	c.Odds = r.odds(p)
	return c
}

// lateness compares orders before and now.
func (r *repair) lateness(p *Plan) []Lateness {
	by, was := r.lateBy(p), r.lateBy(r.given)
	var out []Lateness
	for i, o := range r.day.Orders {
		if by[i] > 0 || was[i] > 0 && o.Pieces > 0 {
			out = append(out, Lateness{i, o.Bread, by[i], was[i]})
		}
	}
	return out
}

// lateBy is how late each order is.
func (r *repair) lateBy(p *Plan) []unit.Minutes {
	out := make([]unit.Minutes, len(r.day.Orders))
	for _, t := range p.Tasks {
		if t.Late > 0 {
			o := p.portion(t.Portion).Order
			out[o] = max(out[o], t.Late)
		}
	}
	return out
}

// moves are the tasks of hands and the bakes whose start is another.
func (r *repair) moves(p *Plan) []Move {
	was := map[string]*Task{}
	for i := range r.given.Tasks {
		if t := &r.given.Tasks[i]; len(t.Hands) > 0 && !(r.threw(t) && t.Start.Before(r.now)) {
			was[t.ID] = t
		}
	}
	var out []Move
	for i := range p.Tasks {
		t := &p.Tasks[i]
		if len(t.Hands) == 0 {
			continue
		}
		if old := was[t.ID]; old == nil && t.Start.Before(r.now) {
			continue // of dough that was not thrown away after all
		} else if old == nil {
			out = append(out, Move{Task: t.ID, Start: t.Start})
		} else if !old.Start.Equal(t.Start) && !t.Start.Before(r.now) {
			out = append(out, Move{t.ID, old.Start, t.Start})
		}
		delete(was, t.ID)
	}
	for i := range r.given.Tasks {
		if t := &r.given.Tasks[i]; was[t.ID] != nil {
			out = append(out, Move{Task: t.ID, Was: t.Start})
		}
	}
	return out
}

// kind says what a choice does in the main.
func (r *repair) kind(c *Choice) ChoiceKind {
	late, kept := 0, 0
	for i, by := range r.lateBy(&c.Plan) {
		if r.day.Orders[i].Pieces > 0 && by > 0 {
			late++
		} else if r.day.Orders[i].Pieces > 0 {
			kept++
		}
	}
	switch {
	case len(c.Moves) == 0 && !r.rescuedAnew(c, ChillAWhile) && !r.rescuedAnew(c, PressAgain) && !r.rescuedAnew(c, FinishWarm):
		return Keep
	case r.rescuedAnew(c, PressAgain):
		return PressOnce
	case r.rescuedAnew(c, ChillAWhile):
		return PutInCold
	case r.rescuedAnew(c, FinishWarm):
		return OutOfCold
	case !slices.Equal(r.loadOrder(r.old, &c.Plan), r.loadOrder(&c.Plan, r.old)):
		return SwapLoads
	case r.sooner(c):
		return BakeNow
	case late > 0 && kept > 0:
		return PartLate
	}
	return Shift
}

// rescuedAnew says whether there is a rescue of a kind that the old plan had not.
func (r *repair) rescuedAnew(c *Choice, k RescueKind) bool {
	return slices.ContainsFunc(c.Rescues, func(x Rescued) bool {
		return x.Kind == k && !slices.ContainsFunc(r.old.Tasks, func(t Task) bool {
			return t.ID == x.Task && t.Rescue != nil && t.Rescue.From.Equal(x.From) && (t.Rescue.To.Equal(x.To) || k == FinishWarm)
		})
	})
}

// loadOrder is the order in which the bakes go in that both plans have.
func (r *repair) loadOrder(p, other *Plan) []string {
	var out []string
	for _, t := range p.Tasks {
		if t.Kind == Bake && slices.ContainsFunc(other.Tasks, func(o Task) bool { return o.ID == t.ID }) {
			out = append(out, t.ID)
		}
	}
	return out
}

// sooner says whether the first bake that moves goes in earlier.
func (r *repair) sooner(c *Choice) bool {
	for _, m := range c.Moves {
		if i := slices.IndexFunc(c.Plan.Tasks, func(t Task) bool { return t.ID == m.Task && t.Kind == Bake }); i >= 0 && !m.Was.IsZero() {
			return m.Start.Before(m.Was)
		}
	}
	return false
}

// rank orders choices: nothing broken, doughs unharmed and promises kept as far as
// can be expected, few carryings and moves. What is expected less than worthMoving
// above least is alike.
func (c *Choice) rank(least float64) []float64 {
	moved := 0.0
	for _, m := range c.Moves {
		moved += m.Start.Sub(m.Was).Abs().Minutes()
		if m.Was.IsZero() || m.Start.IsZero() {
			moved = 0
		}
	}
	score := c.score()
	if score < least+worthMoving {
		score = least
	}
	return []float64{float64(len(c.Broken)), score, float64(c.AtRisk()), float64(c.LateTotal), float64(len(c.Rescues)), float64(len(c.Moves)), moved}
}

// ruin is by how many minutes more doughs may miss their bounds than by the best
// choice, for one to be offered at all.
const ruin = 60

// sift keeps the best of every kind, no more than three in all, and none that
// another is better than in every way.
func (r *repair) sift(found []Choice, keep Choice, possible bool) []Choice {
	keep.Kind = Keep
	least := math.Inf(1)
	for _, c := range found {
		least = min(least, c.score())
	}
	better := func(a, b Choice) int { return slices.Compare(a.rank(least), b.rank(least)) }
	slices.SortStableFunc(found, better)
	var out []Choice
	for _, c := range found {
		if c.AtRisk() > found[0].AtRisk()+ruin {
			continue
		}
		same := func(o Choice) bool { return o.Kind == c.Kind || dominates(&o, &c, least) }
		if c.Kind != Keep && !slices.ContainsFunc(out, same) && !(possible && keep.nearly(&c)) {
			out = append(out, c)
		}
	}
	if possible || len(out) == 0 {
		out = append(out[:min(len(out), 2)], keep)
		least = min(least, keep.score())
		slices.SortStableFunc(out, func(a, b Choice) int { return slices.Compare(a.rank(least)[:4], b.rank(least)[:4]) })
	}
	return out[:min(len(out), 3)]
}

// worthMoving is by how many weighted minutes something must be expected to be
// less late, or doughs less harmed, for moves to be worth it.
const worthMoving = 3

// nearly says whether moving gains next to nothing against keeping.
func (c *Choice) nearly(moved *Choice) bool {
	return len(c.Broken) <= len(moved.Broken) && c.score()-moved.score() < worthMoving
}

// dominates says whether b has nothing to offer against a, fewer moves only
// counting where all else is equal.
func dominates(a, b *Choice, least float64) bool {
	x, y := a.rank(least), b.rank(least)
	if c := slices.Compare(x[:5], y[:5]); c == 0 {
		return slices.Compare(x, y) <= 0
	}
	for i := range x[:5] {
		if x[i] > y[i] {
			return false
		}
	}
	return true
}
