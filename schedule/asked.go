package schedule

import (
	"context"
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// Asked is somebody asked to be there beyond the hours.
type Asked struct {
	Baker string       `json:"baker"`
	From  time.Time    `json:"from"`
	To    time.Time    `json:"to"`
	Comes bool         `json:"comes,omitempty"`        // sooner: the hours begin at To; else stays after they ended at From
	Rest  unit.Minutes `json:"rest_minutes,omitempty"` // left between work and work, where that is short
}

// Longer is by how many minutes.
func (a Asked) Longer() unit.Minutes { return unit.Minutes(a.To.Sub(a.From).Minutes()) }

const (
	// mostAsked is for how many minutes anybody is asked. Common practice, no source.
	mostAsked = 120
	// askedBy is in what minutes people are asked, and so how near the least is found.
	askedBy = 5
	// noticed is how many minutes ahead somebody must be told who comes sooner. Common
	// practice, no source.
	noticed = 30
	// shortRest is the rest between work and work below which it is said: eleven hours
	// in every day (Directive 2003/88/EC, article 3, from memory).
	shortRest = 11 * 60
	// breakTime is what is a break of the day, and no night, between hours as they
	// usually are. Common practice, no source.
	breakTime = 6 * 60
	// mostAskings is how many groups of people are given, mostTries how often a day is
	// planned to find them.
	mostAskings = 2
	mostTries   = 16
)

// with are bakers who stay or come as asked.
func with(bs []Baker, asked []Asked) []Baker {
	bs = slices.Clone(bs)
	for _, a := range asked {
		for i := range bs {
			if bs[i].Name == a.Baker {
				bs[i].Stays = append(slices.Clone(bs[i].Stays), Span{WallOf(a.From), WallOf(a.To)})
			}
		}
	}
	return bs
}

// cut is less of what is asked, beside the hours.
func (a Asked) cut(m int) Asked {
	if a.Comes {
		a.From = a.To.Add(-time.Duration(m) * time.Minute)
	} else {
		a.To = a.From.Add(time.Duration(m) * time.Minute)
	}
	return a
}

// used is what a plan uses of what is asked, in steps of askedBy.
func (p *Plan) used(asked []Asked) (out []Asked) {
	for _, a := range asked {
		m := 0
		for _, t := range p.Tasks {
			for _, h := range t.Hands {
				if h.Baker != a.Baker || !h.From.Before(a.To) || !h.To.After(a.From) {
					continue
				}
				if a.Comes {
					m = max(m, int(a.To.Sub(h.From).Minutes()))
				} else {
					m = max(m, int(h.To.Sub(a.From).Minutes()))
				}
			}
		}
		if m > 0 {
			out = append(out, a.cut(min((m+askedBy-1)/askedBy*askedBy, int(a.Longer()))))
		}
	}
	return out
}

// longer is by how many minutes all that is asked is.
func longer(asked []Asked) (m unit.Minutes) {
	for _, a := range asked {
		m += a.Longer()
	}
	return m
}

// mayBeAsked is all that may be asked of somebody between two moments: to stay where
// the hours end, to come where they begin.
func (b *Baker) mayBeAsked(from, to time.Time) (out []Asked) {
	const step = time.Minute
	here := func(at time.Time) bool { return b.AtWork(at, at.Add(step)) }
	was := here(from.Add(-step))
	for at := from; at.Before(to); at = at.Add(step) {
		is := here(at)
		a := Asked{Baker: b.Name, From: at, To: at}
		switch {
		case was && !is:
			for m := 0; m < mostAsked && !here(a.To) && !b.away(a.To, a.To.Add(step)); m++ {
				a.To = a.To.Add(step)
			}
		case !was && is:
			first := from.Add(noticed * time.Minute)
			for m := 0; m < mostAsked && a.From.After(first) && !here(a.From.Add(-step)) && !b.away(a.From.Add(-step), a.From); m++ {
				a.From = a.From.Add(-step)
			}
			a.Comes = true
		}
		if a.From.Before(a.To) {
			out = append(out, a)
		}
		was = is
	}
	return out
}

// rested says how long people rest who do as asked, where that is short.
func rested(bs []Baker, asked []Asked) {
	for i := range asked {
		a := &asked[i]
		b := with(bs, asked)[slices.IndexFunc(bs, func(b Baker) bool { return b.Name == a.Baker })]
		at, step := a.To, time.Minute
		if a.Comes {
			at, step = a.From.Add(-time.Minute), -time.Minute
		}
		m := 0
		for ; m < shortRest && !b.AtWork(at, at.Add(time.Minute)); m++ {
			at = at.Add(step)
		}
		if m < shortRest && m+int(a.Longer()) >= breakTime {
			a.Rest = unit.Minutes(m)
		}
	}
}

// askedPlan is what becomes of a day with people asked.
type askedPlan struct {
	asked []Asked
	plan  *Plan
	cost  unit.Minutes
}

// asking looks for whom to ask to be there beyond the hours, so that what is late or
// broken for want of hands is so no more, or much less.
type asking struct {
	ctx         context.Context
	bakers      []Baker
	from, until time.Time // what is asked lies between
	// try plans the day with people as asked, and says what it then costs; no plan where
	// that does not help.
	try   func(asked []Asked) (p *Plan, cost unit.Minutes, err error)
	tries int
}

// newAsking asks bakers from a moment until all of a plan is over.
func newAsking(ctx context.Context, bakers []Baker, from time.Time, p *Plan) *asking {
	q := &asking{ctx: ctx, bakers: bakers, from: from, until: from}
	for _, t := range p.Tasks {
		q.until = Later(q.until, t.End.In(from.Location()))
	}
	return q
}

// with is try, as often as that is worth; nil where it does not help.
func (q *asking) with(asked []Asked) (*askedPlan, error) {
	if q.tries == mostTries || len(asked) == 0 || q.ctx.Err() != nil {
		return nil, nil
	}
	q.tries++
	p, cost, err := q.try(asked)
	if p == nil || err != nil || len(p.used(asked)) == 0 {
		return nil, err
	}
	return &askedPlan{asked, p, cost}, nil
}

// find gives whom to ask, the fewest minutes in all first: everybody is let stay and
// come at first, then who did one by one, and only as long as it takes.
func (q *asking) find() (out []*askedPlan, err error) {
	var everybody []Asked
	for i := range q.bakers {
		everybody = append(everybody, q.bakers[i].mayBeAsked(q.from, q.until)...)
	}
	all, err := q.with(everybody)
	if all == nil || err != nil {
		return nil, err
	}
	for _, name := range q.inTurn(all.plan.used(everybody)) {
		if len(out) == mostAskings {
			break
		}
		alone := slices.DeleteFunc(slices.Clone(everybody), func(a Asked) bool { return a.Baker != name })
		one, err := q.with(alone)
		if err != nil {
			return nil, err
		}
		if one != nil {
			if one, err = q.least(one); err != nil {
				return nil, err
			}
			out = append(out, one)
		}
	}
	if len(out) == 0 {
		if all, err = q.least(all); err != nil {
			return nil, err
		}
		out = append(out, all)
	}
	slices.SortStableFunc(out, func(a, b *askedPlan) int { return int(longer(a.asked) - longer(b.asked)) })
	for _, x := range out {
		rested(q.bakers, x.asked)
	}
	return out, nil
}

// inTurn are the people to be asked alone: those who were needed with all, the least
// first, and after them others; of several alike, one.
func (q *asking) inTurn(needed []Asked) (names []string) {
	var turn []Baker
	add := func(b Baker) {
		alike := func(o Baker) bool {
			return o.Name == b.Name || slices.Equal(o.Hours, b.Hours) && slices.Equal(o.Away, b.Away) && slices.Equal(o.Stays, b.Stays) && sameKinds(o.Cannot, b.Cannot)
		}
		if !slices.ContainsFunc(turn, alike) {
			turn = append(turn, b)
			names = append(names, b.Name)
		}
	}
	needed = slices.Clone(needed)
	slices.SortStableFunc(needed, func(a, b Asked) int { return int(a.Longer() - b.Longer()) })
	for _, a := range needed {
		add(q.bakers[slices.IndexFunc(q.bakers, func(b Baker) bool { return b.Name == a.Baker })])
	}
	for _, b := range q.bakers {
		add(b)
	}
	return names
}

// least asks for no more than it takes: what the plan used, and then half of that and
// so on, of one after the other, as long as it is no later for it.
func (q *asking) least(best *askedPlan) (*askedPlan, error) {
	most := best.cost + askedBy
	// less tries to do with less, and then with what that used.
	less := func(asked []Asked) (ok bool, err error) {
		for longer(asked) < longer(best.asked) {
			x, err := q.with(asked)
			if x == nil || err != nil || x.cost > most {
				return ok, err
			}
			ok, best, asked = true, x, x.plan.used(asked)
		}
		return ok, nil
	}
	if _, err := less(best.plan.used(best.asked)); err != nil {
		return nil, err
	}
	for i := 0; i < len(best.asked); i++ {
		for lo := 0; i < len(best.asked) && int(best.asked[i].Longer())-lo > askedBy; {
			half := max(lo+askedBy, (lo+int(best.asked[i].Longer()))/2/askedBy*askedBy)
			n, next := len(best.asked), slices.Clone(best.asked)
			next[i] = next[i].cut(half)
			ok, err := less(next)
			if err != nil {
				return nil, err
			}
			if !ok {
				lo = half
			}
			if len(best.asked) < n { // without somebody altogether: from the beginning
				i, lo = 0, 0
			}
		}
	}
	return best, nil
}
