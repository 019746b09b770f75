package schedule_test

import (
	"math"
	"slices"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

type ovenState struct {
	*schedule.Oven
	celsius float64
	inside  []*lane
	steps   []schedule.BakeStep
	begun   int
}

func (y *player) oven(name string) *ovenState {
	i := slices.IndexFunc(y.ovens, func(o ovenState) bool { return o.Name == name })
	return &y.ovens[i]
}

// takes says whether a bake may go in.
func (o *ovenState) takes(l *lane, b *schedule.Beat, now int) hindrance {
	if len(o.inside) > 0 {
		trays := l.Trays
		for _, x := range o.inside {
			trays += x.Trays
		}
		level := !slices.ContainsFunc(slices.Concat(o.steps, b.Stage.Steps), func(s schedule.BakeStep) bool { return s.Celsius != o.steps[0].Celsius })
		if trays > o.Trays() || !level && !(slices.Equal(o.steps, b.Stage.Steps) && now-o.begun <= 5) {
			return full
		}
		return nothing
	}
	if math.Abs(o.celsius-float64(b.Stage.Steps[0].Celsius)) > 0.01 {
		return notHot
	}
	return nothing
}

// heat brings the ovens on: an empty one towards its next load in the plan's
// order, once somebody was called to see to it.
func (y *player) heat() {
	for i := range y.ovens {
		o := &y.ovens[i]
		if len(o.inside) > 0 {
			continue
		}
		want, waits := o.celsius, false
		for _, t := range y.plan.Tasks { // by start
			if p, ok := y.of[t.ID]; ok && t.Kind == schedule.Bake && t.Oven == o.Name && p.lane.at <= p.beat {
				want, waits = float64(t.Celsius), true
				break
			}
		}
		called := y.ringer.lit(o.Name, unit.Celsius(want))
		switch {
		case !waits || !called || want == o.celsius:
		case want > o.celsius:
			o.celsius = math.Min(want, o.celsius+float64(o.Heat)*y.ill.oven)
		default:
			o.celsius = math.Max(want, o.celsius-float64(o.Cool))
		}
	}
}

// unload takes out what is baked, by whoever has a hand free.
func (y *player) unload() {
	for i := range y.ovens {
		o := &y.ovens[i]
		for _, l := range slices.Clone(o.inside) {
			if y.now == l.until-2 && !y.ringer.rung(l.Beats[l.at].Task, schedule.CallUnload) {
				y.fault([]string{"nobody is called to unload " + l.Beats[l.at].Task})
			}
			if l.overdue > 0 { // being taken out
				if y.now >= l.overdue {
					y.out(o, l)
				}
				continue
			}
			if y.now < l.until-2 {
				continue
			}
			if p := y.freeOf(y.around); p != nil {
				p.until = y.now + 2
				l.overdue = y.now + 2
			}
		}
	}
}

// out ends a bake.
func (y *player) out(o *ovenState, l *lane) {
	b := &l.Beats[l.at]
	o.inside = slices.DeleteFunc(o.inside, func(x *lane) bool { return x == l })
	o.celsius = float64(b.Stage.Steps[len(b.Stage.Steps)-1].Celsius)
	y.actual[b.Task] = [2]int{l.since, y.now}
	if y.now != l.until {
		y.say(schedule.Slip{Kind: schedule.Done, Task: b.Task})
	}
	l.at, l.on, l.overdue = l.at+1, false, 0
	y.finish()
}
