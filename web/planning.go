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
	"ovenward/web/live"
	"ovenward/web/view"
)

// plan works a day out anew, keeps it and tells the browsers. It gives what
// changed against the plan before in sentences; faults of what was entered come
// back as schedule.Faults.
func (s *server) plan(ctx context.Context, id int64, w view.Words) (changes []string, err error) {
	return s.planBy(ctx, id, w, schedule.PlanDay)
}

// planner is a way to plan a day: schedule.PlanDay, or more quickly.
type planner func(context.Context, *schedule.Day, schedule.Settings) (schedule.Plan, error)

// searchFor is how long a page, or a program, waits at most for a search that was
// asked for: it has to be answered before the asker is told that nothing came.
const searchFor = 20 * time.Second

// searching bounds a search that was asked for.
func (s *server) searching(ctx context.Context) (context.Context, context.CancelFunc) {
	return context.WithTimeout(ctx, max(searchFor, s.patience))
}

// planBy is plan by a planner.
func (s *server) planBy(ctx context.Context, id int64, w view.Words, by planner) (changes []string, err error) {
	day, err := s.store.Day(ctx, id, s.now())
	if err != nil {
		return nil, err
	}
	search, stop := s.searching(ctx)
	defer stop()
	p, err := by(search, &day, day.Settings)
	if err != nil {
		return nil, err
	}
	return s.keepPlan(ctx, id, day, p, w)
}

// keepPlan keeps a plan as the day's newest, with its calls, and tells the
// browsers. It gives what changed against the plan before in sentences.
func (s *server) keepPlan(ctx context.Context, id int64, day schedule.Day, p schedule.Plan, w view.Words) ([]string, error) {
	former, err := s.store.Plan(ctx, id)
	if err != nil && !errors.Is(err, record.ErrNotFound) {
		return nil, err
	}
	version, err := s.store.SavePlan(ctx, id, day, p, schedule.Alerts(&p), s.now())
	if err != nil {
		return nil, err
	}
	s.hub.Publish(live.Plan{Day: id})
	if err := s.nameInstall(ctx); err != nil {
		return nil, err
	}
	if version == 1 {
		return []string{w.Outcome(p.Outcome)}, nil
	}
	return append(w.Changes(&former.Plan, &p), w.Outcome(p.Outcome)), nil
}

// nameInstall gives this installation a name of its own, once.
func (s *server) nameInstall(ctx context.Context) error {
	name, err := s.store.Setting(ctx, settingInstall)
	if err != nil || name != "" {
		return err
	}
	return s.store.SetSetting(ctx, settingInstall, "-"+strings.ToLower(newKey()))
}

// briefSteps are the search steps of all the days together that are planned again
// because something else was saved: about a second of processor.
const briefSteps = 1000

// replanAhead plans every day again that a change of kitchen or bread may touch:
// those with a plan whose last promise is still to come. Nobody asked for it, so days
// that cannot be kept are planned briefly, and say so.
func (s *server) replanAhead(ctx context.Context, w view.Words) []string {
	all, err := s.store.Days(ctx)
	if err != nil {
		return []string{"The days could not be read; open a day's plan to plan it again."}
	}
	var said []string
	var days []record.Day
	for _, d := range all {
		switch {
		case d.Version == 0 || !ahead(d, s.now()):
		case s.begun(ctx, d.ID):
			said = append(said, d.Name+" has begun; its plan stays as it is.")
		default:
			days = append(days, d)
		}
	}
	briefly := func(ctx context.Context, d *schedule.Day, set schedule.Settings) (schedule.Plan, error) {
		return schedule.PlanBriefly(ctx, d, set, briefSteps/len(days))
	}
	for _, d := range days {
		changes, err := s.planBy(ctx, d.ID, w, briefly)
		if err != nil {
			s.log.WarnContext(ctx, "not planned again", "day", d.ID, "err", err)
			said = append(said, fmt.Sprintf("%s cannot be planned like this; its last plan stays. Its plan page says why.", d.Name))
			continue
		}
		said = append(said, d.Name+": "+strings.Join(changes, " "))
	}
	return said
}

// begun reports whether something has happened on a day: to plan it anew would
// forget the doughs under way. What was said of people's hours is not forgotten.
func (s *server) begun(ctx context.Context, id int64) bool {
	run, err := s.store.Running(ctx, id)
	return err == nil && slices.ContainsFunc(run.Log, func(x schedule.Slip) bool { return !x.Kind.Personal() })
}

// ahead reports whether a day still has a promise to come.
func ahead(d record.Day, now time.Time) bool {
	loc, err := time.LoadLocation(d.Zone)
	if err != nil {
		return false
	}
	if d.Now != "" {
		return true
	}
	for _, o := range d.Orders {
		if t, err := o.Promise().In(loc); err == nil && t.After(now) {
			return true
		}
	}
	return false
}

// fieldFaults turns the faults of a day into links to the fields that hold them:
// orders on the day's own page, kitchen and breads on theirs.
func fieldFaults(d *schedule.Day, fs schedule.Faults) []view.FieldFault {
	out := make([]view.FieldFault, len(fs))
	for i, f := range fs {
		out[i] = view.FieldFault{Field: f.Where, What: view.Sentence(f.What + "; " + f.Remedy)}
		if rest, ok := strings.CutPrefix(f.Where, "kitchen."); ok {
			out[i].Field, out[i].Href = rest, "/kitchen"
		}
		for kind, id := range map[string]func(int) string{
			"breads": func(k int) string { return d.Breads[k].ID }, "bases": func(k int) string { return d.Bases[k].ID },
		} {
			if k, rest, ok := view.Index(f.Where, kind); ok {
				out[i].Field, out[i].Href = oneField(strings.TrimPrefix(rest, ".")), "/"+kind+"/"+id(k)
			}
		}
	}
	return out
}

// oneField is where a number of a list that is typed in one field stands.
func oneField(path string) string {
	for _, list := range []string{".folds", ".fold_minutes"} {
		if at, _, ok := strings.Cut(path, list+"["); ok {
			return at + list
		}
	}
	return path
}

// onPage keeps the faults whose field is on the page with the given address, as
// faults of that page.
func onPage(fs []view.FieldFault, href string) []view.FieldFault {
	var out []view.FieldFault
	for _, f := range fs {
		if f.Href == href {
			f.Href = ""
			out = append(out, f)
		}
	}
	return out
}
