package schedule

import (
	"slices"
	"time"
)

// places counts trays and tubs in every place with a limit during rests and
// rises. What is left of a whole dough when a portion is taken stays.
func (c *judge) places() {
	uses := map[*Place][]use{}
	take := func(t *Task, from, to time.Time, amount int) {
		if p := c.place(t.Place); p != nil && p.Spaces > 0 {
			uses[p] = append(uses[p], use{t, from, to, amount})
		}
	}
	for _, b := range c.doughs {
		for _, l := range b.lanes() {
			for _, s := range l.steps {
				if s.stage.Kind == Cool || !s.idle() {
					continue
				}
				amount := c.day.Kitchen.tubs(l.mass)
				if l.portion != nil {
					amount = l.portion.Trays
				}
				take(s.task, s.task.Start, s.task.End, amount)
			}
		}
		c.leftOver(b, take)
	}
	for i := range c.day.Kitchen.Places {
		p := &c.day.Kitchen.Places[i]
		c.crowd(SpaceFull, p.Name, p.Spaces, uses[p])
	}
}

// leftOver counts the tubs of a whole dough from its parting on, as portion
// after portion is taken.
func (c *judge) leftOver(b *dish, take func(*Task, time.Time, time.Time, int)) {
	n := len(b.whole.steps)
	if !b.sound || n == 0 || !b.whole.steps[n-1].idle() {
		return
	}
	shares := slices.Clone(b.shares)
	slices.SortStableFunc(shares, func(x, y *lane) int { return x.steps[0].task.Start.Compare(y.steps[0].task.Start) })
	left := b.whole.mass
	for i, l := range shares[:max(0, len(shares)-1)] {
		left -= l.mass
		take(b.whole.steps[n-1].task, l.steps[0].task.Start, shares[i+1].steps[0].task.Start, c.day.Kitchen.tubs(left))
	}
}

// carriers counts the tins and trays in use, from the shaping to the end of the
// bake.
func (c *judge) carriers() {
	tins, trays := map[string][]use{}, map[string][]use{}
	for _, b := range c.doughs {
		for _, l := range b.shares {
			var in, out *Task
			for _, s := range l.steps {
				switch {
				case s.stage.Kind == Shape, s.stage.Kind == Divide && in == nil && !slices.ContainsFunc(l.method, func(s Stage) bool { return s.Kind == Shape }):
					in = s.task
				case s.stage.Kind == Bake:
					out = s.task
				}
			}
			if in == nil || out == nil {
				continue
			}
			tin, tray := l.bread.Tin, l.bread.Tray
			if tin != "" {
				tins[tin] = append(tins[tin], use{in, in.Start, out.End, l.pieces})
			}
			if of, _ := c.day.Kitchen.Stands(l.bread); tin == "" || of != tin { // else straight on the deck
				trays[tray] = append(trays[tray], use{in, in.Start, out.End, l.portion.Trays})
			}
		}
	}
	for _, t := range c.day.Kitchen.Tins {
		c.crowd(TinsOut, t.Name, t.Count, tins[t.Name])
	}
	for _, t := range append([]Tray{{Count: c.day.Kitchen.UsualTrays}}, c.day.Kitchen.Trays...) {
		if t.Count > 0 {
			c.crowd(TraysOut, t.Name, t.Count, trays[t.Name])
		}
	}
}
