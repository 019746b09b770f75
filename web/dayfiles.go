package web

import (
	"bytes"
	"errors"
	"io"
	"net/http"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/sheet"
	"ovenward/web/view"
)

// savedPlan is the plan of the day a path speaks of, for those who take it
// elsewhere.
func (s *server) savedPlan(r *http.Request) (record.Day, record.Plan, error) {
	d, err := s.dayOf(r)
	if err != nil {
		return d, record.Plan{}, err
	}
	p, err := s.store.Plan(r.Context(), d.ID)
	if errors.Is(err, record.ErrNotFound) {
		err = &Error{http.StatusNotFound, "This day has no plan yet.", "Say what must be out of the oven, and when.", view.DayHead{ID: d.ID}.At("/plan")}
	}
	return d, p, err
}

// dayTable is the plan as a table for a spreadsheet.
func (s *server) dayTable(w http.ResponseWriter, r *http.Request) error {
	d, p, err := s.savedPlan(r)
	if err != nil {
		return err
	}
	words := s.words(r)
	var b bytes.Buffer
	err = sheet.Write(&b, sheet.CSV{Plan: &p.Plan, BOM: true, Words: func(t *schedule.Task) string { return words.What(t) }, Decks: view.OnDecks})
	if err != nil {
		return err
	}
	return download(w, "text/csv; charset=utf-8", slugOf(d.Name, "day")+".csv", b.Bytes())
}

// pageFoot is the style of the foot of a day's sheets of paper.
func (s *server) pageFoot(w http.ResponseWriter, r *http.Request) error {
	return s.planned(w, r, "sheet", "Sheet", func(p view.Page, m view.Picture) error {
		w.Header().Set("Content-Type", "text/css; charset=utf-8")
		_, err := io.WriteString(w, view.PageFoot(p, m))
		return err
	})
}

// download sends a file to be kept.
func download(w http.ResponseWriter, kind, name string, data []byte) error {
	attachment(w, kind, name)
	w.Write(data)
	return nil
}

// attachment says that what follows is a file to be kept.
func attachment(w http.ResponseWriter, kind, name string) {
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
}
