package schedule

import (
	"math"
	"slices"
	"time"

	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// How far a rise may miss its window, for rounding to whole minutes, and how
// long one is followed to say by how much it was cut short.
const (
	riseTolerance = 1.0       // minutes
	followed      = 72.0 * 60 // minutes
)

// tabulated is how long a place's temperature is looked up; no plan is longer.
const tabulated = 31 * 24 * time.Hour

// ferment follows the doughs of a dish through the plan's own tasks and places,
// and judges every rise by what the dough has become.
func (c *judge) ferment(b *dish) {
	if !b.sound {
		return
	}
	for _, l := range b.parts {
		own, _ := partOf(l.formula, l.part)
		if d := (&simulate.Dough{Recipe: yeastly(own)}); d.Recipe.Yeast > 0 {
			f := &ferment{judge: c, lane: l, dough: d, usual: usualPreferment}
			f.run(f.next(b.whole.steps))
		}
	}
	known, _ := c.day.LearnedOf(b.batch.Dough)
	f := &ferment{judge: c, lane: b.whole, dough: &simulate.Dough{Recipe: yeastly(b.whole.formula), Speed: known.Speed}, usual: usualDough, known: known}
	var taken []*Task
	for _, l := range b.shares {
		taken = append(taken, l.steps[0].task)
	}
	f.run(taken)
	for _, l := range b.shares {
		g := *f
		g.lane = l
		if n := len(b.whole.steps); n > 0 && b.whole.steps[n-1].idle() {
			g.stand(c.place(b.whole.steps[n-1].task.Place), l.steps[0].task.Start)
		}
		g.dough = &simulate.Dough{Recipe: yeastly(combined(b.whole.formula, l.bread)), Speed: known.Speed}
		g.state.Become(g.dough)
		g.run(nil)
	}
}

// ferment is a dough on its way through a lane.
type ferment struct {
	*judge
	lane  *lane
	dough *simulate.Dough
	usual unit.Celsius
	known Learned // of the dough
	state simulate.State
	alive bool // the yeast has met the flour
}

// next is the task a part ends with: the dough's first mix.
func (f *ferment) next(whole []step) []*Task {
	if i := slices.IndexFunc(whole, func(s step) bool { return s.stage.Kind == Mix }); i >= 0 {
		return []*Task{whole[i].task}
	}
	return nil
}

// run takes the dough through its lane. Its last wait is judged when each of
// taken begins, instead of at its own end.
func (f *ferment) run(taken []*Task) {
	mix := f.mix()
	for i, s := range f.lane.steps {
		f.stand(f.bench, s.task.Start)
		if s.idle() {
			f.accustom(s.stage.Kind, s.task.Chilled)
		}
		ends := []*Task{nil}
		if i == len(f.lane.steps)-1 && len(taken) > 0 {
			ends = taken
		}
		switch {
		case i == mix && !f.alive:
			f.begin(s)
		case !f.alive:
		case s.stage.Kind.Rises():
			f.rise(s, ends)
		case s.idle():
			f.stand(f.place(s.task.Place), s.task.End)
		default:
			f.work(s)
		}
	}
}

// mix is the step at whose end the yeast has met the flour: the last mix before
// the first rise, so that an autolyse does not count.
func (f *ferment) mix() int {
	last := -1
	for i, s := range f.lane.steps {
		if s.stage.Kind.Rises() {
			break
		}
		if s.stage.Kind == Mix && f.lane.portion == nil {
			last = i
		}
	}
	return last
}

func (f *ferment) begin(s step) {
	t := s.stage.Dough
	if t == 0 {
		t = f.usual
	}
	state, err := simulate.Start(f.dough, f.minute(s.task.End), f.day.Kitchen.inTub(f.lane.mass), t+unit.Celsius(f.known.Warmer))
	if err != nil { // a day that passes Validate has no such dough
		f.breach(BadTask, s.task, "", s.task.Start, 0)
		return
	}
	f.state, f.alive = state, true
}

// accustom gives the dough the speed it is known for in a kind of wait, in the cold
// or out of it.
func (f *ferment) accustom(k StageKind, cold bool) {
	if !f.alive || !f.known.varies() {
		return
	}
	d := *f.dough
	d.Speed = f.known.of(k).speed(cold)
	f.state.Become(&d)
}

func (c *judge) minute(t time.Time) float64 { return t.Sub(c.origin).Minutes() }

// stand leaves the dough in a place until t.
func (f *ferment) stand(p *Place, t time.Time) {
	if f.alive && p != nil {
		f.state.Wait(f.airOf(p), f.minute(t)-f.state.Minute)
	}
}

// work handles the dough as the work begins; it stands on the bench meanwhile.
func (f *ferment) work(s step) {
	f.state.Handle(pressed(s.stage.Kind))
	if f.lane.portion != nil {
		var body heat.Body
		switch s.stage.Kind {
		case Divide, Round:
			body = heat.Ball(f.lane.bread.Piece)
		case Shape:
			body = f.day.Kitchen.madeUp(f.lane.bread)
		}
		if body.Mass > 0 {
			_ = f.state.Reshape(body) // a day that passes Validate has only pieces that can be
		}
	}
	f.stand(f.bench, s.task.End)
}

// pressed is what a work does to the gas in the dough.
func pressed(k StageKind) rise.Handling {
	switch k {
	case Fold:
		return rise.Fold
	case KnockBack, Mix:
		return rise.KnockBack
	case Divide, Round:
		return rise.Divide
	case Shape:
		return rise.Shape
	}
	return rise.Leave
}

// rise judges one rise: each fold near its share of the way, the end inside the
// window; where ends has tasks, the beginning of each.
func (f *ferment) rise(s step, ends []*Task) {
	place := f.place(s.task.Place)
	if place == nil {
		return // not a place: said already
	}
	air := f.airOf(place)
	goal := s.stage.goal(f.state.Kinetics().Narrow(), f.lane.portion != nil && f.lane.bread.Tin != "")
	for i, t := range s.folds {
		f.fold(t, f.foldDue(s.stage, i, air, goal))
		f.stand(place, t.Start)
		f.state.Handle(rise.Fold)
		f.stand(f.bench, t.End)
	}
	if r := s.task.Rescue; r != nil && r.Kind == ColdLater {
		f.stand(f.place(r.Place), r.To)
	}
	for _, next := range ends {
		at, by := s.task.End, s.task
		if next != nil {
			at, by = next.Start, next
		}
		f.ripe(air, goal, at, by)
	}
	f.stand(place, s.task.End)
}

// foldDue is how many minutes from now fold i of a rise is due.
func (f *ferment) foldDue(s *Stage, i int, air *simulate.Air, goal simulate.Target) float64 {
	if len(s.FoldTimes) > 0 {
		return float64(s.foldAfter(i))
	}
	goal.Expansion = 1 + s.Folds[i]*(goal.Expansion-1)
	return f.state.Window(air, goal, followed).Best
}

// fold wants a fold within a third of the way's length of its best moment; a
// baker folds when hands are free.
func (f *ferment) fold(t *Task, best float64) {
	miss := math.Abs(f.minute(t.Start) - f.state.Minute - best)
	if over := miss - max(10, best/3); over > riseTolerance {
		f.breach(BadWait, t, "", t.Start, minutes(math.Ceil(over)))
	}
}

// ripe wants the dough neither unripe nor too far when it is acted on.
func (f *ferment) ripe(air *simulate.Air, goal simulate.Target, at time.Time, by *Task) {
	took := f.minute(at) - f.state.Minute
	w := f.state.Window(air, goal, took+riseTolerance+1)
	if took+riseTolerance < w.Ready || w.Unready {
		w = f.state.Window(air, goal, followed)
		f.breach(TooEarly, by, "", at, minutes(math.Ceil(w.Ready-took)))
	} else if !w.Limited && took-riseTolerance > w.TooFar {
		f.breach(TooLate, by, "", at, minutes(math.Ceil(took-w.TooFar)))
	}
}

// airOf tabulates a place's temperature by the minute, by the clock on its wall.
func (c *judge) airOf(p *Place) *simulate.Air {
	if a := c.air[p.Name]; a != nil {
		return a
	}
	n := int(min(c.end.Sub(c.origin), tabulated)/time.Minute) + 1
	if len(p.Curve) == 1 {
		n = 0 // the same all day
	}
	a := &simulate.Air{H: p.transfer()}
	for m := range n + 1 {
		t := c.origin.Add(time.Duration(m) * time.Minute).In(c.loc)
		a.Temps = append(a.Temps, float64(p.At(float64(60*t.Hour()+t.Minute()))))
	}
	c.air[p.Name] = a
	return a
}
