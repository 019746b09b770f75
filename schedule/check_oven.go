package schedule

import (
	"math/big"
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// oven finds an oven by name.
func (c *judge) oven(name string) (*Oven, bool) {
	for i := range c.day.Kitchen.Ovens {
		if o := &c.day.Kitchen.Ovens[i]; o.Name == name {
			return o, true
		}
	}
	return nil, false
}

// firing is a bake in an oven.
type firing struct {
	task       *Task
	steps      []BakeStep
	bread      *Bread
	pieces     int
	trays      int
	start, end unit.Celsius
}

// level says whether the oven stays at one temperature.
func (f firing) level() bool {
	return !slices.ContainsFunc(f.steps, func(s BakeStep) bool { return s.Celsius != f.start })
}

// together says whether two bakes may be in one oven at the same time: both at
// one temperature throughout, or the same steps begun within five minutes.
func (f firing) together(g firing) bool {
	if f.level() && g.level() {
		return f.start == g.start
	}
	return slices.Equal(f.steps, g.steps) && g.task.Start.Sub(f.task.Start).Abs() <= 5*time.Minute
}

// ovens counts trays and follows the temperature of every oven.
func (c *judge) ovens() {
	bakes := map[string][]firing{}
	for _, b := range c.doughs {
		for _, l := range b.shares {
			for _, s := range l.steps {
				if s.stage.Kind != Bake || len(s.stage.Steps) == 0 {
					continue
				}
				first, last := s.stage.Steps[0], s.stage.Steps[len(s.stage.Steps)-1]
				o, ok := c.oven(s.task.Oven)
				switch {
				case !ok:
					c.breach(BadTask, s.task, s.task.Oven, s.task.Start, 0)
					continue
				case slices.ContainsFunc(s.stage.Steps, func(b BakeStep) bool { return b.Celsius > o.Max }), s.task.Celsius != first.Celsius:
					c.breach(OvenHeat, s.task, o.Name, s.task.Start, 0)
				}
				bakes[o.Name] = append(bakes[o.Name], firing{s.task, s.stage.Steps, l.bread, l.pieces, l.portion.Trays, first.Celsius, last.Celsius})
			}
		}
	}
	for i := range c.day.Kitchen.Ovens {
		o := &c.day.Kitchen.Ovens[i]
		c.filled(o, bakes[o.Name])
		c.heat(o, bakes[o.Name])
	}
}

// filled counts what is in an oven at once: deck by deck where they are told apart.
func (c *judge) filled(o *Oven, fs []firing) {
	if c.day.Kitchen.ByDeck() {
		for deck := range o.Decks {
			c.deck(o, deck, fs)
		}
		for _, f := range fs {
			c.standing(o, f)
		}
		return
	}
	var uses []use
	for _, f := range fs {
		uses = append(uses, use{f.task, f.task.Start, f.task.End, f.trays})
	}
	c.crowd(OvenFull, o.Name, o.Trays(), uses)
}

// deck adds the shares of one deck up whenever something goes in.
func (c *judge) deck(o *Oven, deck int, fs []firing) {
	share := func(f firing) *big.Rat {
		sum := new(big.Rat)
		for _, on := range f.task.Decks {
			if n := o.Takes(on.Of)[deck]; on.Deck == deck+1 && n > 0 {
				sum.Add(sum, big.NewRat(int64(on.Items), int64(n)))
			}
		}
		return sum
	}
	full := big.NewRat(1, 1)
	for i, f := range fs {
		sum, free := share(f), f.task.End
		if sum.Sign() == 0 {
			continue
		}
		for k, g := range fs {
			first := g.task.Start.Before(f.task.Start) || g.task.Start.Equal(f.task.Start) && k < i
			if first && g.task.End.After(f.task.Start) && share(g).Sign() > 0 {
				sum.Add(sum, share(g))
				if g.task.End.Before(free) {
					free = g.task.End
				}
			}
		}
		if sum.Cmp(full) > 0 {
			over, _ := sum.Sub(sum, full).Float64()
			c.breach(OvenFull, f.task, o.Name, f.task.Start, free.Sub(f.task.Start))
			v := &c.found[len(c.found)-1]
			v.Deck, v.Over = deck+1, over
		}
	}
}

// standing wants every tin or tray of a bake on a deck that takes it.
func (c *judge) standing(o *Oven, f firing) {
	of, each := c.day.Kitchen.Stands(f.bread)
	takes, lie := o.Takes(of), 0
	for _, on := range f.task.Decks {
		if on.Of != of || on.Items < 1 || on.Deck < 1 || on.Deck > len(takes) || takes[on.Deck-1] < 1 {
			c.breach(BadTask, f.task, o.Name, f.task.Start, 0)
			return
		}
		lie += on.Items
	}
	if lie != (f.pieces+each-1)/each {
		c.breach(BadTask, f.task, o.Name, f.task.Start, 0)
	}
}

// heat wants the oven at its temperature whenever something goes in, and at one
// that suits whatever is in it already.
func (c *judge) heat(o *Oven, fs []firing) {
	slices.SortStableFunc(fs, func(a, b firing) int { return a.task.Start.Compare(b.task.Start) })
	for i, f := range fs {
		from, since := ColdOven, c.plan.Made
		var lit, inside, clash bool
		for _, g := range fs[:i] {
			switch end := g.task.End; {
			case end.After(f.task.Start):
				inside = true
				clash = clash || !g.together(f)
			case !lit || end.After(since):
				from, since, lit = g.end, end, true
			}
		}
		lack := minutes(o.Change(from, f.start)) - f.task.Start.Sub(since)
		switch {
		case clash:
			c.breach(OvenHeat, f.task, o.Name, f.task.Start, 0)
		case !inside && lack > 0 && !f.task.Start.Before(c.plan.Made):
			c.breach(OvenHeat, f.task, o.Name, f.task.Start, lack)
		}
	}
}

// loads wants every portion in one load, of the oven and the time it is baked.
func (c *judge) loads() {
	for _, b := range c.doughs {
		for _, l := range b.shares {
			in, fits := 0, 0
			for _, load := range c.plan.Loads {
				if !slices.Contains(load.Portions, l.portion.ID) {
					continue
				}
				in++
				for _, s := range l.steps {
					if s.stage.Kind == Bake && load.Oven == s.task.Oven && !s.task.Start.Before(load.Start) && !s.task.End.After(load.End) {
						fits++
					}
				}
			}
			if b.sound && (in != 1 || fits != 1) {
				c.missing("", l.portion.ID)
			}
		}
	}
}
