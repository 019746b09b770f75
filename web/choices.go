package web

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
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

// keepOld is the tap that keeps the old plan: nothing more is asked until
// something more is said.
const keepOld = record.TapKind(schedule.Keep)

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
		ctx, stop := context.WithTimeout(ctx, patience)
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

// busy is a task nobody has hands for until a moment.
type busy struct {
	task  string
	until time.Time
}

// offerFor is the offer at the day's own now; where the page was asked for a task
// that nobody has hands for, and that can be, the offer for that.
func (s *server) offerFor(r *http.Request, d record.Day) (*offer, *busy, error) {
	ctx := r.Context()
	run, err := s.store.Running(ctx, d.ID)
	if err != nil {
		return nil, nil, err
	}
	at := s.nowOf(d, run.Plan).Unix() / 60
	if task := r.URL.Query().Get("busy"); task != "" {
		o, err := s.unattended(ctx, run, task, at)
		if o != nil || err != nil {
			return o, &busy{task, time.Unix(60*at, 0).Add(nobodyFor)}, err
		}
	}
	o, err := s.offer(ctx, run, at)
	return o, nil, err
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

// heed draws the conclusions of what was said: what it teaches, and what can be
// done. It never fails the tap, which is on disk.
func (s *server) heed(ctx context.Context, d record.Day) *offer {
	run, err := s.store.Running(ctx, d.ID)
	if err == nil {
		err = s.learn(ctx, d, &run)
	}
	if err != nil {
		s.log.WarnContext(ctx, "nothing learnt", "day", d.ID, "err", err)
	}
	ctx, stop := context.WithTimeout(ctx, patience)
	defer stop()
	o, err := s.offer(ctx, run, s.nowOf(d, run.Plan).Unix()/60)
	if err != nil {
		s.log.WarnContext(ctx, "no choices", "day", d.ID, "err", err)
		return nil
	}
	return o
}

// patience is how long a tap waits for its conclusions at most.
const patience = 3 * time.Second

func (s *server) choicesPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	return s.showChoices(w, r, http.StatusOK, d, s.notices.read(r.URL.Query().Get("said")))
}

func (s *server) showChoices(w http.ResponseWriter, r *http.Request, status int, d record.Day, said []string) error {
	p := s.dayFrame(r, d, "choices", "Choices")
	p.Said = said
	m, ok, err := s.picture(r, d, &p)
	if err != nil {
		return err
	}
	if !ok {
		return seeOther(w, r, p.Day.At("/plan"))
	}
	o, busy, err := s.offerFor(r, d)
	if fs, bad := errors.AsType[schedule.Faults](err); bad {
		return &Error{http.StatusConflict, "This day cannot be worked out: " + view.Sentence(fs[0].What), view.Sentence(fs[0].Remedy), p.Day.At("/slip")}
	}
	if err != nil {
		return err
	}
	c := view.ChoicesModel{Old: m, Key: newKey(), Said: o.said, At: o.at, Log: o.log, Nothing: o.nothing(), Endangered: o.endangered(), Choices: o.choices}
	if busy != nil {
		c.Busy, c.Until = busy.task, busy.until
		c.Said-- // that nobody comes is said with the choice
	} else if c.Stuck = c.Endangered && schedule.Stuck(o.choices); c.Stuck && r.URL.Query().Has("help") {
		c.Asked = true
		if c.Aids, err = s.aids(r.Context(), o); err != nil {
			return err
		}
	}
	if len(o.choices) > 0 {
		shown := o.pick(r.URL.Query().Get("show"))
		if shown == nil {
			shown = &o.choices[0]
		}
		c.Shown = shown.Kind
		if c.Drawn, err = s.compare(d, m, o, shown); err != nil {
			return err
		}
	}
	return render(w, r, status, view.ChoicesPage(p, c))
}

// compare is the picture of a choice against the plan as it is.
func (s *server) compare(d record.Day, m view.Picture, o *offer, c *schedule.Choice) (view.Picture, error) {
	day, err := schedule.Amend(&o.run.Base, &c.Plan, o.log, o.now())
	if err != nil {
		return m, err
	}
	old, err := s.traces.of(d.ID, o.version, m.Day, m.Plan)
	if err != nil {
		return m, err
	}
	next := m
	next.Day, next.Plan, next.Old, next.OldTraces = day, &c.Plan, m.Plan, old
	next.Traces, err = schedule.Traces(day, &c.Plan)
	return next, err
}

// stale is after how long a choice is worked out anew before it is accepted.
const stale = 10 * time.Minute

// choose accepts a choice, or keeps the old plan.
func (s *server) choose(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	ctx, f := r.Context(), r.PostForm
	s.answers.Lock()
	defer s.answers.Unlock()
	run, err := s.store.Running(ctx, d.ID)
	if err != nil {
		return err
	}
	now := view.DayHead{ID: d.ID}.At("/now")
	switch key := f.Get("key"); { // an impatient finger
	case slices.Contains(run.Keys, key):
		return seeOther(w, r, now)
	case slices.ContainsFunc(run.Log, func(x schedule.Slip) bool { return x.ID == key }):
		return seeOther(w, r, view.DayHead{ID: d.ID}.At("/choices"))
	}
	version, _ := strconv.Atoi(f.Get("version"))
	said, _ := strconv.Atoi(f.Get("said"))
	at, _ := strconv.ParseInt(f.Get("at"), 10, 64)
	clock := s.nowOf(d, run.Plan)
	switch old := clock.Sub(time.Unix(60*at, 0)); {
	case version != run.Version:
		return &Error{http.StatusConflict, "The plan has changed meanwhile: somebody has decided already.", "Look at the plan as it is now.", now}
	case said != len(run.Log):
		return s.showChoices(w, r, http.StatusConflict, d, []string{"Something more has happened meanwhile. These are the choices after it."})
	case old > stale || old < -time.Minute:
		return s.showChoices(w, r, http.StatusConflict, d, []string{"Time has moved on. These are the choices as of " + clock.Format("15:04") + "."})
	}
	heard := s.now() // one touch
	if call := f.Get("call"); call != "" {
		if run, err = s.sayNobody(ctx, d, run, call, f.Get("key"), at, heard); err != nil {
			return err
		}
	}
	o, err := s.offer(ctx, run, at)
	if err != nil {
		return err
	}
	if strings.HasPrefix(f.Get("pick"), aidPrefix) {
		return s.takeAid(w, r, d, o, record.Tap{ID: f.Get("key"), Day: d.ID, Version: o.version, Recorded: heard})
	}
	c := o.pick(f.Get("pick"))
	switch {
	case c == nil && f.Get("pick") == string(schedule.Keep):
		kept := record.Tap{ID: f.Get("key"), Day: d.ID, Version: version, Kind: keepOld, At: clock, Recorded: heard}
		if _, err := s.store.Say(ctx, kept, nil); err != nil {
			return err
		}
		s.hub.Publish("tap", strconv.FormatInt(d.ID, 10))
		return seeOther(w, r, now+s.notices.keep([]string{"The old plan stays. What has happened is kept with it."}))
	case c == nil:
		return s.showChoices(w, r, http.StatusConflict, d, []string{"This choice is not there any more. These are."})
	}
	return s.accept(w, r, d, o, c, f.Get("key"), heard)
}

func (s *server) accept(w http.ResponseWriter, r *http.Request, d record.Day, o *offer, c *schedule.Choice, key string, heard time.Time) error {
	day, err := schedule.Amend(&o.run.Base, &c.Plan, o.log, o.now())
	if err != nil {
		return err
	}
	if _, err := s.store.Accept(r.Context(), d.ID, key, o.version, *day, c.Plan, schedule.AlertsFrom(&c.Plan, o.now()), heard); err != nil {
		return err
	}
	s.hub.Publish("plan", strconv.FormatInt(d.ID, 10))
	words := s.words(r)
	return seeOther(w, r, view.DayHead{ID: d.ID}.At("/now")+s.notices.keep([]string{words.Accepted(c), view.Moves(c)}))
}
