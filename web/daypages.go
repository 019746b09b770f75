package web

import (
	"errors"
	"net/http"
	"strconv"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// start is the day that matters now: today's, else the next, else the last.
func (s *server) start(w http.ResponseWriter, r *http.Request) error {
	all, err := s.store.DaysFrom(r.Context(), s.now().AddDate(0, 0, -2).UTC().Format(time.DateOnly))
	if err != nil {
		return err
	}
	if d := current(all, s.now()); d != nil {
		return seeOther(w, r, view.DayHead{ID: d.ID}.At("/now"))
	}
	return seeOther(w, r, "/days")
}

// current finds the day under way at an instant: the first that is today's or
// later, else the latest. A baker may still work on a day after its midnight.
func current(all []record.Day, now time.Time) *record.Day {
	for i := range all {
		loc, err := time.LoadLocation(all[i].Zone)
		if err == nil && all[i].Date >= now.Add(-4*time.Hour).In(loc).Format(time.DateOnly) {
			return &all[i]
		}
	}
	if len(all) > 0 {
		return &all[len(all)-1]
	}
	return nil
}

// dayOf loads the day a path speaks of.
func (s *server) dayOf(r *http.Request) (record.Day, error) {
	id, err := strconv.ParseInt(r.PathValue("day"), 10, 64)
	if err != nil {
		return record.Day{}, &Error{http.StatusNotFound, "There is no such day.", "Choose one from the list.", "/days"}
	}
	return s.store.DayRecord(r.Context(), id)
}

// dayFrame is the frame of a page of a day.
func (s *server) dayFrame(r *http.Request, d record.Day, tab, title string) view.Page {
	p := s.page(r, title+", "+d.Name)
	p.Tab = tab
	p.Day = &view.DayHead{ID: d.ID, Name: d.Name, Example: d.Example, Version: d.Version}
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	if len(d.Now) >= len("2026-11-28T08:00") {
		p.Day.Fixed = string(d.Now[11:16])
	}
	return p
}

// picture loads a day's plan, as it runs, with what was tapped. ok is false before the first
// plan.
func (s *server) picture(r *http.Request, d record.Day, p *view.Page) (m view.Picture, ok bool, err error) {
	run, err := s.store.Running(r.Context(), d.ID)
	if errors.Is(err, record.ErrNotFound) {
		return m, false, nil
	}
	if err != nil {
		return m, false, err
	}
	taps, err := s.store.Taps(r.Context(), d.ID)
	if err != nil {
		return m, false, err
	}
	taps = sinceBase(taps, &run)
	now := s.nowOf(d, run.Plan)
	p.Now = now
	people := schedule.People(run.Base.Kitchen.Bakers, run.Log, now.Location())
	m = view.Picture{Day: &run.Plan.From, People: people, Plan: run.Followed(), Planned: &run.Plan.Plan, Now: now, Version: d.Version, Zoom: 1, Words: p.Words, Done: map[string]bool{}, Lost: map[string]bool{}, Begun: map[string]bool{}, OnIt: map[string]bool{}, Ready: map[string]bool{}, Wait: map[string]time.Time{}}
	for _, t := range taps {
		if t.Undone {
			continue
		}
		if t.Kind.OnTheWay() {
			m.Done[view.OnTheWay(t.Kind, t.Task)] = true
		}
		switch t.Kind {
		case record.Finished, record.Skipped:
			m.Done[t.Task] = true
		case record.Discard, record.Lost, tapLost:
			m.Done[t.Task], m.Lost[t.Task] = true, true
		case record.Ready:
			m.Ready[t.Task] = true
		case record.NotYet:
			m.Ready[t.Task], m.Wait[t.Task] = false, t.At.Add(time.Duration(max(t.Minutes, 5))*time.Minute).In(now.Location())
		case record.Started:
			m.Begun[t.Task], m.OnIt[t.Task] = true, false
		case record.Ack:
			m.OnIt[t.Task] = true
		case tapVolume:
			m.Seen = append(m.Seen, view.Sighting{Task: t.Task, At: t.At, Expansion: t.Value})
		}
	}
	if all := recent(taps, s.now()); len(all) > 0 {
		p.Undo = m.Undo(all[0], run.Log, s.now())
		p.Undo.More = len(all) - 1
	}
	return m, true, nil
}

// nowOf is the day's now in its zone: the clock, or the fixed moment of a
// rehearsal.
func (s *server) nowOf(d record.Day, saved record.Plan) time.Time {
	loc := saved.Saved.Location()
	if d.Now != "" {
		if t, err := d.Now.In(loc); err == nil {
			return t
		}
	}
	return s.now().In(loc)
}

// planned is like picture, and sends to the plan page while there is no plan.
func (s *server) planned(w http.ResponseWriter, r *http.Request, tab, title string, show func(view.Page, view.Picture) error) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	p := s.dayFrame(r, d, tab, title)
	m, ok, err := s.picture(r, d, &p)
	if err != nil {
		return err
	}
	if !ok {
		return seeOther(w, r, p.Day.At("/plan"))
	}
	return show(p, m)
}

func (s *server) dayPage(w http.ResponseWriter, r *http.Request) error {
	return s.planned(w, r, "day", "Day", func(p view.Page, m view.Picture) error {
		if z, _ := strconv.Atoi(r.URL.Query().Get("zoom")); z == 2 || z == 4 {
			m.Zoom = z
		}
		var err error
		if m.Traces, err = s.traces.of(p.Day.ID, p.Day.Version, m.Day, m.Plan); err != nil {
			return err
		}
		return render(w, r, http.StatusOK, view.DayPage(p, m))
	})
}

func (s *server) nowPage(w http.ResponseWriter, r *http.Request) error {
	return s.planned(w, r, "now", "Now", func(p view.Page, m view.Picture) error {
		if o := s.pending(r.Context(), p.Day.ID); o != nil {
			m.Decide = m.Offering(o.choices, o.said, o.at)
		}
		b, err := s.bell(r.Context(), p.Day.ID, m.Plan)
		if err != nil {
			return err
		}
		return render(w, r, http.StatusOK, view.NowPage(p, m, b, newKey))
	})
}

func (s *server) sheetPage(w http.ResponseWriter, r *http.Request) error {
	return s.planned(w, r, "sheet", "Sheet", func(p view.Page, m view.Picture) error {
		b, err := s.benchSettings(r)
		if err != nil {
			return err
		}
		if m.Traces, err = s.traces.of(p.Day.ID, p.Day.Version, m.Day, m.Plan); err != nil {
			return err
		}
		return render(w, r, http.StatusOK, view.SheetPage(p, m, b))
	})
}
