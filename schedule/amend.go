package schedule

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"time"

	"ovenward/schedule/unit"
)

// Amend is the day as its log has made it by now: orders added, changed and
// dropped, people away, slow ovens, places as they were measured. An order
// dropped stays in the list, with the pieces that are made all the same because
// their dough had been begun; p is the plan that says so. What was thrown away
// and is left out by the plan is taken off its order.
func Amend(d *Day, p *Plan, log []Slip, now time.Time) (*Day, error) {
	a, err := amend(d, p.putBack(log, now), log, now, false)
	if err != nil {
		return nil, err
	}
	return a.day, nil
}

// amended is a day after its log, with the batches it takes.
type amended struct {
	day     *Day
	loc     *time.Location
	now     time.Time
	batches []batchPlan
	changed map[string]bool // by batch: what is in it is not what the plan had
	closed  map[string][]closure
	lost    []Loss
	fewer   map[int]bool    // orders that are for fewer than they were
	taken   map[string]bool // letters of batches that are or were
}

// closure is a time an oven cannot be used.
type closure struct{ from, to time.Time }

// amend is Amend with the batches; leave says that what the plan has not yet
// accounted for of what was thrown away is left out, not made again.
func amend(d *Day, p *Plan, log []Slip, now time.Time, leave bool) (*amended, error) {
	loc, err := d.Location()
	if err != nil {
		return nil, err
	}
	day := *d
	a := &amended{day: &day, loc: loc, now: now, changed: map[string]bool{}, closed: map[string][]closure{}, taken: map[string]bool{}, fewer: map[int]bool{}}
	a.lost = p.Losses(log)
	for i := range a.lost {
		l := &a.lost[i]
		l.LeftOut = l.LeftOut || leave && !p.knows(l)
		a.taken[l.Batch.ID] = true
	}
	k := &day.Kitchen
	k.Places, k.Ovens, k.Bakers = slices.Clone(k.Places), slices.Clone(k.Ovens), slices.Clone(k.Bakers)
	day.Orders = slices.Clone(day.Orders)
	for _, s := range log {
		a.apply(s, p)
	}
	return a, a.fill(p, log)
}

// apply takes one slip into the day.
func (a *amended) apply(s Slip, p *Plan) {
	k := &a.day.Kitchen
	from, to := s.span(a.loc)
	switch s.Kind {
	case RoomIs:
		for i := range k.Places {
			if k.Places[i].Name == s.Of {
				k.Places[i].Curve = k.Places[i].measured(s.At.In(a.loc), p.begin(), s.Celsius)
			}
		}
	case OvenSlow:
		for i := range k.Ovens {
			if k.Ovens[i].Name == s.Of {
				k.Ovens[i].Heat *= unit.Kelvins(s.Share)
			}
		}
	case OvenOut:
		a.closed[s.Of] = append(a.closed[s.Of], closure{from, to})
	case Away, Stays, AsUsual:
		k.Bakers = People(k.Bakers, []Slip{s}, a.loc)
	case OrderAdded:
		a.day.Orders = append(a.day.Orders, *s.New)
	case OrderRaised:
		a.day.Orders[s.Order].Pieces = s.Pieces
	case OrderLowered:
		a.fewer[s.Order] = true
		a.day.Orders[s.Order].Pieces = min(a.day.Orders[s.Order].Pieces, s.Pieces)
	case OrderLater:
		a.day.Orders[s.Order].promise(WallOf(s.To.In(a.loc)))
	case OrderDropped:
		a.day.Orders[s.Order].Pieces = 0
	case DoughLost:
		a.leaveOut(s.ID)
	case NotYet: // an oven that is not hot yet
		if t := p.Task(s.Task); t != nil && t.Kind == Preheat {
			a.closed[t.Oven] = append(a.closed[t.Oven], closure{from, s.At.Add(minutes(s.Minutes))})
		}
	}
}

// span is from when to when a slip holds, to the minute.
func (s Slip) span(loc *time.Location) (from, to time.Time) {
	from, to = s.From, s.To
	if from.IsZero() {
		from = s.At
	}
	if to.IsZero() {
		to = from.Add(24 * time.Hour)
	}
	return from.In(loc).Truncate(time.Minute), to.In(loc).Truncate(time.Minute)
}

// begin is the plan's first moment, be it of what was thrown away since.
func (p *Plan) begin() time.Time {
	var begin time.Time
	first := func(all []Task) {
		for _, t := range all {
			if begin.IsZero() || t.Start.Before(begin) {
				begin = t.Start
			}
		}
	}
	first(p.Tasks)
	for _, l := range p.Lost {
		first(l.Tasks)
	}
	if begin.IsZero() {
		return p.Made
	}
	return begin
}

// measured is a place's curve from a moment on as far off as it was measured
// then. The hours before, since the plan began, stay as they were forecast.
func (p *Place) measured(at, begin time.Time, is unit.Celsius) []Reading {
	const day, least = 24 * 60, 6 * 60
	from := 60*at.Hour() + at.Minute()
	lasts := day - min(max(int(at.Sub(begin).Minutes()), 1), day-least)
	off := is - p.At(float64(from))
	knots := []int{from - 1, from, from + lasts - 1, from + lasts}
	for _, r := range p.Curve {
		knots = append(knots, int(r.At))
	}
	for i, m := range knots {
		knots[i] = (m + day) % day
	}
	slices.Sort(knots)
	var curve []Reading
	for _, m := range slices.Compact(knots) {
		c := p.At(float64(m))
		if (m-from+day)%day < lasts {
			c += off
		}
		curve = append(curve, Reading{At: Clock(m), Celsius: c})
	}
	return curve
}

// leaveOut takes what was thrown away, and is not made again, off its orders.
func (a *amended) leaveOut(slip string) {
	for i := range a.lost {
		if l := &a.lost[i]; l.Slip == slip && l.LeftOut {
			for o := range a.day.Orders {
				a.day.Orders[o].Pieces = max(0, a.day.Orders[o].Pieces-l.Pieces(o))
			}
		}
	}
}

// fill brings the plan's batches to what is ordered now. What is mixed stays as
// it is; the rest loses what is not ordered any more. What was added, or is to be
// made again, goes into batches not yet begun or into new ones.
func (a *amended) fill(p *Plan, log []Slip) error {
	started, mixed := p.startedBatches(log, a.now)
	have, spare := make([]int, len(a.day.Orders)), a.yetToBegin(p, started)
	for i := range p.Batches {
		b, err := p.batchPlan(a.day, i)
		if err != nil {
			return err
		}
		a.taken[b.ID] = true
		if !started[b.ID] {
			a.shrink(b, spare)
		}
		a.keepPortions(b, mixed[b.ID], have)
		if len(b.portions) > 0 {
			a.batches = append(a.batches, *b)
		}
	}
	for i := range a.day.Orders {
		o := &a.day.Orders[i]
		if extra := o.Pieces - have[i]; extra > 0 {
			made, err := a.more(i, extra, started)
			if err != nil {
				return err
			}
			a.again(p, i, made)
		} else {
			o.Pieces = have[i]
		}
	}
	for i := range a.batches {
		a.batches[i].weigh(a.day, a.lost)
	}
	return nil
}

// again notes what is made in the place of what was thrown away of an order.
func (a *amended) again(p *Plan, order int, made []string) {
	for i := range a.lost {
		if l := &a.lost[i]; !l.LeftOut && !p.knows(l) && l.Pieces(order) > 0 {
			l.Again = append(l.Again, made...)
		}
	}
}

// keepPortions drops from a batch what was thrown away, and what is not ordered
// any more unless it is mixed, and counts the rest.
func (a *amended) keepPortions(b *batchPlan, mixed bool, have []int) {
	var left []portionPlan
	for _, q := range b.portions {
		if a.isLost(q.ID) {
			continue
		}
		if !mixed && a.day.Orders[q.Order].Pieces == 0 || q.Pieces == 0 {
			a.changed[b.ID] = true
			continue
		}
		q.due, _ = a.day.Orders[q.Order].Promise().In(a.loc)
		q.mass = pieceOfWhole(b.recipe.formula, q.bread) * unit.Grams(q.Pieces)
		have[q.Order] += q.Pieces
		left = append(left, q)
	}
	b.portions = left
}

func (a *amended) isLost(portion string) bool {
	return slices.ContainsFunc(a.lost, func(l Loss) bool { return l.portion(portion) })
}

// yetToBegin is how much of every order is wanted beyond what is begun.
func (a *amended) yetToBegin(p *Plan, started map[string]bool) []int {
	out := make([]int, len(a.day.Orders))
	for i, o := range a.day.Orders {
		out[i] = o.Pieces
	}
	for _, b := range p.Batches {
		for _, q := range b.Portions {
			if started[b.ID] && !a.isLost(q.ID) {
				out[q.Order] -= q.Pieces
			}
		}
	}
	return out
}

// shrink makes what is not begun smaller where its order is for fewer now.
func (a *amended) shrink(b *batchPlan, spare []int) {
	for i := range b.portions {
		q := &b.portions[i]
		if n := max(0, spare[q.Order]); a.fewer[q.Order] && n < q.Pieces {
			a.changed[b.ID] = true
			q.Pieces, q.Trays = n, q.bread.Trays(n)
		}
		spare[q.Order] -= q.Pieces
	}
}

// more makes so many pieces more of an order, as portions of the IDs it gives.
func (a *amended) more(order, pieces int, started map[string]bool) (made []string, err error) {
	only := *a.day
	only.Orders = slices.Clone(only.Orders)
	only.Orders[order].Pieces = pieces
	portions, err := portionsOf(&only, order, a.loc)
	if err != nil {
		return nil, err
	}
	for _, q := range portions {
		r, _ := a.day.recipeOf(q.bread)
		at := slices.IndexFunc(a.batches, func(b batchPlan) bool {
			mass := q.mass
			for _, o := range b.portions {
				mass += o.mass
			}
			return !started[b.ID] && b.recipe.id == r.id && q.due.Sub(b.earliest()).Abs() <= shareWithin && mass <= mixLimit(a.day, r)
		})
		if at < 0 {
			at = len(a.batches)
			a.batches = append(a.batches, batchPlan{Batch: Batch{ID: a.letters(), Dough: r.id, Name: r.name}, recipe: r})
		}
		b := &a.batches[at]
		q.ID = b.nextID()
		b.portions = append(b.portions, q)
		a.changed[b.ID] = true
		made = append(made, q.ID)
	}
	return made, nil
}

// letters are the first that no batch has, or had.
func (a *amended) letters() string {
	for i := 0; ; i++ {
		if id := letters(i); !a.taken[id] {
			a.taken[id] = true
			return id
		}
	}
}

func (b *batchPlan) earliest() (due time.Time) {
	for _, q := range b.portions {
		if due.IsZero() || q.due.Before(due) {
			due = q.due
		}
	}
	return due
}

// nextID numbers one portion more.
func (b *batchPlan) nextID() string {
	longest := slices.MaxFunc(append([]portionPlan{{Portion: Portion{ID: b.ID + "0"}}}, b.portions...), func(x, y portionPlan) int {
		return cmp.Or(cmp.Compare(len(x.ID), len(y.ID)), cmp.Compare(x.ID, y.ID))
	})
	n := 0
	for _, c := range longest.ID[len(b.ID):] {
		n = 10*n + int(c-'0')
	}
	return b.ID + strconv.Itoa(n+1)
}

// weigh sums the batch up from its portions and from what was thrown away of it.
func (b *batchPlan) weigh(d *Day, lost []Loss) {
	b.Portions, b.due = nil, b.earliest()
	b.Mass, _ = lostOf(lost, b.ID, func(bread *Bread) unit.Grams { return pieceOfWhole(b.recipe.formula, bread) }, d)
	for _, q := range b.portions {
		b.Portions = append(b.Portions, q.Portion)
		b.Mass += q.mass
	}
	b.Mass = unit.Grams(math.Round(float64(b.Mass)))
}

// startedBatches are those with a task begun, and those whose dough is mixed.
func (p *Plan) startedBatches(log []Slip, now time.Time) (started, mixed map[string]bool) {
	started, mixed = map[string]bool{}, map[string]bool{}
	for _, t := range p.Tasks {
		if begunBy(log, t.ID) || t.Start.Before(now) {
			started[t.Batch] = true
			mixed[t.Batch] = mixed[t.Batch] || t.Kind == Mix && t.Part == ""
		}
	}
	return started, mixed
}
