package schedule

import (
	"fmt"
	"slices"
	"time"

	"ovenward/schedule/unit"
)

// fire is how hot an oven is, and from when it can be used.
type fire struct {
	celsius unit.Celsius
	at      time.Time
}

// fireOf is the oven as it is now, by what was baked and lit so far. Out of use,
// it cools until it is given back.
func (r *repair) fireOf(o *Oven) fire {
	f := fire{ColdOven, r.now}
	var since time.Time
	for _, t := range r.old.Tasks {
		if t.Oven != o.Name || !t.Start.Before(r.now) || t.Kind != Bake {
			continue
		}
		if end := r.endOf(t); !end.Before(since) {
			f.celsius, since = r.heatAfter(t.Portion), end
		}
	}
	for _, t := range r.old.Tasks {
		if t.Oven == o.Name && t.Kind == Preheat && t.Start.Before(r.now) && !t.Start.Before(since) {
			f.celsius = o.after(f.celsius, t.Celsius, r.now.Sub(t.Start))
		}
	}
	for _, c := range r.closed[o.Name] {
		if !c.from.After(r.now) && c.to.After(r.now) {
			f.celsius = max(ColdOven, f.celsius-unit.Celsius(float64(o.Cool)*c.to.Sub(c.from).Minutes()))
			f.at = c.to
		}
	}
	return f
}

// after is where an oven stands that has been on its way between two
// temperatures for a while.
func (o *Oven) after(from, to unit.Celsius, took time.Duration) unit.Celsius {
	if to > from {
		return min(to, from+unit.Celsius(float64(o.Heat)*took.Minutes()))
	}
	return max(to, from-unit.Celsius(float64(o.Cool)*took.Minutes()))
}

// heatAfter is the oven's temperature at the end of a portion's bake.
func (r *repair) heatAfter(portion string) unit.Celsius {
	return endHeat(r.day, r.old, Load{Portions: []string{portion}})
}

// endOf is when a bake ends that may have been reported since.
func (r *repair) endOf(t Task) time.Time {
	for _, j := range r.jobs {
		for _, p := range j.passages {
			for i, wk := range p.strand.works {
				if p.strand.taskID(wk.stage, wk.fold) == t.ID {
					return r.grid.at(p.at[i] + wk.dur)
				}
			}
		}
	}
	return t.End
}

// preheats are the oven's own tasks from now on, after those begun.
func (r *repair) preheats(p *Plan) []Task {
	var out []Task
	ids := map[string]bool{}
	for _, t := range r.old.Tasks {
		if t.Kind == Preheat && t.Start.Before(r.now) {
			out = append(out, t)
			ids[t.ID] = true
		}
	}
	begun := slices.Clone(out)
	for i := range r.day.Kitchen.Ovens {
		o := &r.day.Kitchen.Ovens[i]
		f := r.fireOf(o)
		for _, l := range p.Loads {
			if l.Oven != o.Name {
				continue
			}
			n := o.Change(f.celsius, l.Celsius)
			lit := slices.ContainsFunc(begun, func(t Task) bool {
				return t.Oven == o.Name && t.Celsius == l.Celsius && t.End.After(r.now)
			})
			if !l.Start.Before(r.now) && n > 0 && !lit {
				t := Task{ID: fmt.Sprintf("%s.%s", o.Name, l.ID), Kind: Preheat, Name: o.Name, Stage: -1, Oven: o.Name, Celsius: l.Celsius, End: l.Start}
				for ids[t.ID] {
					t.ID += "+"
				}
				ids[t.ID] = true
				if t.Start = l.Start.Add(-minutes(n)); t.Start.Before(r.now) {
					t.Start = r.now
				}
				out = append(out, t)
			}
			if !l.End.Before(r.now) {
				f.celsius, begun = endHeat(r.day, p, l), nil
			}
		}
	}
	return out
}
