package schedule

import (
	"slices"
	"strings"

	"ovenward/schedule/solve"
)

// rescue takes the rescues the solver counted on over into the doughs: each
// while in the cold as long as brings the rise to its best when it is ended.
func (r *repair) rescue(m *model, sp *solve.Plan) error {
	if err := m.rerun(); err != nil {
		return err
	}
	for i, j := range m.jobs {
		counted := r.counted(m, i, sp)
		for _, p := range j.passages {
			for wait := range p.strand.waits {
				c, ok := counted[p][wait]
				if !ok {
					continue
				}
				p.spell[wait] = r.respell(m, sp, p, wait, c)
				if err := m.walker.batch(j.tree, j.passages, false); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// counted is what the solver counted on for a wait: in which mode, and when the
// first of its portions ends it.
type counted struct {
	mode string
	end  int
}

// counted are the rescues the solver counted on for the waits of a job. What was
// planned for waits that may still be otherwise is taken off them.
func (r *repair) counted(m *model, job int, sp *solve.Plan) map[*passage]map[int]counted {
	all := map[*passage]map[int]counted{}
	m.jobs[job].eachLink(func(p *passage, wait, link, end int) {
		c := counted{m.problem.Jobs[job].Links[link].Modes[sp.Jobs[job].Links[link].Mode].Name, end}
		if !r.reopen(p, wait, c) || c.mode != "rescue" && !c.acts() {
			return
		}
		if all[p] == nil {
			all[p] = map[int]counted{}
		}
		if old, ok := all[p][wait]; ok {
			c.end = min(c.end, old.end)
		}
		all[p][wait] = c
	})
	return all
}

// acts says whether something is done to a dough that is in the cold already.
func (c counted) acts() bool { return c.mode == "press" || strings.HasPrefix(c.mode, outside) }

// reopen takes off a wait what was planned for it, and reports whether it may be
// otherwise: not once it is over or pinned, nor where what is done to it has begun.
// Dough that goes into the cold later does so as the solver has chosen, until
// something is done to it there.
func (r *repair) reopen(p *passage, wait int, c counted) bool {
	if wait+1 < len(p.at) && p.past.fixed(wait+1) {
		return false
	}
	old := p.spell[wait]
	if old != nil && old.from < r.minute { // begun already
		if old.kind == FinishWarm {
			p.spell[wait] = p.out(wait, old.place, old.from, c.end)
		}
		if old.kind != ColdLater || !c.acts() {
			return false
		}
	}
	if p.past.pinned {
		return false
	}
	if old != nil && old.kind == ColdLater {
		return c.acts()
	}
	p.spell[wait] = nil
	return true
}

// respell is what is done to a dough during a wait, as the solver counted on it.
func (r *repair) respell(m *model, sp *solve.Plan, p *passage, wait int, c counted) *spell {
	from := max(r.minute, p.at[wait]+p.strand.works[wait].dur)
	if place, out := strings.CutPrefix(c.mode, outside); out {
		return p.out(wait, place, from, c.end)
	}
	if c.mode == "press" {
		return p.pressed(wait, from)
	}
	return m.walker.fit(p, wait, from, c.end, r.handsFree(m, sp))
}

// handsFree says whether somebody is there with nothing to do at a minute.
func (r *repair) handsFree(m *model, sp *solve.Plan) func(int) bool {
	busy := map[int][][2]int{}
	for i, job := range m.problem.Jobs {
		for k, op := range job.Ops {
			at := sp.Jobs[i].Ops[k]
			for n, need := range op.Needs {
				if m.isBaker(at.Needs[n]) {
					busy[at.Needs[n]] = append(busy[at.Needs[n]], [2]int{at.Start + need.From, at.Start + need.End(op.Dur)})
				}
			}
		}
	}
	return func(minute int) bool {
		return slices.ContainsFunc(m.bakers, func(b int) bool {
			caps := m.problem.Resources[b].Cap
			return minute < len(caps) && caps[minute] > 0 && !slices.ContainsFunc(busy[b], func(x [2]int) bool {
				return x[0] <= minute && minute < x[1]
			})
		})
	}
}

// unspell takes rescues that have not begun off a job to be planned.
func (r *repair) unspell(j *jobModel, free func(batch string) bool) {
	if !free(j.tree.batch.ID) {
		return
	}
	for _, p := range j.passages {
		for i, s := range p.spell {
			if s != nil && s.from >= r.minute && !(s.kind == ColdLater && p.past.fixed(i)) {
				p.spell[i] = r.once(p, i)
			}
		}
	}
}

// once is where the dough of wait i stood before it was to be taken out of the cold.
func (r *repair) once(p *passage, i int) *spell {
	bench, ok := r.day.Kitchen.Place("")
	if s := p.spell[i]; ok && s.in > 0 {
		return &spell{kind: ColdLater, place: bench.Name, from: p.at[i] + p.strand.works[i].dur, to: s.in}
	}
	return nil
}

// rescuing says whether the plan has rescues still to come.
func (r *repair) rescuing() bool {
	return slices.ContainsFunc(r.old.Tasks, func(t Task) bool { return t.Rescue != nil && !t.Rescue.From.Before(r.now) })
}
