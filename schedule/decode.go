package schedule

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ovenward/schedule/rise"
	"ovenward/schedule/solve"
	"ovenward/schedule/unit"
)

// adopt takes the solver's times and modes over into the passages.
func (m *model) adopt(plan *solve.Plan) {
	for i, j := range m.jobs {
		jp := &plan.Jobs[i]
		if len(jp.Ops) == 0 {
			continue
		}
		for k, p := range j.passages {
			for w := range p.strand.works {
				p.at[w] = jp.Ops[j.first[k]+w].Start
			}
			for w, l := range j.links[k] {
				if mode := m.mode(i, l, jp); mode != "broken" { // which leaves the dough where it was to be
					p.cold[w] = mode == "chill" || strings.HasPrefix(mode, outside) || strings.HasPrefix(mode, later)
					m.stay(p, w, mode)
				}
			}
		}
		if p := j.passages[len(j.tree.parts)]; len(p.strand.waits) == len(p.strand.works) {
			m.stay(p, len(p.strand.waits)-1, m.mode(i, j.tailOf[0], jp))
		}
	}
}

// mode names how link l of job i is spent.
func (m *model) mode(i, l int, jp *solve.JobPlan) string {
	return m.problem.Jobs[i].Links[l].Modes[jp.Links[l].Mode].Name
}

// rerun carries every dough through the times of its passages.
func (m *model) rerun() error {
	for _, j := range m.jobs {
		if err := m.walker.batch(j.tree, j.passages, false); err != nil {
			return err
		}
	}
	return nil
}

// drift is how far, in minutes, rises of the passages end outside their exact
// windows, and folds miss their moment; 0 when all hold.
func (m *model) drift() float64 {
	worst := 0.0
	for i, j := range m.jobs {
		j.rises(func(p *passage, i, end int) {
			v := m.walker.window(p, i)
			worst = max(worst, v.Ready-float64(end), float64(end)-v.TooFar)
		})
		worst = max(worst, m.missed(j, m.problem.Jobs[i].Ops))
	}
	return worst
}

// missed is by how many minutes the folds to come miss what a baker takes for
// their moment: ten minutes or a third of the way to them on either side.
func (m *model) missed(j *jobModel, ops []solve.Op) float64 {
	worst := 0.0
	for k, p := range j.passages {
		for i, wt := range p.strand.waits {
			if wt.toFold() && p.rising(i) && ops[j.first[k]+i+1].Fixed == solve.Free {
				best := m.walker.foldAt(p, i)
				aside := max(10, (best-p.begin[i].Minute)/3)
				worst = max(worst, math.Abs(float64(p.at[i+1])-best)-aside)
			}
		}
	}
	return worst
}

// rises calls f for every rise with the minute it is ended at: a tail once for
// every portion.
func (j *jobModel) rises(f func(p *passage, wait, end int)) {
	trunk := len(j.tree.parts)
	for k, p := range j.passages {
		for i, wt := range p.strand.waits {
			if !p.rising(i) || wt.toFold() {
				continue
			}
			switch {
			case i+1 < len(p.strand.works):
				f(p, i, p.at[i+1])
			case k < trunk:
				mix := j.passages[trunk]
				f(p, i, mix.at[mixOf(mix.strand)])
			default:
				for _, b := range j.passages[trunk+1:] {
					f(p, i, b.at[0])
				}
			}
		}
	}
}

// plan writes the solver's answer out as tasks and loads.
func (m *model) plan(sp *solve.Plan) Plan {
	out := Plan{Format: PlanFormat, Day: m.day.Name, Zone: m.day.Zone, Made: m.made()}
	m.named = m.deal(sp)
	for i, j := range m.jobs {
		out.Batches = append(out.Batches, j.tree.batch.Batch)
		if len(sp.Jobs[i].Ops) == 0 {
			continue
		}
		for k, p := range j.passages {
			out.Tasks = append(out.Tasks, m.tasks(i, k, p, &sp.Jobs[i])...)
		}
	}
	out.Loads = loads(&out)
	out.Tasks = append(out.Tasks, preheats(m.day, &out)...)
	sortTasks(out.Tasks)
	return out
}

// made is the day's now.
func (m *model) made() time.Time {
	t, _ := m.day.Now.In(m.grid.loc)
	return t
}

func sortTasks(ts []Task) {
	slices.SortStableFunc(ts, func(a, b Task) int {
		return cmp.Or(a.Start.Compare(b.Start), a.End.Compare(b.End), cmp.Compare(a.ID, b.ID))
	})
}

// tasks are those of passage k of job i.
func (m *model) tasks(i, k int, p *passage, jp *solve.JobPlan) []Task {
	j := m.jobs[i]
	var out []Task
	var follow *time.Time // too far, for the work after a rise
	if k > len(j.tree.parts) {
		follow = m.tailTooFar(j)
	}
	for w, wk := range p.strand.works {
		if s := p.strand.stage(wk.stage); s != nil {
			t := m.workTask(p, w, jp.Ops[j.first[k]+w].Choice, opNeed{job: i, op: j.first[k] + w})
			t.TooFar = follow
			out = append(out, t)
		}
		follow = nil
		if w >= len(p.strand.waits) {
			break
		}
		if t, ok := m.waitTask(j, k, p, w); ok {
			out = append(out, t)
			if t.Window != nil {
				follow = &t.Window.TooFar
			}
		}
	}
	return m.keepPromise(p, out)
}

// tailTooFar is the last moment for taking portions from the whole dough.
func (m *model) tailTooFar(j *jobModel) *time.Time {
	trunk := j.passages[len(j.tree.parts)]
	if i := len(trunk.strand.works) - 1; i < len(trunk.strand.waits) && trunk.rising(i) {
		t := m.instant(m.walker.window(trunk, i).TooFar)
		return &t
	}
	return nil
}

func (m *model) task(p *passage, stage, fold int) Task {
	st := p.strand
	s := st.stage(stage)
	t := Task{
		ID: st.taskID(stage, fold), Batch: st.id, Part: st.part, Stage: stage,
		Kind: s.Kind, Name: st.name, Label: s.Label, Mass: unit.Grams(math.Round(float64(st.mass))),
	}
	if st.portion != nil {
		t.Portion, t.Pieces = st.id, st.pieces
		t.Batch = batchOf(st.id)
	}
	if fold > 0 {
		t.Kind, t.Label = Fold, ""
	}
	return t
}

// batchOf is the batch of a portion or of its task: the letters it begins with.
func batchOf(id string) string {
	if i := strings.IndexFunc(id, func(c rune) bool { return c < 'A' }); i >= 0 {
		return id[:i]
	}
	return id
}

func (m *model) workTask(p *passage, w int, c solve.Choice, at opNeed) Task {
	wk := p.strand.works[w]
	s := p.strand.stage(wk.stage)
	t := m.task(p, wk.stage, wk.fold)
	t.Start, t.End = m.grid.at(p.at[w]), m.grid.at(p.at[w]+wk.dur)
	op, _ := m.op(p, w)
	for i, need := range op.Needs {
		r := c.Needs[i]
		at.need = i
		to := need.End(wk.dur)
		switch name := cmp.Or(m.named[at], m.problem.Resources[r].Name); {
		case m.isBaker(r):
			t.Hands = append(t.Hands, Hands{name, m.grid.at(p.at[w] + need.From), m.grid.at(p.at[w] + to)})
		case slices.Contains(m.mixers, r):
			t.Mixer = name
		}
	}
	switch {
	case t.Kind == Bake:
		t.Oven = m.problem.Machines[c.Machine].Name
		t.Decks = m.onDecks(c, p.strand.portion.bread)
		t.Celsius, t.Steam = s.Steps[0].Celsius, s.Steps[0].Steam
	case t.Kind == Mix:
		t.Celsius = s.Dough
	}
	return t
}

func (m *model) isBaker(r int) bool {
	return slices.Contains(m.bakers, r) || slices.Contains(m.spare, r)
}

// waitTask is the task of wait w, the whole rise for the last of its waits.
func (m *model) waitTask(j *jobModel, k int, p *passage, w int) (Task, bool) {
	wt := p.strand.waits[w]
	if wt.stage < 0 || wt.toFold() {
		return Task{}, false
	}
	t := m.task(p, wt.stage, 0)
	first := w
	for first > 0 && p.strand.waits[first-1].stage == wt.stage {
		first--
	}
	t.Start = m.grid.at(p.at[first] + p.strand.works[first].dur)
	t.End = m.grid.at(m.waitEnd(j, k, p, w))
	t.Place, t.Chilled = m.walker.place(p, w).Name, p.cold[w]
	if p.rising(w) {
		t.Window = m.forecast(p, first, w)
		t.Rescue = m.grid.rescue(p.spell[w])
	}
	return t, true
}

// waitEnd is the minute wait w ends: of a tail when the first portion is taken.
func (m *model) waitEnd(j *jobModel, k int, p *passage, w int) int {
	trunk := len(j.tree.parts)
	switch {
	case w+1 < len(p.strand.works):
		return p.at[w+1]
	case k < trunk:
		mix := j.passages[trunk]
		return mix.at[mixOf(mix.strand)]
	}
	end := math.MaxInt
	for _, b := range j.passages[trunk+1:] {
		end = min(end, b.at[0])
	}
	return end
}

// forecast is the window of the rise from wait first to wait last.
func (m *model) forecast(p *passage, first, last int) *Window {
	v := m.walker.window(p, last)
	begin := p.begin[first].Minute
	// In the cold too far comes from the fastest curve and best from the expected
	// one; what is shown stays in order.
	v.Late = max(v.Late, min(v.Best, v.TooFar))
	v.Best = min(v.Best, v.Late)
	low, high := rise.Range(v.Best-begin, p.strand.spread(last, &p.begin[last], v.Spread))
	return &Window{
		Ready: m.instant(v.Ready), Best: m.instant(v.Best), Late: m.instant(v.Late), TooFar: m.instant(v.TooFar),
		Early: m.instant(begin + low), Tardy: m.instant(begin + high),
	}
}

// instant is a fraction of a grid minute as an instant, rounded down.
func (m *model) instant(minute float64) time.Time { return m.grid.at(int(math.Floor(minute))) }

// keepPromise marks the task whose end was promised, and how late it is.
func (m *model) keepPromise(p *passage, ts []Task) []Task {
	if p.strand.portion == nil || len(ts) == 0 {
		return ts
	}
	o := m.day.Orders[p.strand.portion.Order]
	at := len(ts) - 1
	if o.Out != "" {
		at = slices.IndexFunc(ts, func(t Task) bool { return t.Kind == Bake })
	}
	due := p.strand.portion.due
	ts[at].Promise = &due
	ts[at].Late = unit.Minutes(max(0, ts[at].End.Sub(due).Minutes()))
	return ts
}

// loads gathers bakes that are in one oven together.
func loads(p *Plan) []Load {
	var bakes []Task
	for _, t := range p.Tasks {
		if t.Kind == Bake {
			bakes = append(bakes, t)
		}
	}
	slices.SortFunc(bakes, func(a, b Task) int {
		return cmp.Or(cmp.Compare(a.Oven, b.Oven), a.Start.Compare(b.Start), cmp.Compare(a.ID, b.ID))
	})
	var out []Load
	for _, b := range bakes {
		n := len(out) - 1
		if n < 0 || out[n].Oven != b.Oven || !b.Start.Before(out[n].End) {
			out = append(out, Load{Oven: b.Oven, Celsius: b.Celsius, Start: b.Start, End: b.End})
			n++
		}
		l := &out[n]
		l.Portions = append(l.Portions, b.Portion)
		if b.End.After(l.End) {
			l.End = b.End
		}
	}
	for i := range out {
		out[i].ID = fmt.Sprint(i + 1)
		out[i].Trays = mostTrays(p, bakes, &out[i])
	}
	return out
}

// mostTrays is the most trays in the oven at once during a load.
func mostTrays(p *Plan, bakes []Task, l *Load) int {
	most := 0
	for _, a := range bakes {
		if !slices.Contains(l.Portions, a.Portion) {
			continue
		}
		n := 0
		for _, b := range bakes {
			if b.Oven == a.Oven && !b.Start.After(a.Start) && b.End.After(a.Start) {
				n += p.portion(b.Portion).Trays
			}
		}
		most = max(most, n)
	}
	return most
}

// portion finds a portion by ID.
func (p *Plan) portion(id string) Portion {
	for _, b := range p.Batches {
		for _, q := range b.Portions {
			if q.ID == id {
				return q
			}
		}
	}
	return Portion{}
}

// preheats are the oven's own tasks: heating or cooling to the next load's
// temperature, ended just when it goes in.
func preheats(d *Day, p *Plan) []Task {
	var out []Task
	ls := p.Loads
	for i, l := range ls {
		oven := d.Kitchen.Ovens[slices.IndexFunc(d.Kitchen.Ovens, func(o Oven) bool { return o.Name == l.Oven })]
		from := ColdOven
		if i > 0 && ls[i-1].Oven == l.Oven {
			from = endHeat(d, p, ls[i-1])
		}
		if n := oven.Change(from, l.Celsius); n > 0 {
			out = append(out, Task{
				ID: fmt.Sprintf("%s.%s", l.Oven, l.ID), Kind: Preheat, Name: l.Oven, Stage: -1,
				Oven: l.Oven, Celsius: l.Celsius, Start: l.Start.Add(-time.Duration(n) * time.Minute), End: l.Start,
			})
		}
	}
	return out
}

// endHeat is the oven's temperature when the last of a load comes out.
func endHeat(d *Day, p *Plan, l Load) unit.Celsius {
	b, _ := d.Bread(p.portion(l.Portions[len(l.Portions)-1]).Bread)
	i := slices.IndexFunc(b.Method, func(s Stage) bool { return s.Kind == Bake })
	return profileOf(b.Method[i]).end
}
