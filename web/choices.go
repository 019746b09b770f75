package web

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/live"
	"ovenward/web/view"
)

// keepOld is the tap that keeps the old plan: nothing more is asked until
// something more is said.
const keepOld = record.TapKind(schedule.Keep)

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

// heed draws the conclusions of what was said: what it teaches, and what can be
// done. It never fails the tap, which is on disk.
func (s *server) heed(ctx context.Context, d record.Day) *offer {
	run, err := s.store.Running(ctx, d.ID)
	if err != nil {
		s.log.WarnContext(ctx, "no conclusions", "day", d.ID, "err", err)
		return nil
	}
	if err := s.learn(ctx, d, &run); err != nil {
		s.log.WarnContext(ctx, "nothing learnt", "day", d.ID, "err", err)
	}
	ctx, stop := context.WithTimeout(ctx, s.patience)
	defer stop()
	o, err := s.offer(ctx, run, s.nowOf(d, run.Plan).Unix()/60)
	if err != nil {
		s.log.WarnContext(ctx, "no choices", "day", d.ID, "err", err)
		return nil
	}
	return o
}

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

// pick is what a form of the page of choices asks for, and what it was shown.
type pick struct {
	key     string // of the touch
	kind    string // of a choice; or of what would help, after aidPrefix
	call    string // the task nobody has hands for; "" for none
	version int    // of the plan
	said    int    // entries of the log
	at      int64  // minute the choices were worked out at, Unix
}

func pickOf(f url.Values) pick {
	p := pick{key: f.Get("key"), kind: f.Get("pick"), call: f.Get("call")}
	p.version, _ = strconv.Atoi(f.Get("version"))
	p.said, _ = strconv.Atoi(f.Get("said"))
	p.at, _ = strconv.ParseInt(f.Get("at"), 10, 64)
	return p
}

// choose accepts a choice, or keeps the old plan.
func (s *server) choose(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	ctx, p := r.Context(), pickOf(r.PostForm)
	s.answers.Lock()
	defer s.answers.Unlock()
	run, err := s.store.Running(ctx, d.ID)
	if err != nil {
		return err
	}
	if instead := s.outdated(d, &run, p); instead != nil {
		return instead(w, r)
	}
	heard := s.now() // one touch
	if p.call != "" {
		if run, err = s.sayNobody(ctx, d, run, p.call, p.key, p.at, heard); err != nil {
			return err
		}
	}
	o, err := s.offer(ctx, run, p.at)
	if err != nil {
		return err
	}
	if strings.HasPrefix(p.kind, aidPrefix) {
		return s.takeAid(w, r, d, o, record.Tap{ID: p.key, Day: d.ID, Version: o.version, Recorded: heard})
	}
	if c := o.pick(p.kind); c != nil {
		return s.accept(w, r, d, o, c, p.key, heard)
	}
	if p.kind == string(schedule.Keep) {
		return s.stay(w, r, record.Tap{ID: p.key, Day: d.ID, Version: p.version, Kind: keepOld, At: s.nowOf(d, run.Plan), Recorded: heard})
	}
	return s.showChoices(w, r, http.StatusConflict, d, []string{"This choice is not there any more. These are."})
}

// outdated is the answer to a pick from what the day is no longer like; nil where
// it still is.
func (s *server) outdated(d record.Day, run *record.Running, p pick) handler {
	at, clock := view.DayHead{ID: d.ID}, s.nowOf(d, run.Plan)
	lead := func(to string) handler {
		return func(w http.ResponseWriter, r *http.Request) error { return seeOther(w, r, to) }
	}
	again := func(said string) handler {
		return func(w http.ResponseWriter, r *http.Request) error {
			return s.showChoices(w, r, http.StatusConflict, d, []string{said})
		}
	}
	switch old := clock.Sub(time.Unix(60*p.at, 0)); {
	case slices.Contains(run.Keys, p.key): // an impatient finger
		return lead(at.At("/now"))
	case slices.ContainsFunc(run.Log, func(x schedule.Slip) bool { return x.ID == p.key }):
		return lead(at.At("/choices"))
	case p.version != run.Version:
		return func(http.ResponseWriter, *http.Request) error {
			return &Error{http.StatusConflict, "The plan has changed meanwhile: somebody has decided already.", "Look at the plan as it is now.", at.At("/now")}
		}
	case p.said != len(run.Log):
		return again("Something more has happened meanwhile. These are the choices after it.")
	case old > stale || old < -time.Minute:
		return again("Time has moved on. These are the choices as of " + clock.Format("15:04") + ".")
	}
	return nil
}

// stay keeps the old plan, by a tap that says so.
func (s *server) stay(w http.ResponseWriter, r *http.Request, t record.Tap) error {
	if _, err := s.store.Say(r.Context(), t, nil); err != nil {
		return err
	}
	s.hub.Publish(live.Tap{Day: t.Day})
	return seeOther(w, r, view.DayHead{ID: t.Day}.At("/now")+s.notices.keep([]string{"The old plan stays. What has happened is kept with it."}))
}

func (s *server) accept(w http.ResponseWriter, r *http.Request, d record.Day, o *offer, c *schedule.Choice, key string, heard time.Time) error {
	day, err := schedule.Amend(&o.run.Base, &c.Plan, o.log, o.now())
	if err != nil {
		return err
	}
	if _, err := s.store.Accept(r.Context(), d.ID, key, o.version, *day, c.Plan, schedule.AlertsFrom(&c.Plan, o.now()), heard); err != nil {
		return err
	}
	s.hub.Publish(live.Plan{Day: d.ID})
	words := s.words(r)
	return seeOther(w, r, view.DayHead{ID: d.ID}.At("/now")+s.notices.keep([]string{words.Accepted(c), view.Moves(c)}))
}
