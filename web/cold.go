package web

import (
	"context"
	"slices"
	"strconv"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// nobodyFor is for how long nobody comes to a dough whose call has been left
// unanswered, for all that is known.
const nobodyFor = 30 * time.Minute

// nobody says that whoever is called to a task has not come and does not for a
// while.
func nobody(t *schedule.Task, id string, at time.Time) *schedule.Slip {
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
	tasks := run.Plan.Plan.Tasks
	i := slices.IndexFunc(tasks, func(t schedule.Task) bool { return t.ID == task && len(t.Hands) > 0 })
	if i < 0 {
		return nil, nil
	}
	now := time.Unix(60*at, 0).In(tasks[i].Start.Location())
	slip := nobody(&tasks[i], "nobody at "+task, now)
	if fs := faultsOf(&run, *slip, now); len(fs) > 0 {
		return nil, nil
	}
	run.Log = append(slices.Clone(run.Log), *slip)
	ctx, stop := context.WithTimeout(ctx, patience)
	defer stop()
	return s.offerFrom(ctx, &s.fridges, run, at)
}

// sayNobody keeps that nobody came to a task, and gives the day as it then runs.
func (s *server) sayNobody(ctx context.Context, d record.Day, run record.Running, task, key string, at int64) (record.Running, error) {
	tasks := run.Plan.Plan.Tasks
	i := slices.IndexFunc(tasks, func(t schedule.Task) bool { return t.ID == task && len(t.Hands) > 0 })
	if i < 0 {
		return run, nil
	}
	now := time.Unix(60*at, 0).In(tasks[i].Start.Location())
	t := record.Tap{ID: key + "-away", Day: d.ID, Version: run.Version, Kind: record.TapKind(schedule.Away), At: now, Recorded: s.now()}
	if _, err := s.store.Say(ctx, t, nobody(&tasks[i], t.ID, now)); err != nil {
		return run, err
	}
	s.hub.Publish("tap", strconv.FormatInt(d.ID, 10))
	return s.store.Running(ctx, d.ID)
}
