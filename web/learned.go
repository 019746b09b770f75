package web

import (
	"context"
	"errors"
	"net/http"
	"slices"

	"ovenward/schedule"
	"ovenward/schedule/learn"
	"ovenward/schedule/unit"
	"ovenward/store/record"
	"ovenward/web/view"
)

// learn keeps what was seen of a day's doughs. A rehearsal and an invented day
// teach nothing of this kitchen.
func (s *server) learn(ctx context.Context, d record.Day, run *record.Running) error {
	if d.Now != "" || d.Example {
		return nil
	}
	now := s.nowOf(d, run.Plan)
	lessons, err := schedule.Observe(&run.Base, &run.Plan.Plan, sound(run, now), now)
	if err != nil {
		return err
	}
	all := make([]record.Observation, len(lessons))
	for i, l := range lessons {
		all[i] = record.Observation{Lesson: l, Day: d.ID}
	}
	return s.store.Observe(ctx, d.ID, all)
}

func (s *server) learnedPage(w http.ResponseWriter, r *http.Request) error {
	all, err := s.store.Observations(r.Context())
	if err != nil {
		return err
	}
	steered := map[string]bool{}
	for _, o := range all {
		if _, known := steered[o.Dough]; known {
			continue
		}
		if steered[o.Dough], err = s.steered(r.Context(), o.Dough); err != nil {
			return err
		}
	}
	p := s.page(r, "Learned")
	p.Tab = "learned"
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	return render(w, r, http.StatusOK, view.LearnedPage(p, lessons(all, p.Now.Unix()/86400, steered)))
}

// steered says whether the bench sheet asks for water or milk for a dough; one that is
// gone is asked none for.
func (s *server) steered(ctx context.Context, dough string) (bool, error) {
	base, err := s.store.Base(ctx, dough)
	if err == nil {
		return schedule.Steered(base.Formula, base.Method), nil
	}
	if !errors.Is(err, record.ErrNotFound) {
		return false, err
	}
	bread, err := s.store.Bread(ctx, dough)
	if errors.Is(err, record.ErrNotFound) {
		return false, nil
	}
	return schedule.Steered(bread.Formula, bread.Method), err
}

// lessons sorts what was seen by dough, with what it comes to today.
func lessons(all []record.Observation, today int64, steered map[string]bool) []view.Learnt {
	book := bookOf(all)
	forecast := book.Forecast(int(today))
	doubted := forecast.Doubted()
	var out []view.Learnt
	for _, o := range all {
		i := slices.IndexFunc(out, func(l view.Learnt) bool { return l.Dough == o.Dough })
		if i < 0 {
			i = len(out)
			out = append(out, learnt(forecast, o.Dough, o.Name, scarce(all, o.Dough), steered[o.Dough]))
		}
		l := view.Lesson{Lesson: o.Lesson, Doubted: slices.Contains(doubted, o.Observation),
			Past: o.Observation.Kind == learn.Past, Bound: o.Observation.Kind == learn.NotYet}
		if o.Observation.Kind == learn.Temperature {
			out[i].Mixes = append(out[i].Mixes, l)
		} else {
			out[i].Seen = append(out[i].Seen, l)
		}
	}
	return out
}

// bookOf is all that was seen.
func bookOf(all []record.Observation) (book learn.Book) {
	for _, o := range all {
		if err := book.Observe(o.Observation); err != nil {
			continue // from elsewhere
		}
	}
	return book
}

// learnt is what a forecast says of a dough.
func learnt(f learn.Forecast, dough, name string, r learn.Regime, steered bool) view.Learnt {
	b := schedule.Believed(f, dough, r, steered)
	mix := dough + "/" + string(schedule.Mix)
	mixing := f.Temperature(mix, 0)
	if steered {
		mixing = f.Friction(mix)
	}
	return view.Learnt{
		Learned: b, Name: name, Steered: steered, Bulk: paced(b.Pace), Final: paced(b.Proof),
		Cool: unit.Kelvins(mixing.Quantile(0.1)), Warm: unit.Kelvins(mixing.Quantile(0.9)),
	}
}

// paced is a pace with its ranges.
func paced(p schedule.Pace) view.Paced {
	warm, cold := learn.Belief{SD: p.SD}, learn.Belief{SD: p.Cold}
	return view.Paced{
		Pace: p,
		Low:  p.Speed * learn.Factor(warm, 0.1), High: p.Speed * learn.Factor(warm, 0.9),
		ColdLow: p.ColdSpeed * learn.Factor(cold, 0.1), ColdHigh: p.ColdSpeed * learn.Factor(cold, 0.9),
	}
}

// scarce is of what kind a dough's rises at room temperature are.
func scarce(all []record.Observation, dough string) learn.Regime {
	if slices.ContainsFunc(all, func(o record.Observation) bool { return o.Dough == dough && o.Regime == learn.Scarce }) {
		return learn.Scarce
	}
	return learn.Plain
}

// forget sets aside what was learnt, of one dough or of all.
func (s *server) forget(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	dough := r.PostForm.Get("dough")
	if dough == "" && r.PostForm.Get("do") != "all" {
		return &Error{http.StatusUnprocessableEntity, "It is not said what to forget.", "Go back and choose a bread.", "/learned"}
	}
	if err := s.store.Forget(r.Context(), dough); err != nil {
		return err
	}
	return seeOther(w, r, "/learned"+s.notices.keep([]string{"Forgotten. Days are forecast without it from their next planning on."}))
}
