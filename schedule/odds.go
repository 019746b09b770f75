package schedule

// Odds are what is to be expected of the rest of a day, by rehearsing it with
// doughs faster and slower than forecast.
type Odds struct {
	Draws int     `json:"draws"`
	Kept  float64 `json:"kept"` // share of the rehearsals in which every promise is kept, to five minutes
	Late  float64 `json:"late"` // weighted minutes late, on average
	Over  float64 `json:"over"` // minutes doughs are acted on past too far, on average
}

const (
	// draws of a rehearsal, each played with its mirror image too.
	draws = 32
	// overWeight is what a minute past too far counts in minutes late.
	overWeight = float64(priceOver) / priceLate
	// lookAgain is after how many minutes a dough that was not ready is looked at
	// again.
	lookAgain = 10
)

// score weighs harm against lateness, both as expected, in weighted minutes late. A
// wait outside its bounds is harm that a rehearsal does not see.
func (c *Choice) score() float64 {
	harm := c.Odds.Over
	for _, v := range c.Risks {
		if v.Code == BadWait {
			harm += float64(v.By)
		}
	}
	return c.Odds.Late + overWeight*harm
}

// odds rehearses what is left of a plan: with what is begun as it is, and doughs
// as uncertain as what was seen of them leaves them. People keep to the plan's
// calls and come no sooner. Every plan is rehearsed with the same doughs.
func (r *repair) odds(p *Plan) Odds {
	x := r.rehearsal(p)
	random, z := normals(r.settings.Seed+1), make([]float64, x.batches)
	o := Odds{Draws: 2 * draws}
	for range draws {
		x.draw(&random, z)
		for range 2 {
			out := x.play(z)
			o.Kept += count(out.worst <= keptWithin)
			o.Late += out.late
			o.Over += out.over
			for i := range z {
				z[i] = -z[i]
			}
		}
	}
	n := float64(o.Draws)
	o.Kept, o.Late, o.Over = o.Kept/n, o.Late/n, o.Over/n
	return o
}

// rehearsal lays the rest of a plan out for playing.
func (r *repair) rehearsal(p *Plan) *rehearsal {
	begun := map[string]bool{}
	for _, s := range r.log {
		begun[s.Task] = begun[s.Task] || s.Kind == Started || s.Kind == Done
	}
	x := newRehearsal(r.day, p, func(t *Task) bool { return t.Start.Before(r.now) || begun[t.ID] })
	x.looks = lookAgain
	x.surer(r.seen)
	x.opened = int(r.grid.origin.Sub(p.begin()).Minutes())
	for i := range r.day.Kitchen.Bakers {
		b := &r.day.Kitchen.Bakers[i]
		if who, ok := x.hands[b.Name]; ok {
			x.there[who] = r.grid.comes(b)
		}
	}
	return x
}
