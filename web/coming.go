package web

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// How far ahead days are made from standing orders, and where.
const (
	settingAhead = "coming-days" // a number; "" = usualAhead, 0 = none by itself
	settingZone  = "coming-zone" // "" = not said yet: none by itself

	usualAhead = 7
	mostAhead  = 13 // a plan reaches no farther
)

// planFor is how long a page waits at least for the plans of days it has made; the
// rest are planned when the program next looks.
const planFor = 8 * time.Second

// Site is the web app. As a handler it serves the pages.
type Site struct {
	http.Handler
	server *server
}

// MakeComing makes and plans the days ahead that the standing orders ask for and
// nobody has made yet. Whoever calls it often enough misses none, after whatever
// pause.
func (s *Site) MakeComing(ctx context.Context) error {
	_, err := s.server.makeComing(ctx, time.Hour)
	return err
}

// outlook is what the days to come are made from.
type outlook struct {
	days     int // to be made by itself, after today
	zone     string
	loc      *time.Location // UTC where no zone is said
	now      time.Time
	today    time.Time // a date, in UTC
	listed   []record.Standing
	standing []schedule.Standing      // of these, what has its bread
	older    []schedule.Standing      // of these, what has stood since before today
	comings  map[string]record.Coming // by date
	own      map[string]record.Day    // of the baker, by date
	byID     map[int64]record.Day
	all      []record.Day // by date
}

// date is the i-th after today.
func (a *outlook) date(i int) time.Time { return a.today.AddDate(0, 0, i) }

// orders are what the standing orders ask for on a date and can still be kept.
func (a *outlook) orders(date time.Time) []schedule.Order { return a.kept(a.standing, date) }

// byItself are those a date's day is made of by itself. For today that is what
// stood before: a day that fell behind is caught up with, but who adds an order in
// the morning is not called at once for what should have begun in the night.
func (a *outlook) byItself(date time.Time) []schedule.Order {
	if date.Equal(a.today) {
		return a.kept(a.older, date)
	}
	return a.orders(date)
}

func (a *outlook) kept(standing []schedule.Standing, date time.Time) []schedule.Order {
	all, _ := schedule.OrdersOn(standing, date, a.loc)
	return slices.DeleteFunc(all, func(o schedule.Order) bool {
		t, err := o.Promise().In(a.loc)
		return err != nil || !t.After(a.now)
	})
}

// waiting reports whether a date's standing orders are in no day yet. A day of the
// baker's own on that date has them once they were added to it.
func (a *outlook) waiting(date time.Time) bool {
	c, made := a.comings[date.Format(time.DateOnly)]
	return (!made || c.Day == 0) && len(a.orders(date)) > 0
}

// stale are days to come, after today, that were made before the standing orders
// changed.
func (a *outlook) stale() (all []record.Coming) {
	for _, c := range a.comings {
		date, err := time.Parse(time.DateOnly, c.Date)
		if err != nil || c.Day == 0 || !date.After(a.today) {
			continue
		}
		if now := a.orders(date); !slices.Equal(now, c.Orders) {
			c.Orders = now
			all = append(all, c)
		}
	}
	slices.SortFunc(all, func(x, y record.Coming) int { return strings.Compare(x.Date, y.Date) })
	return all
}

// staleDays are those days with what they have.
func (a *outlook) staleDays() (all []view.StaleDay) {
	for _, c := range a.stale() {
		all = append(all, view.StaleDay{Coming: c, Has: a.byID[c.Day].Orders})
	}
	return all
}

// outlook loads it, with the days from a date on.
func (s *server) outlook(ctx context.Context, from string) (*outlook, error) {
	a := &outlook{days: usualAhead, loc: time.UTC, now: s.now(), comings: map[string]record.Coming{}, own: map[string]record.Day{}, byID: map[int64]record.Day{}}
	text, err := s.store.Setting(ctx, settingAhead)
	if err != nil {
		return nil, err
	}
	if n, err := strconv.Atoi(text); err == nil && n >= 0 && n <= mostAhead {
		a.days = n
	}
	if a.zone, err = s.store.Setting(ctx, settingZone); err != nil {
		return nil, err
	}
	if loc, err := time.LoadLocation(a.zone); err == nil {
		a.loc = loc
	}
	y, m, d := a.now.In(a.loc).Date()
	a.today = time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	if a.listed, err = s.store.StandingOrders(ctx); err != nil {
		return nil, err
	}
	midnight := time.Date(y, m, d, 0, 0, 0, 0, a.loc)
	for _, o := range a.listed {
		if o.Retired {
			continue
		}
		a.standing = append(a.standing, o.Standing)
		if o.Saved.Before(midnight) {
			a.older = append(a.older, o.Standing)
		}
	}
	return a, s.daysAhead(ctx, a, min(from, a.today.Format(time.DateOnly)))
}

func (s *server) daysAhead(ctx context.Context, a *outlook, from string) error {
	comings, err := s.store.Comings(ctx, from)
	if err != nil {
		return err
	}
	made := map[int64]bool{}
	for _, c := range comings {
		a.comings[c.Date] = c
		made[c.Day] = true
	}
	a.all, err = s.store.DaysFrom(ctx, from)
	for _, d := range a.all {
		a.byID[d.ID] = d
		if !d.Example && !made[d.ID] {
			a.own[d.Date] = d
		}
	}
	return err
}

// makeComing makes the days ahead, and plans them while there is time. It gives
// the days made.
func (s *server) makeComing(ctx context.Context, limit time.Duration) (made []string, err error) {
	s.coming.Lock()
	defer s.coming.Unlock()
	began := time.Now()
	a, err := s.outlook(ctx, "9999-12-31")
	if err != nil || a.zone == "" || a.days == 0 {
		return nil, err
	}
	for i := range a.days + 1 {
		date := a.date(i)
		c, there := a.comings[date.Format(time.DateOnly)]
		d, ahead := a.byID[c.Day]
		switch _, own := a.own[date.Format(time.DateOnly)]; {
		case there && (!ahead || d.Version > 0), !there && own:
			continue
		case !there:
			if c.Day, err = s.makeDay(ctx, a, date, a.byItself(date), false); err != nil {
				return made, err
			}
			if c.Day == 0 {
				continue
			}
			made = append(made, view.DateName(date))
		}
		if time.Since(began) < limit {
			if _, err := s.planMade(ctx, c.Day, view.Words{}); err != nil {
				return made, err
			}
		}
	}
	return made, nil
}

// makeDay makes the day of a date, 0 for none: nothing is asked for, or it was
// made before.
func (s *server) makeDay(ctx context.Context, a *outlook, date time.Time, orders []schedule.Order, again bool) (id int64, err error) {
	if len(orders) == 0 {
		return 0, nil
	}
	return s.store.MakeDay(ctx, record.Day{Date: date.Format(time.DateOnly), Name: view.DateName(date), Zone: a.zone, Orders: orders}, again)
}

// planMade plans a day that was made; one that cannot be planned like this stays,
// and its plan page says why.
func (s *server) planMade(ctx context.Context, id int64, w view.Words) (said []string, err error) {
	said, err = s.plan(ctx, id, w)
	if fs, ok := errors.AsType[schedule.Faults](err); ok {
		s.log.DebugContext(ctx, "a day made from standing orders cannot be planned", "day", id, "err", err)
		return []string{"It cannot be planned yet: " + view.Sentence(fs[0].What+"; "+fs[0].Remedy)}, nil
	}
	return said, err
}
