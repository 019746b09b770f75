package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// aidPrefix is before the code of what would help, where a choice's kind would be.
const aidPrefix = "aid-"

// aids finds what would help where no choice does, as far as a page waits for it.
func (s *server) aids(ctx context.Context, o *offer) ([]schedule.Aid, error) {
	ctx, stop := context.WithTimeout(ctx, patience)
	defer stop()
	return schedule.Aids(ctx, &o.run.Base, &o.run.Plan.Plan, o.log, o.now(), o.choices)
}

// takeAid says what an aid says, all with one touch, and leads to the choices
// there are then.
func (s *server) takeAid(w http.ResponseWriter, r *http.Request, d record.Day, o *offer, pick, key string, heard time.Time) error {
	all, err := s.aids(r.Context(), o)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(all, func(a schedule.Aid) bool {
		return string(a.Code) == strings.TrimPrefix(pick, aidPrefix) && len(a.Slips) > 0
	})
	if i < 0 {
		return s.showChoices(w, r, http.StatusConflict, d, []string{"This does not help any more. These are the choices there are."})
	}
	for k, slip := range all[i].Slips {
		slip.ID = key
		if k > 0 {
			slip.ID = fmt.Sprintf("%s-%d", key, k)
		}
		t := record.Tap{ID: slip.ID, Day: d.ID, Version: o.version, Kind: record.TapKind(slip.Kind), At: slip.At, Recorded: heard}
		if _, err := s.store.Say(r.Context(), t, &slip); err != nil {
			return err
		}
	}
	s.hub.Publish("tap", strconv.FormatInt(d.ID, 10))
	return seeOther(w, r, view.DayHead{ID: d.ID}.At("/choices")+s.notices.keep([]string{"Noted. These are the choices with it."}))
}
