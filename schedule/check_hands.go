package schedule

import (
	"slices"
	"time"
)

// hands wants everybody at work, able, and at one thing at a time, and somebody
// at every work.
func (c *judge) hands() {
	uses := map[string][]use{}
	for i := range c.plan.Tasks {
		t := &c.plan.Tasks[i]
		if !c.attended(t) {
			c.breach(BadTask, t, "", t.Start, 0)
		}
		for _, h := range t.Hands {
			uses[h.Baker] = append(uses[h.Baker], use{t, h.From, h.To, 1})
			n := slices.IndexFunc(c.day.Kitchen.Bakers, func(b Baker) bool { return b.Name == h.Baker })
			if n < 0 {
				c.breach(BadTask, t, h.Baker, h.From, 0)
				continue
			}
			b := &c.day.Kitchen.Bakers[n]
			if slices.Contains(b.Cannot, t.Kind) || !b.AtWork(h.From.In(c.loc), h.To.In(c.loc)) {
				c.breach(OffHours, t, h.Baker, h.From, h.To.Sub(h.From))
			}
		}
	}
	for _, b := range c.day.Kitchen.Bakers {
		c.crowd(HandsClash, b.Name, 1, uses[b.Name])
	}
}

// attended wants hands at a work from start to end, at a mixer that runs alone
// for the first two minutes, and at the oven to load and to unload.
func (c *judge) attended(t *Task) bool {
	if t.Start.Equal(t.End) || !c.known[t] {
		return true
	}
	from, to := t.Start, t.End
	switch {
	case t.Kind == Mix && c.alone(t):
		to = from.Add(2 * time.Minute)
		if to.After(t.End) {
			to = t.End
		}
	case t.Kind == Bake:
		return c.held(t, from, from.Add(time.Minute)) && c.held(t, t.End.Add(-time.Minute), t.End)
	case !t.Kind.Work():
		return true
	}
	return c.held(t, from, to)
}

// held says whether one person is at t from from to to.
func (c *judge) held(t *Task, from, to time.Time) bool {
	return slices.ContainsFunc(t.Hands, func(h Hands) bool { return !h.From.After(from) && !h.To.Before(to) })
}

// alone says whether a mix's mixer runs alone.
func (c *judge) alone(t *Task) bool {
	s, _ := c.stageOf(t)
	return s != nil && s.Alone
}

// stageOf finds the stage of a task, and its lane.
func (c *judge) stageOf(t *Task) (*Stage, *lane) {
	for _, b := range c.doughs {
		for _, l := range b.lanes() {
			for _, s := range l.steps {
				if s.task == t {
					return s.stage, l
				}
			}
		}
	}
	return nil, nil
}

// mixers wants one mix at a time in each bowl, and none larger than it takes. A
// mix too small for every hook is made by hand.
func (c *judge) mixers() {
	uses := map[string][]use{}
	for i := range c.plan.Tasks {
		t := &c.plan.Tasks[i]
		s, l := c.stageOf(t)
		if s == nil || t.Kind != Mix {
			continue
		}
		n := slices.IndexFunc(c.day.Kitchen.Mixers, func(m Mixer) bool { return m.Name == t.Mixer })
		byHand := t.Mixer == "" && (!s.Machine || !slices.ContainsFunc(c.day.Kitchen.Mixers, func(m Mixer) bool { return m.Least <= l.mass }))
		switch {
		case byHand:
		case n < 0 || !s.Machine:
			c.breach(BadTask, t, t.Mixer, t.Start, 0)
		default:
			if l.mass > c.day.Kitchen.Mixers[n].Most+1 {
				c.breach(MixerClash, t, t.Mixer, t.Start, 0)
			}
			uses[t.Mixer] = append(uses[t.Mixer], use{t, t.Start, t.End, 1})
		}
	}
	for _, m := range c.day.Kitchen.Mixers {
		c.crowd(MixerClash, m.Name, 1, uses[m.Name])
	}
}
