package web

import (
	"context"
	"encoding/json"
	"net/http"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/live"
	"ovenward/web/view"
)

// aidPrefix is before the code of what would help, where a choice's kind would be.
const aidPrefix = "aid-"

// aids finds what would help where no choice does, as far as a page waits for it.
func (s *server) aids(ctx context.Context, o *offer) ([]schedule.Aid, error) {
	ctx, stop := context.WithTimeout(ctx, s.patience)
	defer stop()
	return schedule.Aids(ctx, &o.run.Base, &o.run.Plan.Plan, o.log, o.now(), o.choices)
}

// taken is the aid that a form takes: nothing but what the page offered may be said
// with it.
func taken(pick, form string) (a schedule.Aid, ok bool) {
	if json.Unmarshal([]byte(form), &a) != nil || pick != aidPrefix+string(a.Code) {
		return a, false
	}
	for _, s := range a.Slips {
		switch s.Kind {
		case schedule.Stays, schedule.OrderLater, schedule.OrderLowered, schedule.OrderDropped:
		default:
			return a, false
		}
	}
	return a, len(a.Slips) > 0
}

// takeAid says what an aid says, all with one touch, if it helps still, and leads to
// the choices there are then.
func (s *server) takeAid(w http.ResponseWriter, r *http.Request, d record.Day, o *offer, heard record.Tap) error {
	a, ok := taken(r.PostForm.Get("pick"), r.PostForm.Get("aid"))
	if ok {
		var err error
		ctx, stop := context.WithTimeout(r.Context(), s.patience)
		defer stop()
		if ok, err = a.Helps(ctx, &o.run.Base, &o.run.Plan.Plan, o.log, o.now(), o.choices); err != nil {
			return err
		}
	}
	if !ok {
		return s.showChoices(w, r, http.StatusConflict, d, []string{"This does not help any more. These are the choices there are."})
	}
	for i := range a.Slips {
		a.Slips[i].At = o.now()
	}
	return s.sayAid(w, r, heard, a.Slips)
}

// sayAid keeps what an aid says and leads to the choices there are with it.
func (s *server) sayAid(w http.ResponseWriter, r *http.Request, heard record.Tap, slips []schedule.Slip) error {
	if err := s.store.SayAll(r.Context(), heard, slips); err != nil {
		return err
	}
	s.hub.Publish(live.Tap{Day: heard.Day})
	return seeOther(w, r, view.DayHead{ID: heard.Day}.At("/choices")+s.notices.keep([]string{"Noted. These are the choices with it."}))
}
