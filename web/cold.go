package web

import (
	"context"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/live"
	"ovenward/web/view"
)

// nobodyFor is for how long nobody comes to a dough whose call has been left
// unanswered, for all that is known.
const nobodyFor = 30 * time.Minute

// nobody says that whoever is called to a task has not come at a minute, and does
// not for a while; nil where nobody is.
func nobody(run *record.Running, task, id string, minute int64) *schedule.Slip {
	tasks := run.Plan.Plan.Tasks
	i := slices.IndexFunc(tasks, func(t schedule.Task) bool { return t.ID == task && len(t.Hands) > 0 })
	if i < 0 {
		return nil
	}
	t := &tasks[i]
	at := time.Unix(60*minute, 0).In(t.Start.Location())
	return &schedule.Slip{ID: id, Kind: schedule.Away, Of: t.Hands[0].Baker, At: at, From: t.Start, To: at.Add(nobodyFor)}
}

// cold is the way into the fridge for the dough of a call that nobody comes to;
// nil where there is none.
func (s *server) cold(ctx context.Context, d record.Day, a record.Alert) *view.Cold {
	if a.Kind != schedule.CallStart {
		return nil
	}
	run, err := s.store.Running(ctx, d.ID)
	if err != nil {
		return nil
	}
	at := s.nowOf(d, run.Plan).Unix() / 60
	c := &view.Cold{Version: run.Version, Said: len(run.Log), At: at}
	o, err := s.unattended(ctx, run, a.Task, at)
	if err != nil {
		s.log.WarnContext(ctx, "no way into the fridge", "day", d.ID, "err", err)
	}
	if o == nil {
		return nil
	}
	for _, x := range o.choices {
		for _, r := range x.Rescues {
			if r.Task == view.RiseBefore(run.Plan.Plan.Tasks, a.Task) && r.Kind == schedule.ChillAWhile && x.Kind == schedule.PutInCold {
				c.From, c.To = r.From, r.To
				for _, l := range x.Late {
					c.Late = max(c.Late, l.By)
				}
				return c
			}
		}
	}
	return nil
}

// unattended is what can be done if nobody comes to a task for a while; nil
// where that cannot be.
func (s *server) unattended(ctx context.Context, run record.Running, task string, at int64) (*offer, error) {
	slip := nobody(&run, task, "nobody at "+task, at)
	if slip == nil || len(faultsOf(&run, *slip, slip.At)) > 0 {
		return nil, nil
	}
	run.Log = append(slices.Clone(run.Log), *slip)
	ctx, stop := context.WithTimeout(ctx, s.patience)
	defer stop()
	return s.offerFrom(ctx, &s.fridges, run, at)
}

// sayNobody keeps that nobody came to a task, and gives the day as it then runs.
func (s *server) sayNobody(ctx context.Context, d record.Day, run record.Running, task, key string, at int64, heard time.Time) (record.Running, error) {
	slip := nobody(&run, task, key+"-away", at)
	if slip == nil {
		return run, nil
	}
	t := record.Tap{ID: slip.ID, Day: d.ID, Version: run.Version, Kind: record.TapKind(slip.Kind), At: slip.At, Recorded: heard}
	if _, err := s.store.Say(ctx, t, slip); err != nil {
		return run, err
	}
	s.hub.Publish(live.Tap{Day: d.ID})
	return s.store.Running(ctx, d.ID)
}
