package schedule

import (
	"cmp"
	"slices"
	"time"

	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// Check judges a plan for a day independently of the planner: it simulates every
// rise again and counts every resource again. An empty result means it holds.
// The day must pass Validate. Violations come by time, then code, task and
// resource; what only follows from a missing or misplaced task is left out.
func Check(d *Day, p *Plan) []Violation {
	c := newJudge(d, p)
	c.orders()
	c.batches()
	c.strangers()
	for _, b := range c.doughs {
		c.sequence(b)
		c.ferment(b)
		c.promises(b)
	}
	c.hands()
	c.mixers()
	c.ovens()
	c.loads()
	c.places()
	c.carriers()
	for i := range p.Tasks {
		if t := &p.Tasks[i]; t.Start.Before(p.Made) {
			c.breach(BeforeNow, t, "", t.Start, p.Made.Sub(t.Start))
		}
	}
	slices.SortFunc(c.found, func(a, b Violation) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Code, b.Code), cmp.Compare(a.Task, b.Task), cmp.Compare(a.Of, b.Of))
	})
	return c.found
}

// judge is a plan under examination.
type judge struct {
	day    *Day
	plan   *Plan
	loc    *time.Location
	slack  time.Duration
	bench  *Place
	origin time.Time // minute 0 of the air
	end    time.Time // no task is later
	air    map[string]*simulate.Air
	doughs []*dish
	known  map[*Task]bool // tasks that belong to a lane

	refused map[string]bool // batches that cannot be judged
	found   []Violation
}

func newJudge(d *Day, p *Plan) *judge {
	loc, err := d.Location()
	if err != nil {
		loc = time.UTC
	}
	c := &judge{day: d, plan: p, loc: loc, slack: 15 * time.Minute, air: map[string]*simulate.Air{}, known: map[*Task]bool{}, refused: map[string]bool{}}
	if d.Settings.Slack > 0 {
		c.slack = time.Duration(d.Settings.Slack) * time.Minute
	}
	if bench, ok := d.Kitchen.Place(""); ok {
		c.bench = bench
	} else {
		c.bench = &Place{Kind: Room, Curve: []Reading{{Celsius: 20}}}
	}
	c.origin, c.end = p.Made, p.Made
	for _, t := range p.Tasks {
		if t.Start.Before(c.origin) {
			c.origin = t.Start
		}
		if t.End.After(c.end) {
			c.end = t.End
		}
	}
	return c
}

func (c *judge) breach(code ViolationCode, t *Task, of string, at time.Time, by time.Duration) {
	v := Violation{Code: code, Of: of, At: at.In(c.loc), By: unit.Minutes(by.Minutes())}
	if t != nil {
		v.Task = t.ID
	}
	c.found = append(c.found, v)
}

// minutes is a length of time given in minutes.
func minutes[T ~int | ~float64](m T) time.Duration {
	return time.Duration(float64(m) * float64(time.Minute))
}

// use is something taken of a resource by a task.
type use struct {
	task     *Task
	from, to time.Time
	amount   int
}

// crowd reports every use that begins when there is no more room for it.
func (c *judge) crowd(code ViolationCode, of string, room int, uses []use) {
	slices.SortStableFunc(uses, func(a, b use) int { return cmp.Or(a.from.Compare(b.from), cmp.Compare(a.task.ID, b.task.ID)) })
	for i, u := range uses {
		if !u.from.Before(u.to) {
			continue
		}
		taken := u.amount
		free := u.to // when the first of the others ends
		for _, o := range uses[:i] {
			if o.to.After(u.from) && o.from.Before(o.to) {
				taken += o.amount
				if o.to.Before(free) {
					free = o.to
				}
			}
		}
		if taken > room {
			c.breach(code, u.task, of, u.from, free.Sub(u.from))
		}
	}
}
