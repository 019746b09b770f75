package web

import (
	"bytes"
	"errors"
	"net/http"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/sheet"
	"ovenward/web/view"
)

// wentPath is the page of how a day went, beneath its day.
const wentPath = "/went"

func (s *server) wentPage(w http.ResponseWriter, r *http.Request) error {
	return s.planned(w, r, "went", "How it went", func(p view.Page, m view.Picture) error {
		x, err := s.went(r, p, m)
		if err != nil {
			return err
		}
		p.Undo = nil // it stands in the list
		return render(w, r, http.StatusOK, view.WentPage(p, x))
	})
}

// went gathers what is known of how a day went.
func (s *server) went(r *http.Request, p view.Page, m view.Picture) (x view.Went, err error) {
	ctx, day := r.Context(), p.Day.ID
	x.Picture = m
	run, err := s.store.Running(ctx, day)
	if err != nil {
		return x, err
	}
	if x.First, err = s.firstTasks(r, &run); err != nil {
		return x, err
	}
	if x.Alerts, err = s.store.Alerts(ctx, day); err != nil {
		return x, err
	}
	if x.Log, err = s.store.AlertLog(ctx, day); err != nil {
		return x, err
	}
	taps, err := s.store.Taps(ctx, day)
	if err != nil {
		return x, err
	}
	x.Taps = sinceBase(taps, &run)
	x.Undo, err = s.undoable(ctx, &run, x.Taps, &m)
	return x, err
}

// firstTasks are those of the plan as the day was last planned anew, nil where they
// are not kept any more.
func (s *server) firstTasks(r *http.Request, run *record.Running) ([]schedule.Task, error) {
	if run.Since == run.Version {
		return run.Plan.Plan.Tasks, nil
	}
	first, err := s.store.FormerPlan(r.Context(), run.Day, run.Since)
	if errors.Is(err, record.ErrNotFound) || err == nil && len(first.Plan.Tasks) == 0 {
		return nil, nil
	}
	return first.Plan.Tasks, err
}

// wentCalls and wentWorks are the page's tables for a spreadsheet.
func (s *server) wentCalls(w http.ResponseWriter, r *http.Request) error {
	return s.wentTable(w, r, "calls", (*view.Went).CallTable)
}

func (s *server) wentWorks(w http.ResponseWriter, r *http.Request) error {
	return s.wentTable(w, r, "work", (*view.Went).WorkTable)
}

func (s *server) wentTable(w http.ResponseWriter, r *http.Request, name string, table func(*view.Went) [][]any) error {
	return s.planned(w, r, "went", "How it went", func(p view.Page, m view.Picture) error {
		x, err := s.went(r, p, m)
		if err != nil {
			return err
		}
		var b bytes.Buffer
		if err := sheet.WriteRows(&b, table(&x), m.Now.Location(), true); err != nil {
			return err
		}
		return download(w, "text/csv; charset=utf-8", slugOf(p.Day.Name, "day")+"-"+name+".csv", b.Bytes())
	})
}
