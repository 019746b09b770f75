package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/live"
	"ovenward/web/view"
)

func (s *server) slipPage(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	return s.showSlip(w, r, http.StatusOK, d, view.Form{Values: url.Values{"task": {r.URL.Query().Get("task")}}})
}

func (s *server) showSlip(w http.ResponseWriter, r *http.Request, status int, d record.Day, f view.Form) error {
	p := s.dayFrame(r, d, "slip", "What has happened")
	m, ok, err := s.picture(r, d, &p)
	if err != nil {
		return err
	}
	if !ok {
		return seeOther(w, r, p.Day.At("/plan"))
	}
	breads, err := s.store.BreadNames(r.Context())
	if err != nil {
		return err
	}
	if len(f.Faults) > 0 {
		p.Title = "Error: " + p.Title
		for i := range f.Faults {
			f.Faults[i].What = m.Named(f.Faults[i].What)
		}
	}
	x := view.SlipModel{Form: f, Picture: m, Breads: breads, Key: newKey, Task: m.Plan.Task(f.Values.Get("task"))}
	return render(w, r, status, view.SlipPage(p, x))
}

// saySlip keeps what was said on the page of what has happened.
func (s *server) saySlip(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	run, err := s.store.Running(r.Context(), d.ID)
	if err != nil {
		return err
	}
	f := view.Form{Values: r.PostForm}
	f.Faults = joinMoments(f.Values)
	if err := s.knowBreads(r.Context(), f.Values); err != nil {
		return err
	}
	now := s.nowOf(d, run.Plan)
	a := answerOf(&f, &run, now)
	if len(f.Faults) > 0 {
		return s.showSlip(w, r, http.StatusUnprocessableEntity, d, f)
	}
	version, _ := strconv.Atoi(f.Values.Get("version"))
	t := record.Tap{ID: f.Values.Get("key"), Day: d.ID, Version: version, Task: a.task, Kind: record.TapKind(a.slip.Kind),
		At: a.slip.At, Recorded: s.now(), Minutes: int(a.slip.Minutes)}
	if !f.Values.Has(sure) {
		if e := farAhead(d, &run, version, now, a.slip); e != nil {
			return s.askFirst(w, r, d, &run, e, a.slip.Kind)
		}
	}
	t.Also = lostWith(&run, t.Kind, &a.slip)
	return s.say(w, r, d, t, &a.slip, f, a.noted...)
}

// say keeps an answer, draws its conclusions, and leads on: to the choices where
// something is endangered, else back. noted is what it says of the answer.
func (s *server) say(w http.ResponseWriter, r *http.Request, d record.Day, t record.Tap, more *schedule.Slip, f view.Form, noted ...string) error {
	stored, fs, err := s.hear(r.Context(), d, t, more)
	if err != nil {
		return err
	}
	if len(fs) > 0 {
		f.Faults = slipFaults(fs, f.Values.Get("do"))
		return s.showSlip(w, r, http.StatusUnprocessableEntity, d, f)
	}
	back, ways := view.DayHead{ID: d.ID}.At(tabOf(f.Values.Get("back"))), view.DayHead{ID: d.ID}.At("/choices")
	if !stored {
		return seeOther(w, r, back)
	}
	s.hub.Publish(live.Tap{Day: d.ID})
	if err := s.keepReading(r.Context(), d, t, more); err != nil {
		return err
	}
	_, is := t.Say()
	if !is && more == nil && t.Kind != record.Undo {
		return seeOther(w, r, back) // it only answers a call
	}
	lost := more != nil && more.Kind == schedule.DoughLost
	if lost {
		noted = []string{view.ThrownAway}
	}
	o := s.heed(r.Context(), d)
	switch {
	case o != nil && o.endangered() && !plainTap(t.Kind):
		return seeOther(w, r, ways+s.notices.keep(noted))
	case o != nil && !lost && !plainTap(t.Kind):
		noted = append(orOne(noted, "Noted."), "The plan stays as it is.")
		back += s.notices.keep([]string{strings.Join(noted, " ")})
	default:
		back += s.notices.keep(noted)
	}
	return seeOther(w, r, back)
}

// orOne is a list, or the one thing that stands for none.
func orOne(list []string, one string) []string {
	if len(list) == 0 {
		return []string{one}
	}
	return list
}

// plainTap tells the answers that come in the run of work: the page stays, and
// says if they endanger something.
func plainTap(k record.TapKind) bool {
	return k == record.Finished || k == record.Started || k == record.Skipped || k == record.Ready || k == record.Undo
}

// slipFaults ties what cannot have happened to the fields it was said in.
func slipFaults(fs schedule.Faults, do string) []view.FieldFault {
	word, _, _ := strings.Cut(do, " ")
	form := map[schedule.SlipKind]string{
		schedule.RoomIs: "room", schedule.OvenOut: "oven", schedule.OvenSlow: "slow", schedule.Away: "away", schedule.Stays: "stays", schedule.AsUsual: "usual",
		schedule.OrderAdded: "new", schedule.OrderRaised: "raise", schedule.OrderLowered: "lower", schedule.OrderLater: "later", schedule.OrderDropped: "drop",
	}[schedule.SlipKind(word)]
	names := map[string]string{
		"new: orders[0].bread": "bread", "new: orders[0].pieces": "pieces", "new: orders[0].out_by": "at", "new: orders[0].cool_by": "at", "new: orders[0]": "at",
	}
	var out []view.FieldFault
	for _, f := range fs {
		field := f.Where
		if to, ok := names[field]; ok {
			field = to
		}
		x := view.FieldFault{Field: form + "." + field, What: view.Sentence(f.What + "; " + f.Remedy)}
		switch {
		case form == "stays" && field == "to":
			x.Field = "stays.at"
		case form == "usual":
			x.Field = "people"
		case form == "" && field == "celsius":
			x.Field = "task.celsius"
		case form == "" && field == "expansion":
			x.Field = "task.volume"
		case form == "":
			x.Field = "answers"
		}
		out = append(out, x)
	}
	return out
}
