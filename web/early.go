package web

import (
	"net/http"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// sure is the field of a form, or of what a program sends, that says that what is far
// ahead of its time is meant.
const sure = "sure"

// farAhead is the first of what is said that is far ahead of its time; nil for none. What
// is refused anyway, or said of a former plan, is not asked about, and nothing on a
// rehearsal, whose clock stands, or an example, which is tried at any hour.
func farAhead(d record.Day, run *record.Running, version int, now time.Time, said ...schedule.Slip) *schedule.Early {
	if version != run.Version || d.Now != "" || d.Example {
		return nil
	}
	for _, s := range said {
		if e := schedule.FarAhead(run.Followed(), run.Log, s); e != nil && len(faultsOf(run, s, now)) == 0 {
			return e
		}
	}
	return nil
}

// askFirst asks, before anything is kept, whether what is far ahead of its time has
// happened; the answer sends the same form once more.
func (s *server) askFirst(w http.ResponseWriter, r *http.Request, d record.Day, run *record.Running, e *schedule.Early, kind schedule.SlipKind) error {
	now := s.nowOf(d, run.Plan)
	p := s.dayFrame(r, d, "now", "Already?")
	p.Now = now
	m := view.Picture{Day: &run.Plan.From, Plan: run.Followed(), Now: now, Words: p.Words}
	back := p.Day.At(tabOf(r.PostForm.Get("back")))
	return render(w, r, http.StatusConflict, view.EarlyPage(p, m.Early(e, kind), back, view.Resend{To: r.URL.Path, Values: r.PostForm}))
}
