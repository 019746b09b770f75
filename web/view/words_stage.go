package view

import "ovenward/schedule"

// Verb is a stage as something one does, "Knock back".
func (w Words) Verb(k schedule.StageKind) string {
	switch k {
	case schedule.Prepare:
		return "Prepare"
	case schedule.Mix:
		return "Mix"
	case schedule.Rest:
		return "Rest"
	case schedule.Rise:
		return "Bulk rise"
	case schedule.Fold:
		return "Fold"
	case schedule.KnockBack:
		return upper(w.Knock())
	case schedule.Divide:
		return "Divide"
	case schedule.Round:
		return "Round"
	case schedule.Shape:
		return "Shape"
	case schedule.Proof:
		return "Final " + pick(w.Proof, "proof", "prove")
	case schedule.Score:
		return "Score or wash"
	case schedule.Bake:
		return "Bake"
	case schedule.Cool:
		return "Cool"
	case schedule.Finish:
		return "Finish"
	case schedule.Preheat:
		return "Heat the oven"
	}
	return string(k)
}

// verbOf is the verb for a preferment or soaker.
func (w Words) verbOf(k schedule.StageKind) string {
	if k == schedule.Rise {
		return "Ripen"
	}
	return w.Verb(k)
}

// verbShort is the verb where there is room for one word.
func (w Words) verbShort(k schedule.StageKind) string {
	switch k {
	case schedule.Prepare:
		return "Prep"
	case schedule.KnockBack:
		return pick(w.Punch, "Punch", "Knock")
	case schedule.Score:
		return "Top"
	case schedule.Preheat:
		return "Oven"
	case schedule.Rise, schedule.Proof:
		return "Fold"
	}
	return w.Verb(k)
}

// rescue says what moves a rise on its way.
func (w Words) rescue(r *schedule.Rescue) string {
	if r.Kind == schedule.PressAgain {
		return w.Knock() + " at " + clock(r.From)
	}
	if r.Kind == schedule.FinishWarm {
		return "out at " + clock(r.From) + ", then " + r.Place
	}
	if r.Kind == schedule.ColdLater {
		return r.Place + " until " + clock(r.To)
	}
	return r.Place + " " + span(r.From, r.To)
}
