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
		ends := map[*passage]map[int]int{}
		modes := map[*passage]map[int]string{}
		j.eachLink(func(p *passage, wait, link, end int) {
			mode := m.problem.Jobs[i].Links[link].Modes[sp.Jobs[i].Links[link].Mode].Name
			out := strings.HasPrefix(mode, outside)
			done := out || mode == "press" // something to what went into the cold later
			if p.past.fixed(min(wait+1, len(p.at)-1)) && wait+1 < len(p.at) {
				return
			}
			if old := p.spell[wait]; old != nil && old.from < r.minute { // begun already
				if old.kind == FinishWarm {
					p.spell[wait] = p.out(wait, old.place, old.from, end)
				}
				if old.kind != ColdLater || !done {
					return
				}
			}
			if p.past.pinned {
				return
			}
			if old := p.spell[wait]; old != nil && old.kind == ColdLater {
				if !done {
					return // as the solver has chosen
				}
			} else {
				p.spell[wait] = nil
			}
			if mode != "rescue" && mode != "press" && !out {
				return
			}
			if ends[p] == nil {
				ends[p], modes[p] = map[int]int{}, map[int]string{}
			}
			if old, ok := ends[p][wait]; !ok || end < old {
				ends[p][wait] = end
			}
			modes[p][wait] = mode
		})
		for _, p := range j.passages {
			for wait := range p.strand.waits {
				end, ok := ends[p][wait]
				if !ok {
					continue
				}
				from := max(r.minute, p.at[wait]+p.strand.works[wait].dur)
				if place, out := strings.CutPrefix(modes[p][wait], outside); out {
					p.spell[wait] = p.out(wait, place, from, end)
				} else if modes[p][wait] == "press" {
					p.spell[wait] = p.pressed(wait, from)
				} else {
					p.spell[wait] = m.walker.fit(p, wait, from, end, r.handsFree(m, sp))
				}
				if err := m.walker.batch(j.tree, j.passages, false); err != nil {
					return err
				}
			}
		}
	}
	return nil
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
