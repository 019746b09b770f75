package schedule

// orders wants as many pieces of each order as ordered, of its bread.
func (c *judge) orders() {
	pieces := make([]int, len(c.day.Orders))
	for _, b := range c.plan.Batches {
		for _, p := range b.Portions {
			bread, ok := c.day.Bread(p.Bread)
			theirs := ok && p.Order >= 0 && p.Order < len(pieces) && c.day.Orders[p.Order].Bread == p.Bread
			if !theirs || p.Pieces < 1 || p.Trays != (p.Pieces+bread.PerTray-1)/max(1, bread.PerTray) {
				c.breach(ShortOrder, nil, p.ID, c.plan.Made, 0)
			}
			if theirs {
				pieces[p.Order] += p.Pieces
			}
		}
	}
	for i, o := range c.day.Orders {
		if pieces[i] != o.Pieces {
			c.breach(ShortOrder, nil, o.Bread, c.plan.Made, 0)
		}
	}
}

// promises wants every portion out, or ready, when it was promised.
func (c *judge) promises(b *dish) {
	for _, l := range b.shares {
		if l.portion.Order < 0 || l.portion.Order >= len(c.day.Orders) {
			continue
		}
		o := c.day.Orders[l.portion.Order]
		due, err := o.Promise().In(c.loc)
		if err != nil {
			continue
		}
		var last *Task
		for _, s := range l.steps {
			if o.Out == "" || s.stage.Kind == Bake {
				last = s.task
			}
		}
		if last != nil && last.End.After(due) {
			c.breach(LatePromise, last, l.bread.ID, due, last.End.Sub(due))
		}
	}
}
