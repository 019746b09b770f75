package schedule

import (
	"cmp"
	"slices"

	"ovenward/schedule/solve"
)

// crew are resources the planner need not tell apart: people there at the same
// minutes for the same work, or mixers for the same masses. It counts them as
// one resource and names them afterwards.
type crew struct {
	resource int
	names    []string
}

// turn is a need of a crew that somebody of it serves.
type turn struct {
	op       opNeed
	from, to int
}

// opNeed is need of operation op of job.
type opNeed struct{ job, op, need int }

// enlist adds n people or things as resources, those that are alike as one. It
// gives the resource of each.
func (m *model) enlist(n int, who func(i int) (string, []int32), alike func(i, j int) bool) []int {
	of, caps := make([]int, n), make([][]int32, n)
	for i := range n {
		var name string
		name, caps[i] = who(i)
		k := 0
		for k < i && !(m.crews && alike(k, i) && slices.Equal(caps[k], caps[i])) {
			k++
		}
		if k == i {
			of[i] = m.addResource(name, slices.Clone(caps[i])...)
			m.crewed = append(m.crewed, crew{of[i], []string{name}})
			continue
		}
		of[i] = of[k]
		c := slices.IndexFunc(m.crewed, func(c crew) bool { return c.resource == of[k] })
		m.crewed[c].names = append(m.crewed[c].names, name)
		for t, there := range caps[i] {
			m.problem.Resources[of[k]].Cap[t] += there
		}
	}
	return of
}

// sameKinds compares lists in which order does not count.
func sameKinds(a, b []StageKind) bool {
	in := func(x []StageKind) func(StageKind) bool {
		return func(k StageKind) bool { return !slices.Contains(x, k) }
	}
	return !slices.ContainsFunc(a, in(b)) && !slices.ContainsFunc(b, in(a))
}

// deal names who serves every need of a crew of several: rather who was last at
// the same dough, else who is free first by order. As all of a crew are there
// whenever one is, somebody always is free.
func (m *model) deal(sp *solve.Plan) map[opNeed]string {
	turns := map[int][]turn{}
	for i, jp := range sp.Jobs {
		for k, at := range jp.Ops {
			op := &m.problem.Jobs[i].Ops[k]
			for n, r := range at.Needs {
				need := op.Needs[n]
				turns[r] = append(turns[r], turn{opNeed{i, k, n}, at.Start + need.From, at.Start + need.End(op.Dur)})
			}
		}
	}
	out := map[opNeed]string{}
	for _, c := range m.crewed {
		if len(c.names) > 1 {
			c.deal(turns[c.resource], out)
		}
	}
	return out
}

// deal goes through a crew's turns in the order they begin.
func (c *crew) deal(turns []turn, out map[opNeed]string) {
	slices.SortFunc(turns, func(a, b turn) int {
		return cmp.Or(a.from-b.from, a.op.job-b.op.job, a.op.op-b.op.op, a.op.need-b.op.need)
	})
	until, dough := make([]int, len(c.names)), make([]int, len(c.names))
	for i := range dough {
		dough[i] = -1
	}
	for _, t := range turns {
		pick := -1
		for i := range c.names {
			if until[i] <= t.from && (pick < 0 || dough[i] == t.op.job && dough[pick] != t.op.job) {
				pick = i
			}
		}
		if pick < 0 {
			pick = 0 // only of what is frozen, and not judged
		}
		until[pick], dough[pick] = t.to, t.op.job
		out[t.op] = c.names[pick]
	}
}
