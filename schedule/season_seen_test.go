package schedule_test

import (
	"context"
	"math"

	"ovenward/schedule"
	"ovenward/schedule/learn"
)

// note keeps the model's story of a rise.
func (y *player) note(l *lane) {
	if l.book == nil || l.at >= len(l.Beats) || !l.Beats[l.at].Stage.Kind.Rises() {
		return
	}
	b := &l.Beats[l.at]
	for from := int(l.book.state.Minute); from < y.now; from += 5 {
		l.story = append(l.story, momentOf(l.book, b.Goal(l.book.state.Kinetics().Narrow())))
		l.book.to(min(from+5, y.now))
	}
	l.story = append(l.story, momentOf(l.book, b.Goal(l.book.state.Kinetics().Narrow())))
}

// mark is the volume read off a tub, where one has a mark; growth is judged
// within 0.12 in ln.
func (y *player) mark(l *lane) (float64, bool) {
	b := &l.Beats[l.at]
	if y.chance("marked", y.n, b.Task).Float64() < 0.5 {
		return 0, false
	}
	l.dough.to(y.now)
	e := 1 + (l.dough.state.Expansion()-1)*math.Exp(0.12*y.normal("eye", y.n, b.Task, y.now))
	return math.Round(100*min(max(e, 0.95), 4.9)) / 100, true
}

// glance reads marks on the way, two thirds into the rise as planned.
func (y *player) glance(ctx context.Context) error {
	for _, l := range y.lanes {
		if l.at >= len(l.Beats) || !l.on || !l.Beats[l.at].Rises() || l.dough == nil || l.noted[l.at] || l.Part != "" {
			continue
		}
		t := y.tasks[l.Beats[l.at].Task]
		from := y.minute(t.Start)
		if y.now < from+(y.minute(t.End)-from)*2/3 || y.free() == nil {
			continue
		}
		l.noted[l.at] = true
		e, ok := y.mark(l)
		if !ok || y.now >= y.minute(t.End) {
			continue
		}
		y.observe(l, learn.Reached, expansionOf, e, 0)
		y.say(schedule.Slip{Kind: schedule.Volume, Task: t.ID, Expansion: e})
		if err := y.replan(ctx); err != nil {
			return err
		}
	}
	return nil
}

// see enters what somebody found of a rise into the book of the days.
func (y *player) see(l *lane, kind learn.Kind) {
	b := &l.Beats[l.at]
	if l.dough == nil || l.book == nil {
		return
	}
	if e, ok := y.mark(l); ok {
		y.observe(l, learn.Reached, expansionOf, e, 0)
		return
	}
	edges := b.Goal(l.book.state.Kinetics().Narrow()).Edges()
	switch kind {
	case learn.NotYet:
		y.observe(l, kind, doseOf, edges.Ready, 0)
	case learn.Past:
		y.observe(l, kind, doseOf, edges.TooFar, 0)
	default:
		y.observe(l, kind, doseOf, 1, 0.15)
	}
}

// observe compares what was seen with what the model has for it.
func (y *player) observe(l *lane, kind learn.Kind, of func(moment) float64, value, sd float64) {
	y.note(l)
	if len(l.story) == 0 {
		return
	}
	at, ok := predicted(l.book, &l.Beats[l.at], l.story, of, value)
	took := float64(y.now) - l.story[0].minute
	if !ok || took < 5 {
		return
	}
	o := learn.Observation{
		Day: y.n, Bread: riseName(l.Lane, l.Beats[l.at].Stage.Kind), Regime: regimeOf(l.book), Kind: kind, Predicted: at, Observed: took, SD: sd,
	}
	if b := &l.Beats[l.at]; y.tasks[b.Task].Chilled { // told by how far the model's dough is
		o.Regime, o.Speed = learn.Cold, value/of(momentOf(l.book, b.Goal(l.book.state.Kinetics().Narrow())))
		if kind == learn.Reached && sd == 0 { // a volume
			o.Speed = 1 / l.book.state.Dose(value)
		}
	}
	y.r.observed = append(y.r.observed, o)
}

// acted judges the rise l is in as it is acted on, for the sake of a lane: itself,
// or what is taken from it or made with it.
func (y *player) acted(l, of *lane) {
	i, v := l.at, l.dough
	if v == nil {
		return
	}
	b := &l.Beats[i]
	v.to(y.now)
	d := v.doneness(b)
	y.r.rises++
	if d.ready && !d.over {
		y.r.inside++
	} else {
		of.spoilt = true
	}
	if l.judged[i] {
		return
	}
	l.judged[i] = true
	kind := learn.Reached
	if d.over {
		kind = learn.Past
	}
	y.see(l, kind)
	if y.replans && !d.over {
		y.say(schedule.Slip{Kind: schedule.Ready, Task: b.Task})
	}
}
