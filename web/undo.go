package web

import (
	"context"
	"net/http"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// recent are the touches of a day that can be taken back, the newest first.
func recent(taps []record.Tap, now time.Time) []record.Touch {
	all := record.Touches(slices.DeleteFunc(slices.Clone(taps), func(t record.Tap) bool { return t.Left(now) < 0 }))
	slices.Reverse(all)
	return all
}

// mayTakeBack refuses an undo of what something said later stands on.
func (s *server) mayTakeBack(ctx context.Context, run *record.Running, t record.Tap) error {
	taps, err := s.store.Taps(ctx, run.Day)
	if err != nil {
		return err
	}
	all := recent(sinceBase(taps, run), t.Recorded)
	i := slices.IndexFunc(all, func(x record.Touch) bool { return x.ID == t.Of })
	if i < 0 {
		return nil // the store says why
	}
	on, err := s.standsOn(ctx, run, all, i)
	if err != nil || on == nil {
		return err
	}
	m := view.Picture{Day: &run.Plan.From, Plan: run.Followed(), Now: t.At}
	return &Error{http.StatusConflict, view.StandsOn(m.Undo(*on, run.Log, t.Recorded)), "Take that back first, then this.", view.DayHead{ID: run.Day}.At(wentPath) + view.LastTouches}
}

// sinceBase leaves out the taps on plans before the day was planned anew: a task's
// ID may mean other work there.
func sinceBase(taps []record.Tap, run *record.Running) []record.Tap {
	return slices.DeleteFunc(taps, func(t record.Tap) bool { return t.Version < run.Since })
}

// standsOn is the newest touch that must be taken back before another: a plan that
// was taken after it, knowing it, or what could not have happened without it. all
// are the newest first; nil is none.
func (s *server) standsOn(ctx context.Context, run *record.Running, all []record.Touch, i int) (*record.Touch, error) {
	t := &all[i]
	rest := slices.DeleteFunc(slices.Clone(run.Log), func(x schedule.Slip) bool { return says(t, x.ID) })
	plan := &run.Plan.Plan
	var former *schedule.Plan
	if t.Kind == record.Accepted {
		p, err := s.store.FormerPlan(ctx, run.Day, t.Version)
		if err != nil {
			return nil, err
		}
		former = &p.Plan
		plan = former
	}
	told := former != nil || len(rest) < len(run.Log)
	for k := range all[:i] {
		x := &all[k]
		if x.Kind == record.Accepted && told || former != nil && unlike(former, &run.Plan.Plan, x) || told && needs(run, plan, rest, x) {
			return x, nil
		}
	}
	return nil, nil
}

// says tells whether an entry of the log was said with a touch.
func says(t *record.Touch, id string) bool {
	return t.ID == id || slices.ContainsFunc(t.With, func(o record.Tap) bool { return o.ID == id })
}

// needs says whether a touch says something that could have happened as the log is
// told, and could not with only the rest of it, by another plan.
func needs(run *record.Running, p *schedule.Plan, rest []schedule.Slip, x *record.Touch) bool {
	can := func(p *schedule.Plan, log []schedule.Slip, id string) bool {
		i := slices.IndexFunc(log, func(s schedule.Slip) bool { return s.ID == id })
		return i < 0 || len(schedule.ValidateSlip(&run.Base, p, log, i, log[i].At)) == 0
	}
	for _, o := range append([]record.Tap{x.Tap}, x.With...) {
		if !can(p, rest, o.ID) && can(&run.Plan.Plan, run.Log, o.ID) {
			return true
		}
	}
	return false
}

// unlike says whether a touch speaks of work that the plan before did not have as
// the plan now does.
func unlike(former, now *schedule.Plan, x *record.Touch) bool {
	if x.Kind == record.Ack || x.Kind == record.Snooze {
		return false
	}
	for _, t := range append([]record.Tap{x.Tap}, x.With...) {
		was, is := former.Task(t.Task), now.Task(t.Task)
		if is != nil && (was == nil || was.Kind != is.Kind || was.Name != is.Name || t.Kind.OnTheWay() && was.Rescue == nil) {
			return true
		}
	}
	return false
}

// undoable lists what can be taken back, each with what must be first.
func (s *server) undoable(ctx context.Context, run *record.Running, taps []record.Tap, m *view.Picture) ([]view.Undo, error) {
	var out []view.Undo
	all := recent(taps, s.now())
	for i, t := range all {
		u := m.Undo(t, run.Log, s.now())
		on, err := s.standsOn(ctx, run, all, i)
		if err != nil {
			return nil, err
		}
		if on != nil {
			u.First = m.Undo(*on, run.Log, s.now()).What
		}
		out = append(out, *u)
	}
	return out, nil
}
