package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"sync"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// waysCache keeps the alternatives of the days last looked at: they cost several
// plans, and hold while the day, its plan and the hour are the same.
type waysCache struct {
	mu   sync.Mutex
	keep map[wayKey][]schedule.Alternative
}

type wayKey struct {
	day     int64
	updated time.Time
	hour    int64
	people  string // as they are there on the day
}

// maxWays is more days than a baker compares in an evening.
const maxWays = 8

func (c *waysCache) of(ctx context.Context, k wayKey, d *schedule.Day) ([]schedule.Alternative, error) {
	c.mu.Lock()
	defer c.mu.Unlock() // two looks at once wait for one answer
	if all, ok := c.keep[k]; ok {
		return all, nil
	}
	all, err := schedule.Alternatives(ctx, d, d.Settings)
	if err != nil || ctx.Err() != nil {
		return all, err // there may be more
	}
	if c.keep == nil || len(c.keep) >= maxWays {
		c.keep = map[wayKey][]schedule.Alternative{}
	}
	c.keep[k] = all
	return all, nil
}

// alternatives are the ways of making a day, and the day they are for.
func (s *server) alternatives(ctx context.Context, d record.Day) ([]schedule.Alternative, schedule.Day, error) {
	now := s.now()
	day, err := s.store.Day(ctx, d.ID, now)
	if err != nil {
		return nil, day, err
	}
	ctx, stop := s.searching(ctx)
	defer stop()
	all, err := s.ways.of(ctx, wayKey{d.ID, d.Updated, now.Unix() / 3600, fmt.Sprint(day.Kitchen.Bakers)}, &day)
	if _, faulty := errors.AsType[schedule.Faults](err); faulty {
		return nil, day, &Error{http.StatusConflict, "This day cannot be planned as it is wished now.", "Its plan page says what is wrong, and where.", view.DayHead{ID: d.ID}.At("/plan")}
	}
	return all, day, err
}

func (s *server) waysPage(w http.ResponseWriter, r *http.Request) error {
	return s.planned(w, r, "plan", "Ways", func(p view.Page, m view.Picture) error {
		d, err := s.dayOf(r)
		if err != nil {
			return err
		}
		all, day, err := s.alternatives(r.Context(), d)
		if err != nil {
			return err
		}
		ways := make([]view.Way, len(all))
		for i := range all {
			a := &all[i]
			traces, err := schedule.Traces(&day, &a.Plan)
			if err != nil {
				return err
			}
			pic := view.Picture{Day: &day, Plan: &a.Plan, Traces: traces, Zoom: 1, Words: p.Words}
			ways[i] = view.Way{Alternative: a, Drawing: view.Draw(pic), Current: view.SameTimes(&a.Plan, m.Plan)}
		}
		return render(w, r, http.StatusOK, view.WaysPage(p, ways, m.Now))
	})
}

// takeWay makes one of the alternatives the day's plan.
func (s *server) takeWay(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	all, day, err := s.alternatives(r.Context(), d)
	if err != nil {
		return err
	}
	here := view.DayHead{ID: d.ID}
	for i := range all {
		if string(all[i].Kind) != r.PostForm.Get("kind") {
			continue
		}
		said, err := s.keepPlan(r.Context(), d.ID, day, all[i].Plan, s.words(r))
		if err != nil {
			return err
		}
		return seeOther(w, r, here.At("/plan")+s.notices.keep(said))
	}
	return &Error{http.StatusConflict, "That way of making the day is not offered any more.", "Look at the ways again and choose one.", here.At("/ways")}
}
