package solve_test

import (
	"strings"
	"testing"

	"ovenward/schedule/solve"
)

func TestValidate(t *testing.T) {
	t.Parallel()
	valid := func() *solve.Problem {
		op := solve.Op{Name: "mix", Dur: 2, Fixed: solve.Free, Was: solve.Free, Needs: []solve.Need{{Any: []int{0}, Amount: 1}}}
		bake := solve.Op{Name: "bake", Dur: 3, Fixed: solve.Free, Was: solve.Free, Machine: &solve.Use{Any: []int{0}, Places: 1}}
		return &solve.Problem{
			Slots: 10, Resources: []solve.Resource{{Name: "hands", Cap: []int32{1}}}, Machines: []solve.Machine{{Name: "oven", Cap: 1}},
			Setup: [][]int{{0, 1, 2}, {1, 0, 1}, {2, 1, 0}},
			Jobs:  []solve.Job{{Name: "rye", Ops: []solve.Op{op, bake}, Links: []solve.Link{{From: 0, To: 1, Modes: []solve.Mode{{Max: 1}}}}}},
		}
	}
	if err := valid().Validate(); err != nil {
		t.Fatal(err)
	}
	if err := new(solve.Problem).Validate(); err != nil {
		t.Errorf("the empty problem: %v", err)
	}
	for _, tt := range []struct {
		want  string
		spoil func(p *solve.Problem)
	}{
		{"slots: -1 is not within", func(p *solve.Problem) { p.Slots = -1 }},
		{"now: 11 is not within 0 to 10", func(p *solve.Problem) { p.Now = 11 }},
		{`resource 0 "hands": capacity has 2 entries, want 1 or 10`, func(p *solve.Problem) { p.Resources[0].Cap = []int32{1, 1} }},
		{`machine 0 "oven": closed from 5 to 4`, func(p *solve.Problem) { p.Machines[0].Closed = []solve.Interval{{From: 5, To: 4}} }},
		{"setup from 0 to 2 is 9, longer than the detour over 1 with 5", func(p *solve.Problem) { p.Setup[0][2], p.Jobs[0].Ops[1].Machine.Profile = 9, 1 }},
		{`job 0 "rye": operation 0 "mix": need 0: resource 7 does not exist`, func(p *solve.Problem) { p.Jobs[0].Ops[0].Needs[0].Any[0] = 7 }},
		{"need 0: amount 0 is below 1", func(p *solve.Problem) { p.Jobs[0].Ops[0].Needs[0].Amount = 0 }},
		{"need 0: slots 1 to 3 are not within 0 to 2", func(p *solve.Problem) { p.Jobs[0].Ops[0].Needs[0].From, p.Jobs[0].Ops[0].Needs[0].To = 1, 3 }},
		{"machine: profile 3 is not within 0 to 2", func(p *solve.Problem) { p.Jobs[0].Ops[1].Machine.Profile = 3 }},
		{"fixed start 9 is not within 0 to 8", func(p *solve.Problem) { p.Jobs[0].Ops[0].Fixed = 9 }},
		{"link 0: no link from operation 0 to 2", func(p *solve.Problem) { p.Jobs[0].Links[0].To = 2 }},
		{"link 0: no mode", func(p *solve.Problem) { p.Jobs[0].Links[0].Modes = nil }},
		{"0 links for 2 operations do not make a tree", func(p *solve.Problem) { p.Jobs[0].Links = nil }},
		{"a wait begun later ends earlier", func(p *solve.Problem) {
			w := &solve.Window{Min: make([]int32, 11), Max: make([]int32, 11)}
			w.Max[3] = 2
			p.Jobs[0].Links[0].Modes[0].Window = w
		}},
		{"cost too large", func(p *solve.Problem) { p.Late, p.Jobs[0].Ops[1].Weight = 1<<60, 1<<60 }},
	} {
		p := valid()
		tt.spoil(p)
		if err := p.Validate(); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("got %v, want %q", err, tt.want)
		}
	}
}
