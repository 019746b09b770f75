package web

import (
	"context"
	"slices"
	"sync"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// offer is what can be done after what has happened, worked out at one moment.
type offer struct {
	offerKey
	run     record.Running
	log     []schedule.Slip
	choices []schedule.Choice
}

// offerKey is what an offer depends on.
type offerKey struct {
	day     int64
	version int
	said    int    // entries of the log
	last    string // ID of its last
	at      int64  // minute it was worked out at, Unix
}

func (k offerKey) now() time.Time { return time.Unix(60*k.at, 0) }

// offers keeps the last offer of every day: it is shown, drawn and accepted
// within minutes, and the same each time.
type offers struct {
	mu   sync.Mutex
	last map[int64]*offer
}

// maxOffers is more days than are under way at once.
const maxOffers = 8

func (c *offers) put(o *offer) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.last == nil || len(c.last) >= maxOffers {
		c.last = map[int64]*offer{}
	}
	c.last[o.day] = o
}

func (c *offers) of(day int64) *offer {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.last[day]
}

// declined says whether the old plan was kept after all that was said.
func declined(run *record.Running, taps []record.Tap) bool {
	for i := len(taps) - 1; i >= 0; i-- {
		t := &taps[i]
		if t.Kind == record.Undo || t.Version != run.Version {
			return false
		}
		if t.Kind == keepOld && !t.Undone {
			return true
		}
		if slices.ContainsFunc(run.Log, func(x schedule.Slip) bool { return x.ID == t.ID }) {
			return false
		}
	}
	return false
}

// pending is the offer that still waits for a decision, nil for none. After a
// restart it is worked out anew.
func (s *server) pending(ctx context.Context, day int64) *offer {
	run, err := s.store.Running(ctx, day)
	if err != nil {
		return nil
	}
	taps, err := s.store.Taps(ctx, day)
	if err != nil || declined(&run, taps) {
		return nil
	}
	k, o := keyOf(&run), s.offers.of(day)
	if o != nil {
		k.at = o.at // however long ago
	}
	if o == nil || o.offerKey != k {
		if k.said == 0 {
			return nil
		}
		d, err := s.store.DayRecord(ctx, day)
		if err != nil {
			return nil
		}
		ctx, stop := context.WithTimeout(ctx, s.patience)
		defer stop()
		if o, err = s.offer(ctx, run, s.nowOf(d, run.Plan).Unix()/60); err != nil {
			s.log.WarnContext(ctx, "no choices", "day", day, "err", err)
			return nil
		}
	}
	if !o.endangered() {
		return nil
	}
	return o
}

// keyOf is what an offer for a day as it runs depends on, but the minute.
func keyOf(run *record.Running) offerKey {
	k := offerKey{day: run.Day, version: run.Version, said: len(run.Log)}
	if k.said > 0 {
		k.last = run.Log[k.said-1].ID
	}
	return k
}

// offer works out what can be done after all that was said of a day, at a
// minute. It is the same every time it is asked.
func (s *server) offer(ctx context.Context, run record.Running, at int64) (*offer, error) {
	return s.offerFrom(ctx, &s.offers, run, at)
}

// offerFrom is offer with a memory of its own.
func (s *server) offerFrom(ctx context.Context, kept *offers, run record.Running, at int64) (*offer, error) {
	k := keyOf(&run)
	k.at = at
	if o := kept.of(run.Day); o != nil && o.offerKey == k {
		return o, nil
	}
	o := &offer{offerKey: k, run: run, log: sound(&run, k.now())}
	var err error
	o.choices, err = schedule.Replan(ctx, &run.Base, &run.Plan.Plan, o.log, k.now(), run.Base.Settings)
	if err != nil {
		return nil, err
	}
	kept.put(o)
	return o, nil
}

// tremble is below what nobody is bothered with a move.
const tremble = 3 * time.Minute

// endangered says whether what happened calls for a decision: something gets
// worse where nothing is done, or moves by more than a tremble.
func (o *offer) endangered() bool {
	old := &o.run.Plan.Plan.Outcome
	for i := range o.choices {
		c := &o.choices[i]
		if c.LateTotal > old.LateTotal || c.AtRisk() > 0 || len(c.Broken) > len(old.Broken) {
			return true
		}
		if c.Kind == schedule.Keep {
			continue
		}
		if len(c.Rescues) > 0 || slices.ContainsFunc(c.Moves, func(m schedule.Move) bool {
			return m.Was.IsZero() || m.Start.IsZero() || m.Start.Sub(m.Was).Abs() >= tremble
		}) {
			return true
		}
	}
	return false
}

// nothing says whether there is nothing to decide: one way only, as it was.
func (o *offer) nothing() bool { return len(o.choices) == 1 && o.choices[0].Kind == schedule.Keep }

// pick finds a choice by its kind, of which there is one each.
func (o *offer) pick(kind string) *schedule.Choice {
	i := slices.IndexFunc(o.choices, func(c schedule.Choice) bool { return string(c.Kind) == kind })
	if i < 0 {
		return nil
	}
	return &o.choices[i]
}
