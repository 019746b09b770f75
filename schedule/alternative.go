package schedule

import (
	"context"
	"slices"
	"time"
)

// AlternativeKind says in what a plan differs from the others.
type AlternativeKind string

// The kinds of plan offered side by side.
const (
	Usual     AlternativeKind = "usual"     // some minutes in hand before every promise
	Freshest  AlternativeKind = "freshest"  // out as late as promised, nothing in hand
	OneDay    AlternativeKind = "one-day"   // no rise held in the cold but where the bread asks for it
	Overnight AlternativeKind = "overnight" // every rise that may be held in the cold is
	Roomier   AlternativeKind = "roomier"   // three quarters of an hour in hand
)

// Alternative is one way of making the day.
type Alternative struct {
	Kind   AlternativeKind `json:"kind"`
	Plan   Plan            `json:"plan"`
	Chance Chance          `json:"chance"`
	Chills int             `json:"chills"` // rises held in the cold
}

const (
	// rehearsals per alternative: the chance is right to about 2 %.
	rehearsals = 500
	// roomy is the minutes the roomier plan keeps in hand.
	roomy = 45
	// alike is how near two plans' work must begin and end to be one.
	alike = 15 * time.Minute
)

// Alternatives gives up to three plans that differ in kind, PlanDay's first; of a ctx
// that ends those found by then.
func Alternatives(ctx context.Context, d *Day, s Settings) ([]Alternative, error) {
	first, err := PlanDay(ctx, d, s)
	if err != nil {
		return nil, err
	}
	out := []Alternative{d.alternative(Usual, first)}
	for _, kind := range []AlternativeKind{OneDay, Overnight, Roomier, Freshest} {
		if ctx.Err() != nil {
			break
		}
		other, tried, err := d.another(ctx, s, kind)
		if err != nil {
			return nil, err
		}
		if tried && len(out) < 3 && !slices.ContainsFunc(out, func(a Alternative) bool { return a.like(&other) }) && !other.worseThan(&first) {
			out = append(out, d.alternative(kind, other))
		}
	}
	return out, nil
}

// alternative adds the figures to a plan.
func (d *Day) alternative(kind AlternativeKind, p Plan) Alternative {
	a := Alternative{Kind: kind, Plan: p, Chance: Rehearse(d, &p, rehearsals, d.Settings.Seed+1)}
	for _, t := range p.Tasks {
		if t.Chilled {
			a.Chills++
		}
	}
	return a
}

// like says that a baker would not tell the plans apart.
func (a *Alternative) like(p *Plan) bool {
	near := func(x, y time.Time) bool { return x.Sub(y).Abs() < alike }
	chills := 0
	for _, t := range p.Tasks {
		if t.Chilled {
			chills++
		}
	}
	return chills == a.Chills && near(a.Plan.Outcome.WorkStart, p.Outcome.WorkStart) && near(a.Plan.Outcome.WorkEnd, p.Outcome.WorkEnd)
}

// worseThan says that p breaks more, or is later, than q.
func (p *Plan) worseThan(q *Plan) bool {
	return len(p.Outcome.Broken) > len(q.Outcome.Broken) || p.Outcome.LateTotal > q.Outcome.LateTotal
}

// another plans the day in another kind of way; false where the kind does not
// apply.
func (d *Day) another(ctx context.Context, s Settings, kind AlternativeKind) (Plan, bool, error) {
	eased := *d
	switch kind {
	case OneDay, Overnight:
		changed := false
		set := func(c *Chill) *Chill {
			if c == nil || c.Always {
				return c
			}
			changed = true
			if kind == OneDay {
				return nil
			}
			always := *c
			always.Always = true
			return &always
		}
		eased.Breads = slices.Clone(d.Breads)
		for i := range eased.Breads {
			eased.Breads[i].Method = chills(eased.Breads[i].Method, set)
		}
		eased.Bases = slices.Clone(d.Bases)
		for i := range eased.Bases {
			eased.Bases[i].Method = chills(eased.Bases[i].Method, set)
		}
		if !changed {
			return Plan{}, false, nil
		}
	case Roomier:
		s.Reserve = roomy
	case Freshest:
		s.Reserve = -1
	}
	p, err := planned(ctx, &eased, s, nearest)
	return p, err == nil, err
}

// chills changes the holds of a method: the last one, so that a dough is not
// held twice.
func chills(method []Stage, set func(*Chill) *Chill) []Stage {
	out := slices.Clone(method)
	for i := len(out) - 1; i >= 0; i-- {
		if c := out[i].Chill; c != nil {
			out[i].Chill = set(c)
			if out[i].Chill != nil {
				break
			}
		}
	}
	return out
}
