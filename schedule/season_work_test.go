package schedule_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/learn"
)

// hindrance is why a work that is called for cannot begin.
type hindrance int

const (
	nothing hindrance = iota
	notCome           // what comes before it in the dough is not there
	young             // the dough is not ready
	unrested
	absent
	busy
	machine
	notHot
	full
)

// hinders looks whether work b of a lane can begin.
func (y *player) hinders(l *lane, i int) (h hindrance, wait *lane) {
	b := &l.Beats[i]
	t := y.tasks[b.Task]
	waits := func(w *lane) (hindrance, *lane) {
		if w.at < len(w.Beats) && w.Beats[w.at].Wait && !y.waited(w) {
			if w.Beats[w.at].Rises() {
				return young, w
			}
			return unrested, w
		}
		return nothing, nil
	}
	switch {
	case i == 0 && l.whole != nil:
		if !y.reached(l.whole) {
			return notCome, nil
		}
		if h, w := waits(l.whole); h != nothing {
			return h, w
		}
	case i > 0 && l.at == i-1 && l.Beats[l.at].Wait && l.on:
		if h, w := waits(l); h != nothing {
			return h, w
		}
	case l.at != i || l.on:
		return notCome, nil
	}
	if b.Joins {
		for _, p := range l.parts {
			if !y.reached(p) {
				return notCome, nil
			}
			if h, w := waits(p); h != nothing {
				return h, w
			}
		}
	}
	if len(t.Hands) > 0 {
		switch who := y.person(t.Hands[0].Baker); {
		case !y.present(who):
			return absent, nil
		case who.until > y.now:
			return busy, nil
		}
	}
	if t.Mixer != "" && y.mixers[t.Mixer] > y.now {
		return machine, nil
	}
	if b.Stage.Kind == schedule.Shape && !y.tinsFor(l) {
		return full, nil
	}
	if b.Stage.Kind == schedule.Bake {
		return y.oven(t.Oven).takes(l, b, y.now), nil
	}
	return nothing, nil
}

// tinsFor says whether there are tins for what is to be shaped.
func (y *player) tinsFor(l *lane) bool {
	if l.Bread == nil || l.Bread.Tin == "" {
		return true
	}
	used := 0
	for _, o := range y.lanes {
		if o.Bread == nil || o.Bread.Tin != l.Bread.Tin {
			continue
		}
		for i, b := range o.Beats {
			if b.Stage.Kind == schedule.Shape && (o.at > i || o.at == i && o.on) && !o.baked() {
				used += o.Portion.Pieces
				break
			}
		}
	}
	for _, t := range y.day.Kitchen.Tins {
		if t.Name == l.Bread.Tin {
			return used+l.Portion.Pieces <= t.Count
		}
	}
	return true
}

func (l *lane) baked() bool {
	i := slices.IndexFunc(l.Beats, func(b schedule.Beat) bool { return b.Stage.Kind == schedule.Bake })
	return l.at > i
}

// say enters something into the day's log.
func (y *player) say(s schedule.Slip) {
	s.ID, s.At = fmt.Sprint(len(y.log)+1), y.at(y.now)
	y.log = append(y.log, s)
	y.tell("said", func() string { return fmt.Sprintf("%s %s%s %v %.2f", s.Kind, s.Task, s.Of, s.Minutes, s.Expansion) })
}

// tell prints a line of the day's story, where it is wanted.
func (y *player) tell(what string, line func() string) {
	if *seasonTell {
		fmt.Printf("%s, day %d, replans %t, %s: %s %s\n", y.day.Name, y.n, y.replans, y.at(y.now).Format("15:04"), what, line())
	}
}

// offered puts choices in a line.
func (y *player) offered(cs []schedule.Choice) string {
	var out []string
	for _, c := range cs {
		s := fmt.Sprintf("%s: %d moves", c.Kind, len(c.Moves))
		for _, l := range c.Late {
			s += fmt.Sprintf(", %s %v late (was %v)", l.Bread, l.By, l.Was)
		}
		for _, v := range slices.Concat(c.Risks, c.Broken) {
			s += fmt.Sprintf(", %s %s %v", v.Code, v.Task, v.By)
		}
		out = append(out, s)
	}
	return strings.Join(out, " | ")
}

// work begins all that is called for and can begin.
func (y *player) work(ctx context.Context) error {
again:
	for i := range y.plan.Tasks {
		t := &y.plan.Tasks[i]
		p, known := y.of[t.ID]
		if !known || p.lane.Beats[p.beat].Wait || p.lane.at > p.beat || p.lane.at == p.beat && p.lane.on {
			continue
		}
		promised := y.now > 0 && y.again[t.ID] == y.now // as he said he would
		if len(t.Hands) > 0 && !promised && !y.ringer.rung(t.ID, schedule.CallStart) || len(t.Hands) == 0 && y.at(y.now).Before(t.Start) || y.looked[t.ID] > y.now {
			continue
		}
		h, w := y.hinders(p.lane, p.beat)
		if h == nothing {
			asked, err := y.tooOld(ctx, p)
			if err != nil {
				return err
			}
			if asked {
				goto again
			}
			early := promised && y.at(y.now).Before(t.Start)
			y.begin(p.lane, p.beat)
			if early && y.replans { // the plan has it later
				if err := y.replan(ctx); err != nil {
					return err
				}
				goto again
			}
			continue
		}
		asked, err := y.hindered(ctx, t, p, h, w)
		if err != nil {
			return err
		}
		if asked {
			goto again
		}
	}
	return nil
}

// tooOld says so of a dough gone too far and asks, once, what to do.
func (y *player) tooOld(ctx context.Context, p place) (asked bool, err error) {
	w := y.rise(p)
	if w == nil || !y.replans || w.over || !w.dough.doneness(&w.Beats[w.at]).over {
		return false, nil
	}
	w.over = true
	y.say(schedule.Slip{Kind: schedule.Over, Task: w.Beats[w.at].Task})
	if w.Beats[w.at].Stage.Kind != schedule.Rise {
		return false, nil
	}
	return true, y.replan(ctx)
}

// rise is the lane of the rise that a work would end; nil for none.
func (y *player) rise(p place) *lane {
	l := p.lane
	if p.beat == 0 && l.whole != nil {
		l = l.whole
	}
	if l.at < len(l.Beats) && l.Beats[l.at].Rises() && l.on && l.dough != nil && (l != p.lane || l.at == p.beat-1) {
		l.dough.to(y.now)
		return l
	}
	return nil
}

// hindered waits, or says why and asks for another plan.
func (y *player) hindered(ctx context.Context, t *schedule.Task, p place, h hindrance, w *lane) (asked bool, err error) {
	if h == young {
		y.r.idle++
		y.looked[t.ID], y.again[t.ID] = y.now+patient, y.now+patient
		y.see(w, learn.NotYet)
		if !y.replans {
			y.takeOut(w)
			return false, nil
		}
		y.say(schedule.Slip{Kind: schedule.NotYet, Task: w.Beats[w.at].Task, Minutes: patient})
		if e, ok := y.mark(w); ok {
			y.say(schedule.Slip{Kind: schedule.Volume, Task: w.Beats[w.at].Task, Expansion: e})
		}
		return true, y.replan(ctx)
	}
	if h == unrested && p.lane.Beats[p.beat].Fold > 0 { // nothing to be told: it is folded when it has risen
		y.looked[t.ID] = y.now + patient/2
		return false, nil
	}
	if !y.replans || h == notCome && y.at(y.now).After(t.Start.Add(time.Minute)) {
		return false, nil
	}
	if last, ok := y.tried[t.ID]; ok && y.now < last+patient {
		return false, nil
	}
	y.tried[t.ID] = y.now
	switch h {
	case absent:
		y.absentNow(t.Hands[0].Baker)
	case notHot:
		o := y.oven(t.Oven)
		if key := "slow " + o.Name; y.ill.oven < 1 && !y.told[key] {
			y.told[key] = true
			y.say(schedule.Slip{Kind: schedule.OvenSlow, Of: o.Name, Share: y.ill.oven})
		}
	}
	return true, y.replan(ctx)
}

// takeOut leaves a dough that was found not ready in the cold on the bench, if there
// are hands: nobody puts it back for ten minutes more, in which it hardly gets on.
func (y *player) takeOut(l *lane) {
	if p, _ := y.day.Kitchen.Place(l.where); p.Kind == schedule.Cold && y.free() != nil {
		l.home = y.bench()
		y.move(l, l.home)
	}
}

// absentNow says of somebody not there for how long.
func (y *player) absentNow(name string) {
	p := y.person(name)
	for _, a := range p.absent {
		key := fmt.Sprint(name, a)
		if a[0] <= y.now && y.now < a[1] && !y.told[key] {
			y.told[key] = true
			y.say(schedule.Slip{Kind: schedule.Away, Of: name, From: y.at(y.now), To: y.at(a[1])})
		}
	}
}

// begin begins a work.
func (y *player) begin(l *lane, i int) {
	b := &l.Beats[i]
	t := y.tasks[b.Task]
	dur := y.minute(t.End) - y.minute(t.Start)
	if b.Fold == 0 {
		pieces := 0
		for _, q := range y.portionsOf(l) {
			pieces += q.Portion.Pieces
		}
		dur = b.Stage.Duration(pieces)
	}
	switch {
	case i == 0 && l.whole != nil:
		y.take(l)
	case i > 0 && l.at == i-1: // ends the wait before it
		if l.Beats[l.at].Rises() {
			y.acted(l, l)
		}
		y.actual[l.Beats[l.at].Task] = [2]int{l.since, y.now}
		y.note(l)
	}
	if b.Joins {
		for _, p := range l.parts {
			if p.at < len(p.Beats) {
				if p.Beats[p.at].Rises() {
					y.acted(p, l)
				}
				y.actual[p.Beats[p.at].Task] = [2]int{p.since, y.now}
			}
			p.at, p.on = len(p.Beats), false
		}
	}
	l.at, l.on, l.since, l.until = i, true, y.now, y.now+dur
	y.tell("begins", func() string { return fmt.Sprintf("%s %s, planned %s", b.Task, b.Stage.Kind, t.Start.Format("15:04")) })
	if l.dough != nil {
		if b.Stage.Kind == schedule.Bake {
			l.dough, l.book = nil, nil
		} else {
			y.handle(l, b)
		}
	}
	if len(t.Hands) > 0 {
		h := t.Hands[0]
		y.person(h.Baker).until = y.now + int(h.To.Sub(h.From)/time.Minute)
	}
	if t.Mixer != "" {
		y.mixers[t.Mixer] = l.until
	}
	if b.Stage.Kind == schedule.Bake {
		o := y.oven(t.Oven)
		if len(o.inside) == 0 {
			o.steps, o.begun = b.Stage.Steps, y.now
		}
		o.inside = append(o.inside, l)
	}
	if len(t.Hands) > 0 {
		y.say(schedule.Slip{Kind: schedule.Started, Task: b.Task})
		y.ringer.begun(b.Task)
	}
	if dur == 0 {
		y.finish()
	}
}

func (y *player) portionsOf(l *lane) []*lane {
	switch {
	case l.Portion != nil:
		return []*lane{l}
	case l.Part != "":
		for _, w := range y.lanes {
			if slices.Contains(w.parts, l) {
				return w.portions
			}
		}
	}
	return l.portions
}

// take takes a portion from its whole dough.
func (y *player) take(l *lane) {
	w := l.whole
	if w.at < len(w.Beats) {
		if w.dough != nil && w.Beats[w.at].Rises() {
			y.acted(w, l)
		}
		y.note(w)
	}
	if w.dough != nil {
		w.dough.to(y.now)
		w.book.to(y.now)
		l.dough, l.book, l.where = w.dough.copy(), w.book.copy(), w.where
		l.dough.become(l.Dough)
		model := *l.Dough
		model.Speed = 1
		l.book.become(&model)
	}
	if w.taken++; w.taken == len(w.portions) {
		if w.at < len(w.Beats) {
			y.actual[w.Beats[w.at].Task] = [2]int{w.since, y.now}
		}
		w.at, w.on = len(w.Beats), false
	}
}

// handle works a dough, on the bench.
func (y *player) handle(l *lane, b *schedule.Beat) {
	for _, v := range []*vat{l.dough, l.book} {
		v.to(y.now)
		v.state.Handle(b.Handle)
		if b.Body != nil {
			if err := v.state.Reshape(*b.Body); err != nil {
				panic(err)
			}
		}
	}
	l.where = y.bench()
	l.dough.air, l.book.air = y.real[l.where], y.forecast[l.where]
}

// replan asks for another plan and takes the best there is.
func (y *player) replan(ctx context.Context) error {
	now := y.at(y.now)
	cs, err := schedule.Replan(ctx, y.day, &y.plan, y.log, now, y.day.Settings)
	if err != nil {
		return fmt.Errorf("%s, day %d, %s: %w", y.day.Name, y.n, now.Format("15:04"), err)
	}
	if cs, err = y.askToStay(ctx, cs); err != nil {
		return err
	}
	best := cs[0]
	y.tell("asked", func() string { return y.offered(cs) })
	y.r.replans++
	y.r.kinds[best.Kind]++
	found, err := schedule.CheckFrom(y.day, &best.Plan, y.log, now)
	if err != nil {
		return err
	}
	told := slices.Concat(best.Risks, best.Broken)
	for _, v := range found {
		says := func(o schedule.Violation) bool { return o.Code == v.Code && o.Task == v.Task && o.By == v.By }
		if v.Code != schedule.LatePromise && !slices.ContainsFunc(told, says) {
			y.fault([]string{fmt.Sprintf("the plan for %s fails CheckFrom and does not say so: %v", best.Kind, v)})
		}
	}
	if len(best.Broken) > 0 {
		y.r.broken++
	}
	if len(best.Risks) > 0 {
		y.r.risky++
	}
	y.follow(best.Plan)
	return nil
}
