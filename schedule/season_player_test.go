package schedule_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/learn"
	"ovenward/schedule/simulate"
)

// player is a day at work: people who do what the plan's calls say, with doughs,
// an oven and hours of their own. All moments are whole minutes from origin.
type player struct {
	*bakery
	n        int
	day      *schedule.Day
	plan     schedule.Plan
	first    schedule.Plan // as it was in the morning
	replans  bool
	origin   time.Time
	now      int
	lanes    []*lane
	of       map[string]place // by task of a work or a wait
	tasks    map[string]*schedule.Task
	actual   map[string][2]int
	people   []person
	ovens    []ovenState
	mixers   map[string]int // busy until
	real     map[string]*simulate.Air
	forecast map[string]*simulate.Air
	ringer   ringer
	log      []schedule.Slip
	tried    map[string]int // by task: when a plan was last asked for because of it
	looked   map[string]int // by task: not before
	again    map[string]int // by task: when somebody looks again
	ill      misfortune
	told     map[string]bool // what was entered once
	r        result
}

// result is what became of a day.
type result struct {
	orders                 int       // portions
	good                   int       // portions in time of doughs all acted on in their windows
	lateness               []float64 // minutes, by portion
	rises, inside          int
	fridge, replans, calls int
	idle                   int // calls to a dough that was not ready
	kinds                  map[schedule.ChoiceKind]int
	faults                 []string // alerts missed or doubled, plans that fail Check
	risky                  int      // accepted plans that tell of a dough past its bounds
	broken                 int      // accepted plans that tell of something else broken
	latePlan               bool     // late in the morning's plan already
	stuck                  int
	asked, longer          int // times people were asked to stay or come, and who did, minutes
	observed               []learn.Observation
}

type place struct {
	lane *lane
	beat int
}

// lane is a strand of a dough on its way.
type lane struct {
	*schedule.Lane
	at          int // beat next or under way
	on          bool
	since       int // when it was begun
	until       int // of a work
	dough, book *vat
	home        string // place wanted
	where       string // place it stands in
	story       []moment
	whole       *lane   // of a portion
	parts       []*lane // of a whole dough
	portions    []*lane
	taken       int // of a whole dough: portions taken; of a part: joined
	over        bool
	overdue     int
	pressed     bool
	spoilt      bool // one of its rises was acted on outside its window
	judged      map[int]bool
	noted       map[int]bool
}

func newPlayer(b *bakery, n int, d *schedule.Day, p schedule.Plan, replans bool) (*player, error) {
	y := &player{
		bakery: b, n: n, day: d, plan: p, first: p, replans: replans, origin: p.Made.Truncate(time.Minute),
		of: map[string]place{}, actual: map[string][2]int{}, mixers: map[string]int{}, tried: map[string]int{}, looked: map[string]int{}, again: map[string]int{},
		told: map[string]bool{}, ill: b.misfortune(n), ringer: ringer{calls: map[callKey]*call{}},
	}
	y.r.kinds = map[schedule.ChoiceKind]int{}
	if len(p.Tasks) > 0 {
		y.origin = p.Tasks[0].Start
	}
	y.real, y.forecast = y.airs(b.weather(n)), y.airs(0)
	for i := range p.Batches {
		parts, whole, portions, err := schedule.Lanes(d, &p, i)
		if err != nil {
			return nil, err
		}
		w := y.add(whole)
		for _, l := range parts {
			w.parts = append(w.parts, y.add(l))
		}
		for _, l := range portions {
			q := y.add(l)
			q.whole = w
			w.portions = append(w.portions, q)
		}
	}
	for i := range d.Kitchen.Bakers {
		y.people = append(y.people, person{Baker: &d.Kitchen.Bakers[i]})
	}
	for i := range d.Kitchen.Ovens {
		y.ovens = append(y.ovens, ovenState{Oven: &d.Kitchen.Ovens[i], celsius: float64(schedule.ColdOven)})
	}
	y.follow(p)
	y.absences()
	return y, nil
}

func (y *player) add(l *schedule.Lane) *lane {
	x := &lane{Lane: l, judged: map[int]bool{}, noted: map[int]bool{}}
	for i, b := range l.Beats {
		if _, known := y.of[b.Task]; !known || !b.Wait || b.Share >= 1 {
			y.of[b.Task] = place{x, i}
		}
	}
	y.lanes = append(y.lanes, x)
	return x
}

// airs are the places' temperatures, the rooms off by so much.
func (y *player) airs(off float64) map[string]*simulate.Air {
	out := map[string]*simulate.Air{}
	for i := range y.day.Kitchen.Places {
		p := &y.day.Kitchen.Places[i]
		a := &simulate.Air{H: p.Transfer()}
		for m := range 72 * 60 {
			t := y.at(m)
			c := float64(p.At(float64(60*t.Hour() + t.Minute())))
			if p.Kind == schedule.Room {
				c += off
			}
			a.Temps = append(a.Temps, c)
		}
		out[p.Name] = a
	}
	return out
}

func (y *player) at(m int) time.Time       { return y.origin.Add(time.Duration(m) * time.Minute) }
func (y *player) minute(t time.Time) int   { return int(t.Sub(y.origin) / time.Minute) }
func (y *player) bench() string            { p, _ := y.day.Kitchen.Place(""); return p.Name }
func (y *player) named(name string) string { p, _ := y.day.Kitchen.Place(name); return p.Name }

// follow takes a plan over.
func (y *player) follow(p schedule.Plan) {
	y.plan = p
	y.tasks = map[string]*schedule.Task{}
	for i := range p.Tasks {
		y.tasks[p.Tasks[i].ID] = &p.Tasks[i]
	}
	y.fault(y.ringer.adopt(schedule.Alerts(&p), y))
}

func (y *player) fault(says []string) {
	for _, s := range says {
		y.r.faults = append(y.r.faults, fmt.Sprintf("%s day %d %s: %s", y.day.Name, y.n, y.at(y.now).Format("15:04"), s))
	}
}

const (
	stays   = 90      // minutes people stay past their hours
	patient = 10      // minutes until somebody looks again
	despair = 10 * 60 // after which a dough is taken as it is
	longest = 70 * 60 // of a day
)

// play goes through the day, minute by minute.
func (y *player) play(ctx context.Context) error {
	for y.now = 0; y.now < longest && !y.over(); y.now++ {
		y.finish()
		y.ringer.ring(y)
		y.heat()
		y.carry()
		y.unload()
		if err := y.work(ctx); err != nil {
			return err
		}
		if y.replans {
			if err := y.glance(ctx); err != nil {
				return err
			}
		}
	}
	y.close()
	return nil
}

func (y *player) over() bool {
	return !slices.ContainsFunc(y.lanes, func(l *lane) bool { return l.Portion != nil && l.at < len(l.Beats) })
}

// finish ends works and waits that are over.
func (y *player) finish() {
	for _, l := range y.lanes {
		for l.at < len(l.Beats) {
			b := &l.Beats[l.at]
			if !b.Wait {
				if !l.on || y.now < l.until || b.Stage.Kind == schedule.Bake {
					break
				}
				y.actual[b.Task] = [2]int{l.since, y.now}
				l.at, l.on = l.at+1, false
				y.mixedNow(l, b)
				continue
			}
			if !l.on {
				if l.at == 0 && !y.opens(l) {
					break
				}
				y.stand(l, b)
			}
			last := l.at == len(l.Beats)-1
			next := !last && l.Beats[l.at+1].Wait
			if !(last && l.Portion != nil) && !next || !y.waited(l) || next && b.Rises() && y.now < y.minute(y.tasks[b.Task].End) {
				break
			}
			if b.Rises() && next {
				y.acted(l, l)
			}
			y.actual[b.Task] = [2]int{l.since, y.now}
			l.at, l.on = l.at+1, false
		}
	}
}

// opens says whether a lane that begins with a wait may.
func (y *player) opens(l *lane) bool {
	t := y.tasks[l.Beats[0].Task]
	return y.now >= y.minute(t.Start) && (l.whole == nil || y.reached(l.whole))
}

// mixedNow puts a dough off the mixer into the world.
func (y *player) mixedNow(l *lane, b *schedule.Beat) {
	if !b.Begins || l.Dough == nil {
		return
	}
	t := b.Stage.Dough
	if t == 0 {
		if t = 26; l.Part != "" {
			t = 23
		}
	}
	var err error
	if l.dough, err = mixed(l.Dough, y.now, l.Tub, t, y.real[y.bench()], y.nature); err != nil {
		panic(err) // a day that passes Validate has no such dough
	}
	model := *l.Dough
	model.Speed = 1
	if l.book, err = mixed(&model, y.now, l.Tub, t, y.forecast[y.bench()], nature{}); err != nil {
		panic(err)
	}
	l.where = y.bench()
}

// stand begins a wait.
func (y *player) stand(l *lane, b *schedule.Beat) {
	l.on, l.since, l.over, l.pressed = true, y.now, false, false
	t := y.tasks[b.Task]
	l.home = y.named(t.Place)
	if r := t.Rescue; r == nil || r.Kind != schedule.ColdLater || !y.at(y.now).Before(r.To) {
		y.move(l, l.home)
	}
	if l.dough != nil && b.Stage.Kind.Rises() {
		if l.at == 0 || l.Beats[l.at-1].Fold == 0 {
			l.dough.ln = y.speed(riseName(l.Lane, b.Stage.Kind), y.n)
			l.story = nil
		}
		y.note(l)
	}
}

// move carries a dough to a place, where there is room.
func (y *player) move(l *lane, to string) {
	if l.dough == nil && l.book == nil {
		l.where = to
		return
	}
	if p, _ := y.day.Kitchen.Place(to); p.Spaces > 0 && to != l.where {
		taken := 0
		for _, o := range y.lanes {
			if o != l && o.on && o.where == to && o.at < len(o.Beats) && o.Beats[o.at].Wait {
				taken += o.Trays
			}
		}
		if taken+l.Trays > p.Spaces {
			to = l.where
			if k, _ := y.day.Kitchen.Place(to); k.Kind != schedule.Room {
				to = y.bench()
			}
		}
	}
	if to == l.where {
		return
	}
	y.note(l)
	l.dough.to(y.now)
	l.book.to(y.now)
	l.dough.air, l.book.air = y.real[to], y.forecast[to]
	if p, _ := y.day.Kitchen.Place(to); p.Kind == schedule.Cold {
		y.r.fridge++
	}
	l.where = to
}

// waited says whether the wait under way may end.
func (y *player) waited(l *lane) bool {
	b := &l.Beats[l.at]
	switch {
	case !l.on:
		return false
	case b.Stage.Kind.Waits():
		return y.now >= l.since+int(math.Ceil(float64(b.Stage.Least)))
	case b.Stage.Kind.Rises() && b.Share < 1 && l.dough != nil: // to a fold
		l.dough.to(y.now)
		return l.dough.risen(b) || y.despairs(l)
	case b.Rises() && l.dough != nil:
		l.dough.to(y.now)
		return l.dough.doneness(b).ready || y.despairs(l)
	}
	return true
}

// despairs takes a dough as it is that does not get on.
func (y *player) despairs(l *lane) bool {
	t := y.first.Tasks[slices.IndexFunc(y.first.Tasks, func(t schedule.Task) bool { return t.ID == l.Beats[l.at].Task })]
	long := y.minute(t.End) - y.minute(t.Start) + despair
	return y.now-l.since > long
}

// reached says whether a whole dough may be taken apart, or a part be used.
func (y *player) reached(l *lane) bool {
	switch {
	case l.at >= len(l.Beats):
		return true
	case l.at == len(l.Beats)-1 && l.Beats[l.at].Wait:
		return l.on
	}
	return false
}

// carry does what rescues of the plan ask for.
func (y *player) carry() {
	for _, l := range y.lanes {
		if l.at >= len(l.Beats) || !l.on || !l.Beats[l.at].Wait || l.dough == nil {
			continue
		}
		t := y.tasks[l.Beats[l.at].Task]
		want := l.home
		if t.Rescue != nil && (t.Rescue.Kind == schedule.ChillAWhile || t.Rescue.Kind == schedule.ColdLater) && !y.at(y.now).Before(t.Rescue.From) && y.at(y.now).Before(t.Rescue.To) {
			want = y.named(t.Rescue.Place)
		}
		if t.Rescue != nil && t.Rescue.Kind == schedule.FinishWarm && !y.at(y.now).Before(t.Rescue.From) {
			want = y.named(t.Rescue.Place)
		}
		if want != l.where && y.free() != nil {
			y.move(l, want)
		}
		if t.Rescue != nil && t.Rescue.Kind == schedule.PressAgain && !l.pressed && !y.at(y.now).Before(t.Rescue.From) && y.free() != nil {
			l.pressed, l.over = true, false
			y.note(l)
			for _, v := range []*vat{l.dough, l.book} {
				v.to(y.now)
				v.state.Handle("knock back")
			}
		}
	}
}

// close counts what is left at the end.
func (y *player) close() {
	for _, l := range y.lanes {
		if l.Portion == nil {
			continue
		}
		y.r.orders++
		if l.at < len(l.Beats) {
			y.r.stuck++
			y.fault([]string{fmt.Sprintf("%s never gets beyond %s", l.ID, l.Beats[l.at].Task)})
			continue
		}
		late := y.late(l)
		y.tell("ends", func() string {
			return fmt.Sprintf("%s %.0f min late, spoilt %t", l.ID, late, l.spoilt || l.whole.spoilt)
		})
		y.r.lateness = append(y.r.lateness, late)
		if late <= 5 && !l.spoilt && !l.whole.spoilt {
			y.r.good++
		}
	}
	y.fault(y.ringer.close(y))
	y.r.calls = y.ringer.rings
}

// late is by how many minutes an order misses its promise.
func (y *player) late(l *lane) float64 {
	o := y.day.Orders[l.Portion.Order]
	due, err := o.Promise().In(y.origin.Location())
	if err != nil {
		panic(err) // a day that passes Validate has no such order
	}
	last := len(l.Beats) - 1
	if o.Out != "" {
		last = slices.IndexFunc(l.Beats, func(b schedule.Beat) bool { return b.Stage.Kind == schedule.Bake })
	}
	return float64(y.actual[l.Beats[last].Task][1] - y.minute(due))
}
