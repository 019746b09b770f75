package schedule

import (
	"fmt"
	"slices"
	"time"
)

// People are the bakers after what a log says of them: who is away, who is there
// beyond the hours, and who keeps to them again. Those of bs stay as they are.
func People(bs []Baker, log []Slip, loc *time.Location) []Baker {
	bs = slices.Clone(bs)
	for _, s := range log {
		for i := range bs {
			if bs[i].Name == s.Of {
				bs[i].heed(s, loc)
			}
		}
	}
	return bs
}

// Personal says whether a slip is of a person's hours alone: it is true of the day
// whatever is planned.
func (k SlipKind) Personal() bool { return k == Away || k == Stays || k == AsUsual }

func (b *Baker) heed(s Slip, loc *time.Location) {
	from, to := s.span(loc)
	switch s.Kind {
	case Away:
		b.Away = append(slices.Clone(b.Away), Span{WallOf(from), WallOf(to)})
	case Stays:
		b.Stays = append(slices.Clone(b.Stays), Span{WallOf(from), WallOf(to)})
	case AsUsual:
		b.Away, b.Stays = before(b.Away, from), before(b.Stays, from)
	}
}

// before is what spans have before a moment.
func before(spans []Span, at time.Time) (out []Span) {
	for _, s := range spans {
		from, to, ok := s.in(at.Location())
		if ok && !from.Before(at) {
			continue
		}
		if ok && to.After(at) {
			s.To = WallOf(at)
		}
		out = append(out, s)
	}
	return out
}

// mostBeyond is how many hours may lie between the hours of work and what somebody is
// there beyond them. Common practice, no source.
const mostBeyond = 12

// StaysUntil is the baker there from the end of the hours until a moment at which
// nobody expects them. The error says why there is no such time.
func (b *Baker) StaysUntil(to time.Time) (Asked, error) {
	at, err := b.edge(to, -1)
	if err != nil {
		return Asked{}, err
	}
	return b.rest(Asked{Baker: b.Name, From: at, To: to}), nil
}

// ComesAt is the baker there from a moment until the hours begin, as StaysUntil.
func (b *Baker) ComesAt(from time.Time) (Asked, error) {
	at, err := b.edge(from, 1)
	if err != nil {
		return Asked{}, err
	}
	return b.rest(Asked{Baker: b.Name, From: from, To: at, Comes: true}), nil
}

// edge is where the time ends, going on or back from a moment, at which the baker is
// not expected.
func (b *Baker) edge(at time.Time, way int) (time.Time, error) {
	due := Baker{Hours: b.Hours, Stays: b.Stays}
	for m := 0; m <= mostBeyond*60; m++ {
		t := at.Add(time.Duration(m*way) * time.Minute)
		from := t.Add(time.Duration(min(way, 0)) * time.Minute) // the minute on its far side
		switch there := due.AtWork(from, from.Add(time.Minute)); {
		case there && m == 0:
			return t, fmt.Errorf("%s is at work at %s as it is; give a time outside the hours, or say that %s is away", b.Name, at.Format("15:04"), b.Name)
		case there:
			return t, nil
		}
	}
	ends, side := "begin", "after"
	if way < 0 {
		ends, side = "end", "before"
	}
	return at, fmt.Errorf("no hours of %s %s in the %d h %s %s; give a time nearer to them, or another day", b.Name, ends, mostBeyond, side, at.Format("15:04"))
}

// rest says how long somebody rests who does as asked, where that is short.
func (b *Baker) rest(a Asked) Asked {
	all := []Asked{a}
	rested([]Baker{*b}, all)
	return all[0]
}

// Beyond is when the baker is there beyond the hours, in order of time; what goes on
// without a pause is one.
func (b *Baker) Beyond(loc *time.Location) (out []Asked) {
	for _, s := range b.Stays {
		if from, to, ok := s.in(loc); ok {
			out = append(out, Asked{Baker: b.Name, From: from, To: to})
		}
	}
	slices.SortFunc(out, func(x, y Asked) int { return x.From.Compare(y.From) })
	for i := 1; i < len(out); i++ {
		if last := &out[i-1]; !out[i].From.After(last.To) {
			last.To = Later(last.To, out[i].To)
			out = slices.Delete(out, i, i+1)
			i--
		}
	}
	for i := range out {
		out[i] = b.Asks(out[i].From, out[i].To)
	}
	return out
}

// Asks is the baker there between two moments beyond the hours: to stay, or, where
// only hours follow, to come.
func (b *Baker) Asks(from, to time.Time) Asked {
	usual := Baker{Hours: b.Hours}
	comes := !usual.AtWork(from.Add(-time.Minute), from) && usual.AtWork(to, to.Add(time.Minute))
	return Asked{Baker: b.Name, From: from, To: to, Comes: comes}
}
