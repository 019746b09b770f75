package web

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// hear keeps what was said at the bench if it can have happened; more is what it
// says beyond the tap's own words, nil for nothing. Answers of two people come
// one after the other, so that the second is judged knowing the first. What
// somebody has said already is not said again: then stored is false.
func (s *server) hear(ctx context.Context, d record.Day, t record.Tap, more *schedule.Slip) (stored bool, fs schedule.Faults, err error) {
	s.answers.Lock()
	defer s.answers.Unlock()
	run, err := s.store.Running(ctx, d.ID)
	if err != nil {
		return false, nil, err
	}
	if t.Kind == record.Undo && t.Version == run.Version {
		if err := s.mayTakeBack(ctx, &run, t); err != nil {
			return false, nil, err
		}
	}
	slip, is := t.Say()
	if more != nil {
		slip, is = *more, true
		slip.ID = t.ID
	}
	known := slices.ContainsFunc(run.Log, func(x schedule.Slip) bool { return x.ID == t.ID })
	if is && !known && t.Version == run.Version {
		if agrees(run.Log, slip) {
			return false, nil, nil
		}
		if err := s.knowBread(ctx, &run, slip); err != nil {
			return false, nil, err
		}
		fs = append(settled(run.Log, t, slip), faultsOf(&run, slip, s.nowOf(d, run.Plan))...)
		if len(fs) > 0 {
			return false, fs, nil
		}
	}
	stored, err = s.store.Say(ctx, t, more)
	return stored, nil, err
}

// settled refuses to say of a rise, at the work that ends it, what that work
// being done has answered; of other portions of the dough it may still be said.
func settled(log []schedule.Slip, t record.Tap, s schedule.Slip) (fs schedule.Faults) {
	for _, x := range log {
		if t.Task != s.Task && x.Task == t.Task && t.Task != "" && (x.Kind == schedule.Done || x.Kind == schedule.Skipped) {
			fs = append(fs, schedule.Fault{Where: "task", What: t.Task + " is settled already, at " + x.At.Format("15:04"), Remedy: "take that entry back first if it was wrong"})
		}
	}
	return fs
}

// agrees says whether a task is settled already the way it is said to be.
func agrees(log []schedule.Slip, s schedule.Slip) bool {
	settles := s.Kind == schedule.Done || s.Kind == schedule.Skipped || s.Kind == schedule.Started
	return settles && slices.ContainsFunc(log, func(x schedule.Slip) bool { return x.Kind == s.Kind && x.Task == s.Task })
}

// knowBread adds the bread of a new order to the day, which may not have had it.
func (s *server) knowBread(ctx context.Context, run *record.Running, slip schedule.Slip) error {
	if slip.New == nil {
		return nil
	}
	if _, known := run.Base.Bread(slip.New.Bread); known {
		return nil
	}
	b, err := s.store.Bread(ctx, slip.New.Bread)
	if errors.Is(err, record.ErrNotFound) {
		return nil // a fault of the order
	}
	if err != nil {
		return err
	}
	run.Base.Breads = append(run.Base.Breads, b)
	if _, known := run.Base.Base(b.Base); known || b.Base == "" {
		return nil
	}
	base, err := s.store.Base(ctx, b.Base)
	run.Base.Bases = append(run.Base.Bases, base)
	return err
}

// faultsOf says why a slip cannot have happened after the log; fields are named
// as in the slip.
func faultsOf(run *record.Running, slip schedule.Slip, now time.Time) schedule.Faults {
	log := append(sound(run, now), slip)
	at := fmt.Sprintf("log[%d]", len(log)-1)
	var out schedule.Faults
	for _, f := range schedule.ValidateSlip(&run.Base, &run.Plan.Plan, log, len(log)-1, now) {
		f.Where = strings.TrimLeft(strings.TrimPrefix(f.Where, at), ".: ")
		out = append(out, f)
	}
	return out
}

// sound is the log without what the plan as it is now cannot place any more; the
// rest of what happened counts all the same.
func sound(run *record.Running, now time.Time) []schedule.Slip {
	log := slices.Clone(run.Log)
	for {
		fs := schedule.ValidateLog(&run.Base, &run.Plan.Plan, log, now)
		if len(fs) == 0 {
			return log
		}
		bad := map[int]bool{}
		for _, f := range fs {
			if i, _, ok := view.Index(f.Where, "log"); ok {
				bad[i] = true
			}
		}
		n := len(log)
		kept := log[:0]
		for i, x := range log {
			if !bad[i] {
				kept = append(kept, x)
			}
		}
		if log = kept; len(log) == n {
			return nil
		}
	}
}
