package schedule

import (
	"fmt"
	"slices"

	"ovenward/schedule/dough"
)

// method is a run of stages being looked through: a base's, a bread's from the
// mix, or with a bread and a base's stages in mixes, a bread's from the parting.
type method struct {
	*inspection
	where   string
	stages  []Stage
	formula dough.Formula
	base    bool
	bread   *Bread  // nil in a base
	mixes   []Stage // the base's method
}

// parted says whether the dough comes mixed from a base.
func (m *method) parted() bool { return m.bread != nil && m.bread.Base != "" }

func (m *method) look() {
	if len(m.stages) == 0 {
		m.fault(m.where, "the method has no stages", "list what is done, in order: mix, rise, divide, shape, proof, bake")
		return
	}
	for i := range m.stages {
		m.stage(i)
	}
	m.parts()
	m.order()
	m.warmth()
	m.leaven()
}

func (m *method) at(i int) string { return at(m.where, i) }

// firstMix is the index of the dough's first mix, beyond the end for none.
func (m *method) firstMix() int {
	if i := slices.IndexFunc(m.stages, func(s Stage) bool { return s.Kind == Mix && s.Part == "" }); i >= 0 {
		return i
	}
	return len(m.stages)
}

// parts looks at preferments and soakers: prepared before the mix, and named
// alike in method and formula.
func (m *method) parts() {
	mix := m.firstMix()
	made, filled := map[string]bool{}, map[string]bool{}
	for _, in := range m.formula.Ingredients {
		filled[in.Part] = true
	}
	for i, s := range m.stages {
		if s.Part == "" {
			continue
		}
		made[s.Part] = true
		switch {
		case m.parted():
			m.fault(m.at(i)+".part", fmt.Sprintf("%q is prepared after the dough is mixed", s.Part), "move it into the method of the base dough")
		case !slices.Contains([]StageKind{Prepare, Mix, Rest, Rise}, s.Kind):
			m.fault(m.at(i)+".part", fmt.Sprintf("%q is not done to %q, which is mixed into the dough", string(s.Kind), s.Part), "leave the part out, or choose prepare, mix, rest or rise")
		case i > mix:
			m.fault(m.at(i)+".part", fmt.Sprintf("%q is prepared after the mix it goes into", s.Part), "move the stage before the first mix of the dough")
		case !filled[s.Part]:
			m.fault(m.at(i)+".part", fmt.Sprintf("no ingredient goes into %q", s.Part), "name the part on its ingredients, in the same letters")
			filled[s.Part] = true
		}
	}
	for i, in := range m.formula.Ingredients {
		if in.Part != "" && !made[in.Part] {
			m.fault(fmt.Sprintf("%s.ingredients[%d].part", m.formulaPath(), i), fmt.Sprintf("no stage of the method prepares %q", in.Part), "add the stage before the mix, or leave the part out")
			made[in.Part] = true
		}
	}
}

func (m *method) formulaPath() string { return m.where[:len(m.where)-len("method")] + "formula" }

// progress is how far a dough has come.
type progress struct{ mixed, divided, shaped, baked bool }

// order looks at the stages of the dough itself, in the order they stand.
func (m *method) order() {
	done := progress{mixed: m.parted()}
	for i, s := range m.stages {
		if s.Part != "" {
			if s.Kind == Rise && !slices.ContainsFunc(m.stages[:i], func(p Stage) bool { return p.Kind == Mix && p.Part == s.Part }) {
				m.fault(m.at(i), fmt.Sprintf("%q rises before it is mixed", s.Part), "put its mix before the rise")
			}
			continue
		}
		k := s.Kind
		if what, remedy := m.misplaced(k, done); what != "" {
			m.fault(m.at(i), what, remedy)
		}
		done.mixed = done.mixed || k != Prepare // one fault for a missing mix is enough
		switch k {
		case Divide:
			done.divided = true
		case Shape:
			done.shaped = true
		case Bake:
			done.baked = true
		}
	}
	if m.bread != nil && !done.baked {
		m.fault(m.where, "the bread is never baked", "add the bake, with temperature and minutes")
	}
}

// misplaced says what is wrong with a kind of stage at this point, "" for nothing.
func (m *method) misplaced(k StageKind, done progress) (what, remedy string) {
	pieces := done.divided || done.shaped
	switch {
	case !slices.Contains(StageKinds(), k):
		return "", "" // said where the kind is looked at
	case k == Prepare && done.mixed:
		return "this prepares for a dough that is mixed already", "move it before the mix, or name the part it prepares, such as soaker"
	case m.base && !slices.Contains([]StageKind{Prepare, Mix, Rest, Rise, Fold, KnockBack}, k):
		return fmt.Sprintf("%q stands in a base dough, which is parted afterwards", string(k)), "move it into the method of each bread"
	case !done.mixed && k != Mix && k != Prepare:
		return fmt.Sprintf("%q comes before the dough is mixed", string(k)), "begin with the mix"
	case done.baked && k == Bake:
		return "the bread is baked a second time", "make it one bake of several steps"
	case done.baked && k != Cool && k != Finish:
		return fmt.Sprintf("%q comes after the bake", string(k)), "move it before the bake; after it only cool and finish"
	case k == Mix && m.parted() && len(m.formula.Ingredients) == 0:
		return "the base dough is mixed already, and nothing is added", "take the mix out, or list what it works in"
	}
	switch k {
	case Rise:
		if done.shaped {
			return "\"rise\" comes after the pieces are shaped", "make it a proof, or move it before the shaping"
		}
	case Fold, KnockBack:
		if done.shaped {
			return fmt.Sprintf("%q comes after the pieces are shaped", string(k)), "move it before the shaping"
		}
	case Mix, Divide:
		if pieces {
			return fmt.Sprintf("%q comes after the dough is in pieces", string(k)), "move it before the dough is divided"
		}
	case Shape, Round:
		if done.shaped {
			return fmt.Sprintf("%q comes after the pieces are shaped", string(k)), "round first, then shape once"
		}
	case Proof, Score, Bake:
		if !pieces {
			return fmt.Sprintf("%q comes before the dough is divided or shaped", string(k)), "add divide or shape before it"
		}
	case Cool, Finish:
		if !done.baked {
			return fmt.Sprintf("%q comes before the bake", string(k)), "move it after the bake"
		}
	}
	return "", ""
}

// warmth wants no mix of living dough warmer than yeast bears; a part that does
// not rise, such as a scald, may be as hot as it likes.
func (m *method) warmth() {
	for i, s := range m.stages {
		if s.Kind != Mix || s.Dough == 0 {
			continue
		}
		hottest, remedy := 45.0, "give the temperature off the mixer, such as 26"
		if s.Part != "" && !m.rises(s.Part) {
			hottest, remedy = 100, "give 2 to 100 °C"
		}
		m.within(m.at(i)+".dough_celsius", float64(s.Dough), 2, hottest, fmt.Sprintf("dough is not mixed to %v", s.Dough), remedy)
	}
}

// rises says whether a part, or with "" the dough, has a rise.
func (m *method) rises(part string) bool {
	return slices.ContainsFunc(m.stages, func(s Stage) bool { return s.Kind.Rises() && s.Part == part })
}

// leaven wants yeast in whatever rises; a bread from a base has its base's.
func (m *method) leaven() {
	if m.parted() {
		if base, ok := m.day.Base(m.bread.Base); ok && m.rises("") && !yeasted(base.Formula, "") {
			m.fault(m.where, "it rises, but its base dough holds no yeast", "add yeast to the base dough, or take the rise out")
		}
		return
	}
	if m.rises("") && len(m.formula.Ingredients) > 0 && !yeasted(m.formula, "") {
		m.fault(m.formulaPath(), "this dough rises, but there is no yeast in it", "add the yeast, or take the rises out")
	}
	for i, s := range m.stages {
		if s.Part != "" && s.Kind == Rise && !yeasted(m.formula, s.Part) {
			m.fault(m.at(i), fmt.Sprintf("%q rises, but there is no yeast in it", s.Part), "put some of the yeast into it, or make it a rest")
		}
	}
}

// yeasted says whether a part holds yeast; "" is all of the formula.
func yeasted(f dough.Formula, part string) bool {
	return slices.ContainsFunc(f.Ingredients, func(in dough.Ingredient) bool {
		food, ok := in.Resolve()
		return ok && food.Role == dough.Yeast && in.Percent > 0 && (part == "" || in.Part == part)
	})
}
