package schedule

import (
	"cmp"
	"context"
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// A relief is one thing otherwise, tried to find what binds and what helps.
type relief struct {
	way    WayOut     // without its effect
	reason ReasonCode // what binds where it helps; "" where that says nothing
	change func(d *Day)
}

const (
	// A night in the cold as tried for a proof that has none.
	nightLeast = 6 * 60
	nightMost  = 16 * 60
)

// extra is the name of the person who is not there.
const extra = "+"

// more lists what is tried of the kitchen, the likeliest to be had first.
func more(d *Day) []relief {
	rs := []relief{
		{WayOut{Code: "hands"}, ByHands, func(d *Day) {
			d.Kitchen.Bakers = append(slices.Clone(d.Kitchen.Bakers), Baker{Name: extra, Hours: []Hours{{To: minutesPerDay}}})
		}},
		{WayOut{Code: "oven"}, ByOven, func(d *Day) {
			ovens := slices.Clone(d.Kitchen.Ovens)
			for _, o := range d.Kitchen.Ovens {
				o.Name += " +"
				ovens = append(ovens, o)
			}
			d.Kitchen.Ovens = ovens
		}},
	}
	if len(d.Kitchen.Mixers) > 0 {
		rs = append(rs, relief{WayOut{Code: "mixer"}, ByMixer, func(d *Day) {
			m := d.Kitchen.Mixers[0]
			m.Name += " +"
			d.Kitchen.Mixers = append(slices.Clone(d.Kitchen.Mixers), m)
		}})
	}
	for i, p := range d.Kitchen.Places {
		if p.Spaces > 0 {
			rs = append(rs, relief{WayOut{Code: "space", Of: p.Name}, BySpace, func(d *Day) {
				d.Kitchen.Places = slices.Clone(d.Kitchen.Places)
				d.Kitchen.Places[i].Spaces *= 2
			}})
		}
	}
	for i, t := range d.Kitchen.Tins {
		rs = append(rs, relief{WayOut{Code: "tins", Of: t.Name}, ByTin, func(d *Day) {
			d.Kitchen.Tins = slices.Clone(d.Kitchen.Tins)
			d.Kitchen.Tins[i].Count *= 2
		}})
	}
	if d.Kitchen.UsualTrays > 0 {
		rs = append(rs, relief{WayOut{Code: "trays"}, ByTray, func(d *Day) { d.Kitchen.UsualTrays *= 2 }})
	}
	for i, t := range d.Kitchen.Trays {
		if t.Count > 0 {
			rs = append(rs, relief{WayOut{Code: "trays", Of: t.Name}, ByTray, func(d *Day) {
				d.Kitchen.Trays = slices.Clone(d.Kitchen.Trays)
				d.Kitchen.Trays[i].Count *= 2
			}})
		}
	}
	return append(rs, relief{WayOut{Code: "now"}, ByNow, func(d *Day) {
		loc, _ := d.Location()
		now, _ := d.Now.In(loc)
		d.Now = WallOf(now.Add(-12 * time.Hour))
	}})
}

// otherwise lists what is tried of the day itself: a night in the cold for what is
// latest, and half of it.
func otherwise(d *Day, p *Plan) []relief {
	var rs []relief
	worst := latestOrder(d, p)
	o := d.Orders[worst]
	b, ok := d.Bread(o.Bread)
	if !ok {
		return rs
	}
	if method, changed := d.Overnight(b); changed {
		rs = append(rs, relief{WayOut{Code: "chill", Of: b.Name}, "", func(d *Day) {
			d.Breads = slices.Clone(d.Breads)
			for i := range d.Breads {
				if d.Breads[i].ID == b.ID {
					d.Breads[i].Method = method
				}
			}
		}})
	}
	if fewer := o.Pieces / 2; fewer > 0 {
		rs = append(rs, relief{WayOut{Code: "smaller", Of: b.Name, Order: worst + 1, Pieces: fewer}, "", func(d *Day) {
			d.Orders = slices.Clone(d.Orders)
			d.Orders[worst].Pieces -= fewer
		}})
	}
	return rs
}

// Overnight is a bread's method with its final proof held in the cold if that
// helps; false where it may be already, or there is no cold place.
func (d *Day) Overnight(b *Bread) ([]Stage, bool) {
	cold := d.Kitchen.fridge()
	proof := slices.IndexFunc(b.Method, func(s Stage) bool { return s.Kind == Proof })
	if cold == nil || proof < 0 || b.Method[proof].Chill != nil {
		return nil, false
	}
	method := slices.Clone(b.Method)
	method[proof].Chill = &Chill{Place: cold.Name, Least: nightLeast, Most: nightMost}
	return method, true
}

// latestOrder is the order with most lateness by weight, the largest of those
// alike.
func latestOrder(d *Day, p *Plan) int {
	late := make([]unit.Minutes, len(d.Orders))
	for _, t := range p.Tasks {
		if t.Late > 0 {
			o := p.portion(t.Portion).Order
			late[o] += t.Late * unit.Minutes(max(1, d.Orders[o].Weight))
		}
	}
	worst := 0
	for i := range late {
		if cmp.Or(cmp.Compare(late[i], late[worst]), cmp.Compare(d.Orders[i].Pieces, d.Orders[worst].Pieces)) > 0 {
			worst = i
		}
	}
	return worst
}

// tried is a relief with what it brought.
type tried struct {
	relief
	bad  int
	late unit.Minutes
}

// estimate plans the day with a change, more quickly than the day itself.
func estimate(ctx context.Context, d *Day, s Settings, change func(d *Day)) (*solved, error) {
	eased := *d
	eased.Settings = s
	change(&eased)
	return attempt(ctx, &eased, choices{once: true, halved: 2})
}

// try plans the day with a relief.
func (r relief) try(ctx context.Context, d *Day, s Settings) (tried, error) {
	best, err := estimate(ctx, d, s, r.change)
	if err != nil {
		return tried{}, err
	}
	if r.way.Code == "hands" {
		p := best.plan()
		r.way.From, r.way.To = p.atWork(extra)
	}
	r.way.Late = unit.Minutes(best.late())
	return tried{r, len(best.result.Plan.Unplaced), r.way.Late}, nil
}

// atWork is when somebody's work begins and ends, nil for none.
func (p *Plan) atWork(baker string) (from, to *time.Time) {
	for _, t := range p.Tasks {
		for _, h := range t.Hands {
			if h.Baker != baker {
				continue
			}
			if from == nil || h.From.Before(*from) {
				from = &h.From
			}
			if to == nil || h.To.After(*to) {
				to = &h.To
			}
		}
	}
	return from, to
}

// help tries reliefs until two keep everything, or ctx ends, and gives those that
// better the plan, the best first.
func help(ctx context.Context, d *Day, s Settings, now *Plan, rs []relief) []tried {
	bad := min(1, len(now.Outcome.Broken))
	keeping := 0
	var all []tried
	for _, r := range rs {
		if ctx.Err() != nil {
			break
		}
		t, err := r.try(ctx, d, s)
		if err != nil || t.bad > bad || t.bad == bad && t.late >= now.Outcome.LateTotal {
			continue
		}
		all = append(all, t)
		if t.bad == 0 && t.late == 0 {
			if keeping++; keeping == 2 {
				break
			}
		}
	}
	slices.SortStableFunc(all, tried.compare)
	return all
}

func (t tried) compare(u tried) int {
	return cmp.Or(cmp.Compare(t.bad, u.bad), cmp.Compare(t.late, u.late))
}

// stay asks people to stay longer, or to come sooner: the fewest minutes that help.
func stay(ctx context.Context, d *Day, s Settings, now *Plan) (out []tried, err error) {
	loc, err := d.Location()
	if err != nil {
		return nil, err
	}
	from, err := d.Now.In(loc)
	if err != nil {
		return nil, err
	}
	q := newAsking(ctx, d.Kitchen.Bakers, from, now)
	bad := min(1, len(now.Outcome.Broken))
	q.try = func(asked []Asked) (*Plan, unit.Minutes, error) {
		best, err := estimate(ctx, d, s, func(d *Day) { d.Kitchen.Bakers = with(d.Kitchen.Bakers, asked) })
		if err != nil {
			return nil, 0, err
		}
		missing, late := len(best.result.Plan.Unplaced), unit.Minutes(best.late())
		if missing > bad || missing == bad && late > 0 && late+worthAsking > now.Outcome.LateTotal {
			return nil, 0, nil
		}
		p := best.plan()
		return &p, late + unit.Minutes(minutesPerDay*missing), nil
	}
	all, err := q.find()
	for _, x := range all {
		missing := int(x.cost) / minutesPerDay
		late := x.cost - unit.Minutes(missing*minutesPerDay)
		out = append(out, tried{relief{way: WayOut{Code: "stay", Asked: x.asked, Late: late}}, missing, late})
	}
	return out, err
}

// waysOut tries every relief and returns what binds, which is what of the
// kitchen helps most, or else the time left; and up to three ways that help at
// all, rather those that can be taken at once.
func waysOut(ctx context.Context, d *Day, s Settings, now *Plan) (*Reason, []WayOut) {
	kitchen := help(ctx, d, s, now, more(d))
	binding := &Reason{Code: ByReady}
	if len(kitchen) > 0 {
		binding = &Reason{Code: kitchen[0].reason, Of: kitchen[0].way.Of}
	}
	all := help(ctx, d, s, now, otherwise(d, now))
	asked, _ := stay(ctx, d, s, now) // none where it fails, as with every other way
	for i, t := range kitchen {
		switch {
		case t.reason == ByNow:
		case t.reason == ByHands && len(asked) == 0: // somebody can be had
			all = slices.Insert(all, 0, kitchen[i])
		default:
			all = append(all, t)
		}
	}
	all = append(asked[:min(1, len(asked))], all...)
	slices.SortStableFunc(all, tried.compare)
	var ways []WayOut
	for _, t := range all[:min(2, len(all))] {
		ways = append(ways, t.way)
	}
	if late := latest(now); late > 0 && len(now.Outcome.Broken) == 0 {
		ways = append(ways, WayOut{Code: "promise", By: late})
	}
	return binding, ways
}

// latest is by how much the promises would have to move to be kept.
func latest(p *Plan) (late unit.Minutes) {
	for _, t := range p.Tasks {
		late = max(late, t.Late)
	}
	return late
}
