package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// takeWayOut does what the plan said would help, as far as the program can do it,
// and plans anew.
func (s *server) takeWayOut(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	saved, err := s.store.Plan(r.Context(), d.ID)
	if err != nil {
		return err
	}
	ways, code := saved.Plan.Outcome.WaysOut, r.PostForm.Get("code")
	i := slices.IndexFunc(ways, func(o schedule.WayOut) bool { return o.Code == code })
	if i < 0 {
		return &Error{http.StatusConflict, "The plan has changed, and this way out is not offered any more.", "Look at the plan page again: it says what would help now.", view.DayHead{ID: d.ID}.At("/plan")}
	}
	if len(ways[i].Asked) > 0 {
		return s.takeAsked(w, r, d, saved, ways[i].Asked)
	}
	done, err := s.wayOut(r.Context(), &d, &saved.Plan, ways[i])
	if err != nil {
		return err
	}
	changes, err := s.plan(r.Context(), d.ID, s.words(r))
	if err != nil {
		return err
	}
	return seeOther(w, r, view.DayHead{ID: d.ID}.At("/plan")+s.notices.keep(append([]string{done}, changes...)))
}

// takeAsked says that people stay or come as asked, with one touch that can be taken
// back, and leads to the choices there are then. Said already, it is not said again.
func (s *server) takeAsked(w http.ResponseWriter, r *http.Request, d record.Day, saved record.Plan, asked []schedule.Asked) error {
	s.answers.Lock()
	defer s.answers.Unlock()
	run, err := s.store.Running(r.Context(), d.ID)
	if err != nil {
		return err
	}
	var slips []schedule.Slip
	for _, a := range asked {
		said := func(x schedule.Slip) bool {
			return x.Kind == schedule.Stays && x.Of == a.Baker && x.From.Equal(a.From) && x.To.Equal(a.To)
		}
		if !slices.ContainsFunc(run.Log, said) {
			slips = append(slips, schedule.Slip{Kind: schedule.Stays, At: s.nowOf(d, saved), Of: a.Baker, From: a.From, To: a.To})
		}
	}
	return s.sayAid(w, r, record.Tap{ID: newKey(), Day: d.ID, Version: saved.Version, Recorded: s.now()}, slips)
}

// wayOut keeps what a way out changes and says what that was.
func (s *server) wayOut(ctx context.Context, d *record.Day, p *schedule.Plan, o schedule.WayOut) (string, error) {
	switch o.Code {
	case "promise":
		if err := postpone(d, p); err != nil {
			return "", err
		}
		return "What was late is promised later now.", s.store.SaveDay(ctx, *d)
	case "smaller":
		if o.Order < 1 || o.Order > len(d.Orders) || d.Orders[o.Order-1].Pieces <= o.Pieces {
			return "", errWayOut(d.ID)
		}
		order := &d.Orders[o.Order-1]
		order.Pieces -= o.Pieces
		return fmt.Sprintf("Of %s only %d are ordered now, %d fewer: tell whoever waits for them.", o.Of, order.Pieces, o.Pieces), s.store.SaveDay(ctx, *d)
	case "chill":
		day, err := s.store.Day(ctx, d.ID, s.now())
		if err != nil {
			return "", err
		}
		i := slices.IndexFunc(day.Breads, func(b schedule.Bread) bool { return b.Name == o.Of })
		if i < 0 {
			return "", errWayOut(d.ID)
		}
		// as it is kept: the day has it made of the baker's own foods
		b, err := s.store.Bread(ctx, day.Breads[i].ID)
		if err != nil {
			return "", err
		}
		method, ok := day.Overnight(&b)
		if !ok {
			return "", errWayOut(d.ID)
		}
		b.Method = method
		return fmt.Sprintf("The shaped pieces of %s may stand in the cold now, on every day; its own page takes that back.", o.Of), s.store.SaveBread(ctx, b)
	}
	return "", errWayOut(d.ID)
}

func errWayOut(day int64) error {
	return &Error{http.StatusConflict, "This way out cannot be taken by a button.", "Change the orders or the kitchen by hand, and plan again.", view.DayHead{ID: day}.At("/plan")}
}

// postpone moves the promises of orders that are late, to the next five minutes.
func postpone(d *record.Day, p *schedule.Plan) error {
	loc, err := time.LoadLocation(d.Zone)
	if err != nil {
		return err
	}
	for i := range d.Orders {
		o := &d.Orders[i]
		late := p.Late(i)
		if late <= 0 {
			continue
		}
		for _, w := range []*schedule.Wall{&o.Out, &o.Ready} {
			t, err := w.In(loc)
			if err != nil {
				continue // not the one that is promised
			}
			*w = schedule.WallOf(t.Add(late + 5*time.Minute - time.Nanosecond).Truncate(5 * time.Minute))
		}
	}
	return nil
}
