package schedule

import (
	"cmp"
	"context"
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// AidCode says what would help.
type AidCode string

// What would help a day under way, what costs a customer nothing first.
const (
	AidStay  AidCode = "stay"  // somebody stays longer, or comes sooner
	AidHands AidCode = "hands" // one more pair, From To
	AidOven  AidCode = "oven"  // one more of each oven there is
	AidLater AidCode = "later" // orders are promised later
	AidFewer AidCode = "fewer" // an order is for fewer pieces
	AidDrop  AidCode = "drop"  // an order is not made
	AidLeave AidCode = "leave" // a bread is not made
)

// Aid is one thing with which a day under way keeps every promise that is left, as
// a repair has shown; or, of AidStay, is stuck no more, or at least much less late.
type Aid struct {
	Code  AidCode    `json:"code"`
	From  time.Time  `json:"from,omitzero"` // of AidHands
	To    time.Time  `json:"to,omitzero"`
	Asked []Asked    `json:"asked,omitempty"` // of AidStay
	Kept  []int      `json:"kept,omitempty"`  // of AidStay, orders that are late with the best choice, and not with it
	Late  []Lateness `json:"late,omitempty"`  // of AidStay, what is late with it
	Slips []Slip     `json:"slips,omitempty"` // what is to be said to take it, without IDs; none where it must be got first
}

// wayTooLate is by how many minutes bread is late that a customer must be told of.
const wayTooLate unit.Minutes = 15

// Stuck says whether every choice breaks something, harms a dough for as long, or is
// late by more than a customer might not notice.
func Stuck(cs []Choice) bool {
	return len(cs) > 0 && !slices.ContainsFunc(cs, func(c Choice) bool {
		return len(c.Broken) == 0 && c.harm() <= wayTooLate && !slices.ContainsFunc(c.Late, func(l Lateness) bool { return l.By > wayTooLate })
	})
}

// harm is by how many minutes doughs are taken outside their bounds in all: too
// young as well, for who waits for them is late.
func (c *Choice) harm() (m unit.Minutes) {
	for _, v := range c.Risks {
		m += v.By
	}
	return m
}

// mostAids is how much is offered.
const mostAids = 3

// Aids finds what would help where the choices of [Replan] are stuck: each is
// tried by a repair, and given if that is on time and harms no dough more than the
// choices do. At most three, what is cheapest for customers first. A ctx that ends
// leaves what was found by then. Where codes are given, only they are tried.
func Aids(ctx context.Context, d *Day, p *Plan, log []Slip, now time.Time, cs []Choice, only ...AidCode) ([]Aid, error) {
	h, err := newAider(ctx, d, p, log, now, cs)
	if h == nil || err != nil {
		return nil, err
	}
	var out []Aid
	for _, try := range h.tries() {
		if len(out) >= mostAids || ctx.Err() != nil {
			break
		}
		if len(only) > 0 && !slices.Contains(only, try.code) {
			continue
		}
		found, err := try.find()
		if err != nil && ctx.Err() == nil {
			return nil, err
		}
		out = append(out, found...)
	}
	return out[:min(len(out), mostAids)], nil
}

// Helps says whether an aid that was found before still helps, by one repair.
func (a Aid) Helps(ctx context.Context, d *Day, p *Plan, log []Slip, now time.Time, cs []Choice) (bool, error) {
	if len(a.Slips) == 0 {
		return false, nil
	}
	h, err := newAider(ctx, d, p, log, now, cs)
	if h == nil || err != nil {
		return false, err
	}
	slips := slices.Clone(a.Slips)
	for i := range slips {
		slips[i].At = now
	}
	if len(ValidateLog(d, p, slices.Concat(log, slips), now)) > 0 {
		return false, nil
	}
	if a.Code == AidStay {
		c, err := h.better(slips...)
		return c != nil, err
	}
	c, _, err := h.keeps(d, slips...)
	return c != nil, err
}

func newAider(ctx context.Context, d *Day, p *Plan, log []Slip, now time.Time, cs []Choice) (*aider, error) {
	day, err := Amend(d, p, log, now)
	if err != nil || len(cs) == 0 {
		return nil, err
	}
	h := &aider{ctx: ctx, day: d, amended: day, plan: p, log: log, now: now, choices: cs}
	for i := range cs {
		if risk := cs[i].harm(); i == 0 || risk < h.risk {
			h.risk = risk
		}
	}
	return h, nil
}

// aidTry is a way of finding aids of a kind.
type aidTry struct {
	code AidCode
	find func() ([]Aid, error)
}

// tries are all, what is cheapest for customers first.
func (h *aider) tries() []aidTry {
	one := func(f func() (Aid, bool, error)) func() ([]Aid, error) {
		return func() ([]Aid, error) {
			a, ok, err := f()
			if !ok || err != nil || h.ctx.Err() != nil {
				return nil, err
			}
			return []Aid{a}, nil
		}
	}
	return []aidTry{
		{AidStay, h.stay}, {AidHands, one(h.hands)}, {AidOven, one(h.oven)},
		{AidLater, one(h.later)}, {AidFewer, one(h.fewer)}, {AidDrop, one(h.drop)}, {AidLeave, one(h.leave)},
	}
}

// aider tries what would help.
type aider struct {
	ctx     context.Context
	day     *Day // before the log
	amended *Day // after it
	plan    *Plan
	log     []Slip
	now     time.Time
	choices []Choice
	risk    unit.Minutes // the least of any choice
}

// keeps repairs a day with more said, and gives what is on time.
func (h *aider) keeps(d *Day, more ...Slip) (*Choice, []Choice, error) {
	cs, err := Replan(h.ctx, d, h.plan, slices.Concat(h.log, more), h.now, d.Settings)
	if err != nil || h.ctx.Err() != nil {
		return nil, nil, err
	}
	for i := range cs {
		if h.onTime(&cs[i]) {
			return &cs[i], cs, nil
		}
	}
	return nil, cs, nil
}

// onTime says whether a choice keeps everything, and harms no dough more than the
// choices there are.
func (h *aider) onTime(c *Choice) bool {
	return c.LateTotal == 0 && len(c.Broken) == 0 && c.harm() <= h.risk
}

// worthAsking is by how many minutes a day must be less late for somebody to be asked
// to stay, or to come sooner, where it is late all the same. Common practice, no
// source.
const worthAsking = 60

// cost is what a choice costs in weighted minutes late, with the minutes by which it
// harms doughs, and a day for everything that is broken.
func (c *Choice) cost() unit.Minutes {
	return c.LateTotal + c.harm() + unit.Minutes(minutesPerDay*len(c.Broken))
}

func cheapest(a, b Choice) int { return cmp.Compare(a.cost(), b.cost()) }

// better repairs the day with more said, and gives what is on time, stuck no more, or
// costs an hour less than any choice.
func (h *aider) better(more ...Slip) (*Choice, error) {
	cs, err := Replan(h.ctx, h.day, h.plan, slices.Concat(h.log, more), h.now, h.day.Settings)
	if err != nil || h.ctx.Err() != nil {
		return nil, err
	}
	c, best := slices.MinFunc(cs, cheapest), slices.MinFunc(h.choices, cheapest)
	saved := best.cost() - c.cost()
	if saved >= worthAsking || saved > wayTooLate && (h.onTime(&c) || !Stuck([]Choice{c})) {
		return &c, nil
	}
	return nil, nil
}

// stay asks people to stay longer, or to come sooner.
func (h *aider) stay() ([]Aid, error) {
	loc, err := h.amended.Location()
	if err != nil {
		return nil, err
	}
	says := func(asked []Asked) (out []Slip) {
		for _, a := range asked {
			out = append(out, Slip{Kind: Stays, At: h.now, Of: a.Baker, From: a.From, To: a.To})
		}
		return out
	}
	q := newAsking(h.ctx, h.amended.Kitchen.Bakers, h.now.Truncate(time.Minute).In(loc), &h.choices[0].Plan)
	q.try = func(asked []Asked) (*Plan, unit.Minutes, error) {
		c, err := h.better(says(asked)...)
		if c == nil || err != nil {
			return nil, 0, err
		}
		return &c.Plan, c.cost(), nil
	}
	all, err := q.find()
	var out []Aid
	for _, x := range all {
		a := Aid{Code: AidStay, Asked: x.asked, Slips: says(x.asked)}
		a.Kept, a.Late = h.against(x.plan)
		out = append(out, a)
	}
	return out, err
}

// against says which orders are on time in a plan and late in the best choice, and
// which are late in it.
func (h *aider) against(p *Plan) (kept []int, late []Lateness) {
	for i := range h.amended.Orders {
		by, was := unit.Minutes(p.Late(i).Minutes()), unit.Minutes(h.choices[0].Plan.Late(i).Minutes())
		switch {
		case by > 0:
			late = append(late, Lateness{Order: i, Bread: h.amended.Orders[i].Bread, By: by, Was: was})
		case was > 0:
			kept = append(kept, i)
		}
	}
	return kept, late
}

func (h *aider) hands() (Aid, bool, error) {
	d := *h.day
	d.Kitchen.Bakers = append(slices.Clone(d.Kitchen.Bakers), Baker{Name: extra, Hours: []Hours{{To: minutesPerDay}}})
	c, _, err := h.keeps(&d)
	if c == nil {
		return Aid{}, false, err
	}
	from, to := c.Plan.atWork(extra)
	if from == nil {
		return Aid{}, false, nil
	}
	return Aid{Code: AidHands, From: *from, To: *to}, true, nil
}

func (h *aider) oven() (Aid, bool, error) {
	d := *h.day
	for _, o := range h.day.Kitchen.Ovens {
		o.Name += " " + extra
		d.Kitchen.Ovens = append(slices.Clone(d.Kitchen.Ovens), o)
	}
	c, _, err := h.keeps(&d)
	return Aid{Code: AidOven}, c != nil, err
}

// mostPutOff is how often promises are put off for what was late with the last.
const mostPutOff = 3

// later promises what is late for the next five minutes after it comes.
func (h *aider) later() (Aid, bool, error) {
	sound := slices.DeleteFunc(slices.Clone(h.choices), func(c Choice) bool { return len(c.Broken) > 0 })
	if len(sound) == 0 {
		return Aid{}, false, nil
	}
	best := slices.MinFunc(sound, func(a, b Choice) int { return cmp.Compare(a.LateTotal, b.LateTotal) })
	late := map[int]unit.Minutes{}
	for range mostPutOff {
		for _, l := range best.Late {
			if l.By > 0 {
				late[l.Order] += l.By
			}
		}
		slips, err := h.putOff(late)
		if err != nil {
			return Aid{}, false, err
		}
		c, cs, err := h.keeps(h.day, slips...)
		if c != nil || err != nil || len(cs) == 0 {
			return Aid{Code: AidLater, Slips: slips}, c != nil, err
		}
		best = cs[0]
	}
	return Aid{}, false, nil
}

// putOff are the promises of orders so many minutes later.
func (h *aider) putOff(late map[int]unit.Minutes) ([]Slip, error) {
	loc, err := h.amended.Location()
	if err != nil {
		return nil, err
	}
	var out []Slip
	for i := range h.amended.Orders {
		if late[i] == 0 {
			continue
		}
		due, err := h.amended.Orders[i].Promise().In(loc)
		if err != nil {
			return nil, err
		}
		to := due.Add(minutes(late[i]) + 5*time.Minute - time.Nanosecond).Truncate(5 * time.Minute)
		out = append(out, Slip{Kind: OrderLater, At: h.now, Order: i, To: to})
	}
	return out, nil
}

// open are the orders that something can still be left out of, the lightest first.
func (h *aider) open() (orders []int) {
	started, _ := h.plan.startedBatches(h.log, h.now)
	begun := make([]int, len(h.amended.Orders))
	for _, b := range h.plan.Batches {
		for _, q := range b.Portions {
			if started[b.ID] {
				begun[q.Order] += q.Pieces
			}
		}
	}
	for i, o := range h.amended.Orders {
		if o.Pieces > begun[i] {
			orders = append(orders, i)
		}
	}
	slices.SortStableFunc(orders, func(a, b int) int { return cmp.Compare(h.weight(a), h.weight(b)) })
	return orders
}

// weight is how much an order matters.
func (h *aider) weight(order int) float64 {
	o := h.amended.Orders[order]
	b, ok := h.amended.Bread(o.Bread)
	if !ok {
		return 0
	}
	return float64(b.Piece) * float64(o.Pieces) * float64(max(1, o.Weight))
}

// fewer takes half off an order, or a quarter where that will do.
func (h *aider) fewer() (Aid, bool, error) {
	for _, i := range h.open() {
		var out Aid
		for _, part := range []int{2, 4} {
			n := h.amended.Orders[i].Pieces
			s := Slip{Kind: OrderLowered, At: h.now, Order: i, Pieces: n - n/part}
			if n/part == 0 {
				break
			}
			c, _, err := h.keeps(h.day, s)
			if err != nil {
				return out, false, err
			}
			if c == nil {
				break
			}
			out = Aid{Code: AidFewer, Slips: []Slip{s}}
		}
		if out.Code != "" {
			return out, true, nil
		}
	}
	return Aid{}, false, nil
}

func (h *aider) drop() (Aid, bool, error) {
	for _, i := range h.open() {
		s := Slip{Kind: OrderDropped, At: h.now, Order: i}
		if c, _, err := h.keeps(h.day, s); c != nil || err != nil {
			return Aid{Code: AidDrop, Slips: []Slip{s}}, c != nil, err
		}
	}
	return Aid{}, false, nil
}

// leave drops every order of a bread that has several.
func (h *aider) leave() (Aid, bool, error) {
	for _, b := range h.amended.Breads {
		var slips []Slip
		for _, i := range h.open() {
			if h.amended.Orders[i].Bread == b.ID {
				slips = append(slips, Slip{Kind: OrderDropped, At: h.now, Order: i})
			}
		}
		if len(slips) < 2 {
			continue
		}
		if c, _, err := h.keeps(h.day, slips...); c != nil || err != nil {
			return Aid{Code: AidLeave, Slips: slips}, c != nil, err
		}
	}
	return Aid{}, false, nil
}
