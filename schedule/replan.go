package schedule

import (
	"context"
	"fmt"
	"slices"
	"time"

	"ovenward/schedule/simulate"
	"ovenward/schedule/solve"
)

// Replan repairs a plan after what has happened. The past is frozen: what was
// done stays when it was done, what should have begun and was not denied is
// taken to be under way. Doughs are followed from what was seen of them, and the
// rest is planned anew from now on with as few moves as will do. The choices
// come best first, at most three, each of another kind; Keep is among them
// wherever it is possible, and alone where nothing is gained by moving.
//
// The log is the whole day's, the plan the one last accepted. An invalid slip
// gives its Faults as the error. More steps in s never give a worse plan.
func Replan(ctx context.Context, d *Day, p *Plan, log []Slip, now time.Time, s Settings) ([]Choice, error) {
	if err := ValidateLog(d, p, log, now).Err(); err != nil {
		return nil, err
	}
	r, err := newRepair(d, p, log, now, s, false)
	if err != nil {
		return nil, err
	}
	if slices.ContainsFunc(r.lost, func(l Loss) bool { return !p.knows(&l) }) {
		return r.afterLoss(ctx, d)
	}
	cs, err := r.choices(ctx)
	if err == nil && r.old != r.given && cs[0].Kind != Keep {
		cs[0].Kind = PutBack
	}
	return cs, err
}

// repair is a plan being repaired.
type repair struct {
	*amended
	settings Settings
	given    *Plan // the plan last accepted
	old      *Plan // that, with what is not said to be lost any more
	log      []Slip
	seen     *sightings
	grid     *grid
	minute   int // now
	trees    []*tree
	jobs     []*jobModel
	moved    map[string]bool // batches with something that cannot be when it was planned
}

// newRepair stands at now; leave says that what was thrown away, and the plan has
// not accounted for, is left out.
func newRepair(d *Day, p *Plan, log []Slip, now time.Time, s Settings, leave bool) (*repair, error) {
	if up := now.Truncate(time.Minute); up.Before(now) { // the grid has whole minutes
		now = up.Add(time.Minute)
	}
	old := p.putBack(log, now)
	a, err := amend(d, old, log, now, leave)
	if err != nil {
		return nil, err
	}
	a.now = now.In(a.loc)
	a.day.Settings = s
	r := &repair{amended: a, settings: s, given: p, old: old, log: log, seen: see(log), moved: map[string]bool{}}
	if r.grid, err = gridFrom(a, old); err != nil {
		return nil, err
	}
	r.minute = r.grid.minute(now)
	r.trees = forest(a.day, a.batches)
	return r, r.stand()
}

// gridFrom begins with the plan and ends some hours past the last promise.
func gridFrom(a *amended, p *Plan) (*grid, error) {
	origin := p.begin()
	if a.now.Before(origin) {
		origin = a.now
	}
	g := &grid{origin: origin.Truncate(time.Minute).In(a.loc), loc: a.loc, air: map[string]*simulate.Air{}}
	last := a.now
	for _, o := range a.day.Orders {
		due, err := o.Promise().In(a.loc)
		if err != nil {
			return nil, err
		}
		if due.After(last) {
			last = due
		}
	}
	for _, t := range p.Tasks {
		if t.End.After(last) {
			last = t.End
		}
	}
	if again := a.now.Add(a.longest(p)); again.After(last) {
		last = again
	}
	g.slots = g.minute(last.Add(lateRoom))
	if len(a.changed) == 0 { // no dough to be made from the beginning
		g.slots = g.minute(last.Add(lateRoom / 2))
	}
	for i := range a.day.Kitchen.Places {
		g.addPlace(&a.day.Kitchen.Places[i])
	}
	return g, nil
}

// stand brings every batch to where it is now.
func (r *repair) stand() error {
	w := r.walker()
	h := newHistory(r.grid, r.old, r.log, r.amended, r.minute)
	for _, t := range r.trees {
		j := &jobModel{tree: t}
		if r.changed[t.batch.ID] {
			sketched, err := w.sketch(t, choices{})
			if err != nil {
				return err
			}
			j = sketched
			r.fresh(j, h)
		} else {
			for _, st := range slices.Concat(t.parts, []*strand{t.trunk}, t.branches) {
				p, err := passageOf(st, r.grid, h.task)
				if err != nil {
					return fmt.Errorf("schedule: %w", err)
				}
				j.passages = append(j.passages, p)
			}
			r.moved[t.batch.ID] = h.batch(t, j.passages) || !r.given.has(t.batch)
			if err := w.batch(t, j.passages, false); err != nil {
				return err
			}
		}
		r.jobs = append(r.jobs, j)
	}
	return nil
}

// fresh is a batch of which nothing has begun, and of which the plan knows
// nothing, or something else.
func (r *repair) fresh(j *jobModel, h *history) {
	r.moved[j.tree.batch.ID] = true
	for _, p := range j.passages {
		p.past = newPast(len(p.at))
		for i, wk := range p.strand.works {
			p.past.was[i] = solve.Free
			if t, ok := h.task[p.strand.taskID(wk.stage, wk.fold)]; ok {
				p.past.was[i], p.past.task[i] = r.grid.minute(t.Start), t
			}
		}
	}
}

func (r *repair) walker() *walker {
	return &walker{kitchen: &r.day.Kitchen, grid: r.grid, seen: r.seen}
}

// model is the rest of the day with copies of the jobs; batches that are not
// free stay as they are.
func (r *repair) model(c choices, free func(batch string) bool) *model {
	m := newModel(r.day, r.grid, r.trees, c)
	m.walker = r.walker()
	m.problem.Now = r.minute
	for i := range r.day.Kitchen.Ovens {
		o, x := &r.day.Kitchen.Ovens[i], &m.problem.Machines[i]
		f := r.fireOf(o)
		for q, p := range m.profile {
			x.Cold[q] = r.grid.minute(f.at) - r.minute + o.Change(f.celsius, p.start)
		}
		for _, c := range r.closed[o.Name] {
			from, to := max(r.grid.minute(c.from), 0), min(r.grid.minute(c.to), r.grid.slots)
			if from < to {
				x.Closed = append(x.Closed, solve.Interval{From: from, To: to})
			}
		}
	}
	return m
}

// copies are the jobs, to be moved about.
func (r *repair) copies(free func(batch string) bool) []*jobModel {
	var out []*jobModel
	for _, j := range r.jobs {
		c := &jobModel{tree: j.tree}
		for _, p := range j.passages {
			q := *p
			past := *p.past
			past.pinned = !free(j.tree.batch.ID)
			q.past = &past
			q.at, q.cold, q.begin = slices.Clone(p.at), slices.Clone(p.cold), slices.Clone(p.begin)
			q.alive, q.spell = slices.Clone(p.alive), slices.Clone(p.spell)
			c.passages = append(c.passages, &q)
		}
		out = append(out, c)
	}
	return out
}

// steps is the search budget where the settings leave it open.
func (r *repair) steps() int {
	if r.settings.Steps > 0 {
		return r.settings.Steps
	}
	return 80 + 30*len(r.jobs)
}

// leastPatience is after how many steps that find nothing better a search may end, at
// the least: those of fewer than eight batches are not ended so.
const leastPatience = 300

// repairRounds bounds how often the rest of a day is planned anew from its
// doughs: fewer than for a fresh day, for most of them are known by now.
const repairRounds = 3

// attempt plans the rest of the day with given choices; nil where it cannot be.
func (r *repair) attempt(ctx context.Context, c choices, free func(batch string) bool) (*Choice, error) {
	c.rescue = c.rescue || r.rescuing()
	p, err := r.solved(ctx, c, free)
	if err != nil || p == nil {
		return nil, err
	}
	x := r.choice(p)
	return &x, nil
}

// solved plans the rest of the day, once more from the doughs as they then are.
func (r *repair) solved(ctx context.Context, c choices, free func(batch string) bool) (*Plan, error) {
	jobs := r.copies(free)
	steps := 0
	var start *solve.Plan
	for round := range repairRounds {
		m := r.model(c, free)
		for _, j := range jobs {
			r.unspell(j, free)
			if err := m.addJob(j); err != nil {
				return nil, err
			}
		}
		set := solve.Settings{Steps: max(1, r.steps()>>min(round, 1)), Seed: r.settings.Seed, BoundSteps: -1, Start: start}
		set.Patience = max(leastPatience, set.Steps/3)
		if round == 0 {
			set.Start = m.push()
		}
		res, err := solve.Solve(ctx, m.problem, set)
		if err != nil {
			return nil, fmt.Errorf("schedule: %w", err)
		}
		steps += res.Stats.Steps
		start = &res.Plan
		if len(res.Plan.Unplaced) > 0 {
			if c.relaxed {
				return nil, nil
			}
			c.relaxed = true
			return r.solved(ctx, c, free)
		}
		m.adopt(&res.Plan)
		if err := r.rescue(m, &res.Plan); err != nil {
			return nil, err
		}
		if round == repairRounds-1 || r.agrees(m, &res.Plan) {
			p := r.write(m, &res.Plan, steps)
			return &p, nil
		}
	}
	return nil, nil
}

// agrees says whether rises end inside the windows of the doughs as planned,
// wherever the solver meant them to.
func (r *repair) agrees(m *model, sp *solve.Plan) bool {
	good := true
	for i, j := range m.jobs {
		j.eachLink(func(p *passage, wait, link, end int) {
			mode := m.problem.Jobs[i].Links[link].Modes[sp.Jobs[i].Links[link].Mode].Name
			if mode == "broken" || end < r.minute || !p.rising(wait) || p.strand.waits[wait].toFold() || p.past.pinned {
				return
			}
			v := m.walker.window(p, wait)
			early, late := v.Ready-float64(end), float64(end)-v.TooFar
			if early > driftAllowed && mode != "look" || late > driftAllowed && float64(end) > float64(r.minute)+driftAllowed && mode != "last" {
				good = false
			}
		})
	}
	return good
}

// eachLink calls f for every wait with its link and end.
func (j *jobModel) eachLink(f func(p *passage, wait, link, end int)) {
	trunk := len(j.tree.parts)
	for k, p := range j.passages {
		for i, link := range j.links[k] {
			end := 0
			if i+1 < len(p.at) {
				end = p.at[i+1]
			} else {
				mix := j.passages[trunk]
				end = mix.at[mixOf(mix.strand)]
			}
			if i < len(p.strand.waits) {
				f(p, i, link, end)
			}
		}
	}
	p := j.passages[trunk]
	if n := len(p.at) - 1; n < len(p.strand.waits) {
		for b, link := range j.tailOf {
			f(p, n, link, j.passages[trunk+1+b].at[0])
		}
	}
}

// write is the solver's answer as a plan of the whole day.
func (r *repair) write(m *model, sp *solve.Plan, steps int) Plan {
	p := m.plan(sp)
	p.Made, p.Lost = r.old.Made, r.lost
	p.Tasks = slices.DeleteFunc(p.Tasks, func(t Task) bool { return t.Kind == Preheat })
	p.Tasks = append(p.Tasks, r.preheats(&p)...)
	sortTasks(p.Tasks)
	explain(r.day, &p)
	p.Outcome = Outcome{Steps: steps, LateTotal: lateness(r.day, &p), Notes: append(notes(r.day, &p), m.lateFolds()...)}
	p.Outcome.workday(&p)
	return p
}

// keep is the plan with its times as they are, where that is possible.
func (r *repair) keep() (*Plan, bool) {
	all := func(string) bool { return false }
	m := r.model(choices{}, all)
	var sp solve.Plan
	for _, j := range r.copies(all) {
		if err := m.addJob(j); err != nil {
			return nil, false
		}
		var jp solve.JobPlan
		for _, op := range m.problem.Jobs[len(m.jobs)-1].Ops {
			jp.Ops = append(jp.Ops, solve.OpPlan{Start: op.Fixed, Choice: *op.FixedChoice})
		}
		sp.Jobs = append(sp.Jobs, jp)
	}
	p := r.write(m, &sp, 0)
	for _, moved := range r.moved {
		if moved {
			return &p, false
		}
	}
	return &p, true
}
