package view

import (
	"slices"

	"ovenward/schedule"
	"ovenward/store/record"
)

// OnTheWay is the key in Picture.Done of what was done to a rise before it is over.
func OnTheWay(kind record.TapKind, rise string) string { return string(kind) + " " + rise }

// onTheWay are the cards of a rise that stands in the cold for a while: in, and out
// again once it is in, or should be; of one that goes in later, in; of one that is to
// finish outside, out; and of one that is to rise once more, to knock it back.
// None when the dough is worked on.
func (m *Picture) onTheWay(t *schedule.Task) (out []Card) {
	r := t.Rescue
	if r == nil || m.workedOn(t.ID) {
		return nil
	}
	c := Card{Task: t.ID, Of: m.nameOf(t), Much: m.Much(t), Who: "anybody"}
	in, back := c, c
	in.Kind, in.Done, in.Title, in.Due = record.PutCold, "It is in", "Into the cold: "+r.Place, r.From
	in.Why = "there until " + Clock(r.To, r.From)
	back.Kind, back.Done, back.Title, back.Due = record.TakenOut, "It is out", "Out of the cold: "+r.Place, r.To
	cards := []Card{in, back}
	switch r.Kind {
	case schedule.ColdLater:
		in.Title, in.Due, in.Why = "Into the cold: "+t.Place, r.To, "until then it stands in "+r.Place
		cards = []Card{in}
	case schedule.FinishWarm:
		back.Title, back.Due, back.Why = "Out of the cold, to "+r.Place, r.From, "its rise finishes there until "+Clock(r.To, r.From)
		cards = []Card{back}
	case schedule.PressAgain:
		c.Kind, c.Done, c.Title, c.Due = record.Pressed, "Done", upper(m.Words.Knock()), r.From
		c.Why = "it rises once more, until " + Clock(t.End, r.From)
		cards = []Card{c}
	}
	for _, c := range cards {
		if m.Done[OnTheWay(c.Kind, t.ID)] {
			continue
		}
		c.DueText = "due " + Clock(c.Due, m.Now) + " · " + c.since(m.Now)
		if c.Sign = "◔"; !m.Now.Before(c.Due) {
			c.Sign, c.Class = "●", "due"
		}
		c.slack, c.ahead = c.Due.Sub(m.Now), c.Due.Sub(m.Now) > atHand
		out = append(out, c)
	}
	return out
}

// workedOn says whether the work that ends a rise is begun.
func (m *Picture) workedOn(rise string) bool {
	return slices.ContainsFunc(m.Plan.Tasks, func(t schedule.Task) bool {
		return (m.Done[t.ID] || m.Begun[t.ID] && t.Kind == schedule.Bake) && t.ID != rise && RiseBefore(m.Plan.Tasks, t.ID) == rise
	})
}
