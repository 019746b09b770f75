package schedule

import (
	"fmt"
	"math"
	"slices"
	"time"

	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// Trace is how one dough, or one portion of it after the parting, rises and
// warms through a plan.
type Trace struct {
	Batch   string       `json:"batch"`
	Portion string       `json:"portion,omitempty"` // "" while the dough is whole
	Part    string       `json:"part,omitempty"`    // a preferment
	Points  []TracePoint `json:"points"`
}

// TracePoint is the dough at one moment.
type TracePoint struct {
	At        time.Time    `json:"at"`
	Expansion float64      `json:"expansion"` // volume against the dough just mixed
	Mean      unit.Celsius `json:"mean_celsius"`
	Core      unit.Celsius `json:"core_celsius"`
	Place     string       `json:"place"`
	Task      string       `json:"task"` // ID of the task under way
}

// Traces follows every dough of a plan through the day, a point every ten
// minutes and at each change. Tasks that are missing or unknown give an error.
func Traces(d *Day, p *Plan) ([]Trace, error) {
	g, err := newGrid(d)
	if err != nil {
		return nil, err
	}
	var out []Trace
	for i := range p.Batches {
		b, err := p.batchPlan(d, i)
		if err != nil {
			return nil, err
		}
		t := plant(d, b)
		ts, err := t.traces(d, g, p)
		if err != nil {
			return nil, err
		}
		out = append(out, ts...)
	}
	return out, nil
}

// batchPlan is batch i of a plan with its breads and stages.
func (p *Plan) batchPlan(d *Day, i int) (*batchPlan, error) {
	b := &batchPlan{Batch: p.Batches[i]}
	for _, q := range b.Batch.Portions {
		bread, ok := d.Bread(q.Bread)
		if !ok {
			return nil, fmt.Errorf("portion %s: no bread %q", q.ID, q.Bread)
		}
		r, stages := d.recipeOf(bread)
		b.recipe = r
		b.portions = append(b.portions, portionPlan{Portion: q, bread: bread, stages: stages})
	}
	return b, nil
}

// traces follows one batch through the tasks of a plan.
func (t *tree) traces(d *Day, g *grid, p *Plan) ([]Trace, error) {
	byID := map[string]*Task{}
	for i := range p.Tasks {
		byID[p.Tasks[i].ID] = &p.Tasks[i]
	}
	var ps []*passage
	index := map[*strand]int{}
	var out []Trace
	for _, st := range slices.Concat(t.parts, []*strand{t.trunk}, t.branches) {
		pa, err := passageOf(st, g, byID)
		if err != nil {
			return nil, err
		}
		ps = append(ps, pa)
		index[st] = len(out)
		tr := Trace{Batch: t.batch.ID, Part: st.part}
		if st.portion != nil {
			tr.Portion = st.portion.ID
		}
		out = append(out, tr)
	}
	w := &walker{kitchen: &d.Kitchen, grid: g}
	w.watch = func(st *strand, place *Place, task string, s *simulate.State) {
		tr := &out[index[st]]
		tr.Points = append(tr.Points, TracePoint{
			At: g.at(int(math.Round(s.Minute))), Expansion: s.Expansion(),
			Mean: s.Mean(), Core: s.Core(), Place: place.Name, Task: task,
		})
	}
	if err := w.batch(t, ps, false); err != nil {
		return nil, err
	}
	return slices.DeleteFunc(out, func(tr Trace) bool { return len(tr.Points) == 0 }), nil
}

// passageOf takes the times of a strand's works from tasks. A moment without a
// task of its own lies where the wait before it ends.
func passageOf(st *strand, g *grid, byID map[string]*Task) (*passage, error) {
	p := newPassage(st)
	for i, wt := range st.waits {
		if wt.stage < 0 {
			continue
		}
		t, ok := byID[st.taskID(wt.stage, 0)]
		if !ok {
			return nil, fmt.Errorf("task %s is missing", st.taskID(wt.stage, 0))
		}
		p.cold[i] = t.Chilled
		p.spell[i] = g.spell(t.Rescue)
		if i == 0 && st.works[0].stage < 0 {
			p.at[0] = g.minute(t.Start)
		}
		if i+1 < len(st.works) && st.works[i+1].stage < 0 {
			p.at[i+1] = g.minute(t.End)
		}
	}
	for i, wk := range st.works {
		if wk.stage < 0 {
			continue
		}
		t, ok := byID[st.taskID(wk.stage, wk.fold)]
		if !ok {
			return nil, fmt.Errorf("task %s is missing", st.taskID(wk.stage, wk.fold))
		}
		p.at[i] = g.minute(t.Start)
		p.strand.works[i].dur = g.minute(t.End) - p.at[i]
	}
	return p, nil
}
