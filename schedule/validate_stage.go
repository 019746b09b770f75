package schedule

import (
	"fmt"
	"slices"

	"ovenward/schedule/unit"
)

// longestWait is the most minutes dough rests or is held cold.
const longestWait unit.Minutes = 72 * 60

// stage looks at the fields of one stage by its kind.
func (m *method) stage(i int) {
	s, where := &m.stages[i], m.at(i)
	if !m.want(slices.Contains(StageKinds(), s.Kind), where+".kind", fmt.Sprintf("%q is no kind of stage", string(s.Kind)), choose(kindWords(), "")) {
		return
	}
	m.strays(where, s)
	switch {
	case s.Kind.Work():
		m.work(where, s)
	case s.Kind.Waits():
		m.spot(where+".place", s.Place)
		m.wait(where, s.Least, s.Most)
	case s.Kind.Rises():
		m.spot(where+".place", s.Place)
		m.rise(where, s)
	default:
		m.bake(where, s)
	}
}

// strays names the fields that do not belong to the stage's kind.
func (m *method) strays(where string, s *Stage) {
	k := s.Kind
	for _, f := range []struct {
		field       string
		given, fits bool
	}{
		{"minutes", s.Minutes != 0, k.Work()},
		{"seconds_per_piece", s.PerPiece != 0, k.Work()},
		{"dough_celsius", s.Dough != 0, k == Mix},
		{"machine", s.Machine, k == Mix},
		{"alone", s.Alone, k == Mix},
		{"least_minutes", s.Least != 0, k.Waits()},
		{"most_minutes", s.Most != 0, k.Waits()},
		{"place", s.Place != "", k.Waits() || k.Rises()},
		{"until", s.Until != Target{}, k.Rises()},
		{"folds", len(s.Folds) > 0, k.Rises()},
		{"fold_minutes", len(s.FoldTimes) > 0, k.Rises()},
		{"chill", s.Chill != nil, k.Rises()},
		{"steps", len(s.Steps) > 0, k == Bake},
	} {
		m.want(f.fits || !f.given, where+"."+f.field, fmt.Sprintf("this does not belong to %q", string(k)), "leave it out")
	}
}

func (m *method) work(where string, s *Stage) {
	ok := m.within(where+".minutes", float64(s.Minutes), 0, 12*60, fmt.Sprintf("%v minutes of work cannot be", float64(s.Minutes)), "give 0 to 720")
	ok = m.within(where+".seconds_per_piece", s.PerPiece, 0, 3600, fmt.Sprintf("%v seconds for a piece cannot be", s.PerPiece), "give 0 to 3600") && ok
	if ok {
		m.want(s.Minutes > 0 || s.PerPiece > 0, where+".minutes", "no time is given for the work", "say how many minutes it takes, or how many seconds for a piece")
	}
	if s.Machine {
		m.want(len(m.day.Kitchen.Mixers) > 0, where+".machine", "the kitchen has no mixer", "add the mixer to the kitchen, or mix by hand")
	}
}

// wait wants least and most minutes that make a span.
func (m *method) wait(where string, least, most unit.Minutes) {
	ok := m.within(where+".least_minutes", float64(least), 0, float64(longestWait), fmt.Sprintf("%v minutes at least cannot be", float64(least)), "give 0 to 4320, three days")
	if m.within(where+".most_minutes", float64(most), 1, float64(longestWait), fmt.Sprintf("%v minutes at most cannot be", float64(most)), "give 1 to 4320, three days") && ok {
		m.want(least <= most, where+".most_minutes", fmt.Sprintf("the most, %v, is less than the least, %v", most, least), "give the longer time as the most")
	}
}

// spot wants a place of the kitchen; "" is the bench.
func (m *method) spot(where, name string) {
	_, ok := m.day.Kitchen.Place(name)
	m.want(ok || name == "", where, fmt.Sprintf("there is no place called %q", name), choose(m.places(Room, Warm, Cold), "add the place to the kitchen"))
}

// places names the places of some kinds.
func (m *method) places(kinds ...PlaceKind) []string {
	var names []string
	for _, p := range m.day.Kitchen.Places {
		if slices.Contains(kinds, p.Kind) {
			names = append(names, p.Name)
		}
	}
	return names
}

func (m *method) rise(where string, s *Stage) {
	m.until(where+".until", s)
	m.folds(where+".folds", s)
	m.foldTimes(where+".fold_minutes", s)
	if s.Chill == nil {
		return
	}
	m.chill(where+".chill", s.Chill)
}

const notFolded, leaveFolds = "a proofing piece is not folded", "leave the folds out"

// folds wants shares of the way in order.
func (m *method) folds(where string, s *Stage) {
	for i, f := range s.Folds {
		fold := at(where, i)
		if m.within(fold, f, 0.001, 0.999, fmt.Sprintf("a fold at %v of the way is not on the way", f), "give a share between 0 and 1, such as 0.5") {
			m.want(i == 0 || s.Folds[i-1] < f, fold, "the folds are out of order", "put them in order, each later than the one before")
		}
	}
	m.want(s.Kind == Rise || len(s.Folds) == 0, where, notFolded, leaveFolds)
}

// foldTimes wants minutes after the rise began, each when the fold before is
// done. Whether the dough is ready by then is a matter of the day, and said in
// its plan.
func (m *method) foldTimes(where string, s *Stage) {
	for i, t := range s.FoldTimes {
		fold := at(where, i)
		if m.within(fold, float64(t), 1, float64(longestWait), fmt.Sprintf("a fold %v minutes after the rise began cannot be", float64(t)), "give 1 to 4320 minutes") {
			m.want(i == 0 || s.foldAfter(i) > 0, fold, "the fold begins before the one before it is done", fmt.Sprintf("put the folds in order, each more than %d minutes after the one before", FoldMinutes))
		}
	}
	if len(s.FoldTimes) == 0 {
		return
	}
	m.want(s.Kind == Rise, where, notFolded, leaveFolds)
	m.want(len(s.Folds) == 0, where, "the folds are given in minutes and by how far the dough is", "keep one of them")
}

func (m *method) chill(where string, c *Chill) {
	remedy := choose(m.places(Cold), "add the fridge to the kitchen")
	switch p, ok := m.day.Kitchen.Place(c.Place); {
	case c.Place == "":
		m.fault(where+".place", "no cold place is given", remedy)
	case !ok:
		m.fault(where+".place", fmt.Sprintf("there is no place called %q", c.Place), remedy)
	case p.Kind != Cold:
		m.fault(where+".place", fmt.Sprintf("%q is not a cold place", p.Name), remedy)
	}
	m.wait(where, c.Least, c.Most)
	m.want(c.Least != c.Most, where+".most_minutes", "a hold of exactly one length leaves no room", "give a longer most")
}

// targetWords are the targets a baker may name.
func targetWords() []string {
	var words []string
	for _, w := range []TargetWord{Doubled, HalfMore, Recedes, TinFull, ThreeQuarters, WellRisen, Ripe} {
		words = append(words, string(w))
	}
	return words
}

// until looks at how far a rise goes: a word or a number, and sensible for it.
func (m *method) until(where string, s *Stage) {
	t := s.Until
	number := t.Expansion != 0
	switch {
	case t.Word == "" && !number:
		m.fault(where, "nothing says how far it rises", "give a word such as doubled, or the expansion as a number")
	case t.Word != "" && number:
		m.fault(where, "a word and a number both say how far it rises", "keep one of them")
	case number:
		m.within(where+".expansion", t.Expansion, 1.1, 4, fmt.Sprintf("dough does not rise to %v times its volume", t.Expansion), "give 1.1 to 4; doubled by eye is 2.25")
	case !slices.Contains(targetWords(), string(t.Word)):
		m.fault(where+".word", fmt.Sprintf("%q does not say how far it rises", string(t.Word)), choose(targetWords(), ""))
	case t.Word == TinFull && (s.Kind != Proof || m.bread == nil || m.bread.Tin == ""):
		m.fault(where+".word", "\"tin-full\" needs a tin", "choose the bread's tin, or another word for this rise")
	}
}

func (m *method) bake(where string, s *Stage) {
	m.want(len(s.Steps) > 0, where+".steps", "the bake has no steps", "give at least one: temperature and minutes")
	hottest := m.day.Kitchen.hottestOven()
	for i, b := range s.Steps {
		step := at(where+".steps", i)
		if m.within(step+".celsius", float64(b.Celsius), 80, 400, fmt.Sprintf("bread is not baked at %v", b.Celsius), "give 80 to 400 °C") {
			m.want(b.Celsius <= hottest || hottest < 80, step+".celsius", fmt.Sprintf("no oven gets to %v", b.Celsius), fmt.Sprintf("bake at %v or less", hottest))
		}
		m.within(step+".minutes", float64(b.Minutes), 1, 240, fmt.Sprintf("a step of %v minutes cannot be", float64(b.Minutes)), "give 1 to 240")
	}
}
