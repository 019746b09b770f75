package web

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
	"ovenward/store/record"
	"ovenward/web/live"
	"ovenward/web/view"
)

// apiPage tells programs, and who writes them, what they may ask, with examples that
// work as they stand where there is a day with a plan.
func (s *server) apiPage(w http.ResponseWriter, r *http.Request) error {
	p := s.page(r, "For other programs")
	p.Tab = "settings"
	m := view.API{Base: strings.TrimSuffix(s.reachable(r)[0], "/"), Key: newKey()}
	days, err := s.store.Days(r.Context())
	if err != nil {
		return err
	}
	for _, d := range days {
		if d.Version == 0 || len(d.Orders) == 0 || !ahead(d, s.now()) || s.begun(r.Context(), d.ID) {
			continue
		}
		saved, err := s.store.Plan(r.Context(), d.ID)
		if err != nil {
			return err
		}
		m.Day, m.Order, m.Version = d.ID, d.Orders[0], d.Version
		if i := slices.IndexFunc(saved.Plan.Tasks, func(t schedule.Task) bool { return len(t.Hands) > 0 }); i >= 0 {
			m.Task = saved.Plan.Tasks[i].ID
		}
		break
	}
	return render(w, r, http.StatusOK, view.APIPage(p, m))
}

// byKey lets in who sends a key, as a baker; without one it is left to the guard.
func (s *server) byKey(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		key, sent := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
		if !sent || !forPrograms(r) {
			next.ServeHTTP(w, r)
			return
		}
		_, wait, err := s.passOf(r, strings.TrimSpace(key), record.DataPass)
		switch {
		case wait > 0:
			w.Header().Set("Retry-After", strconv.Itoa(int(wait.Seconds())+1))
			showProblem(w, problem{Title: "That was tried too often.", Status: http.StatusTooManyRequests, Detail: "Wait " + view.Wait(wait) + ", then send the right key."})
		case errors.Is(err, record.ErrNotFound):
			showProblem(w, problem{Title: "This key opens nothing, or no longer.", Status: http.StatusUnauthorized, Detail: "Make another one in the settings, under “Other programs”."})
		case err != nil:
			s.showError(w, r, err)
		default:
			v := visitor{Session: record.Session{Role: record.Baker}}
			next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), visitorKey{}, v)))
		}
	})
}

func answerJSON(w http.ResponseWriter, status int, v any) error {
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	return answerBytes(w, status, append(data, '\n'))
}

func answerBytes(w http.ResponseWriter, status int, data []byte) error {
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_, err := w.Write(data)
	return err
}

// sentJSON is the body of a request that must be JSON: a browser asks before it
// sends such a thing to another site.
func sentJSON(r *http.Request) ([]byte, error) {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		return nil, &Error{http.StatusUnsupportedMediaType, "This is not sent as JSON.", "Send it with Content-Type: application/json.", ""}
	}
	return io.ReadAll(r.Body)
}

// strictly reads a small object: a field that is not known is a mistake.
func strictly(data []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	err := d.Decode(v)
	if err == nil {
		if _, end := d.Token(); !errors.Is(end, io.EOF) {
			err = errors.New("there is more after the end")
		}
	}
	if err != nil {
		return schedule.Faults{notJSON(err)}
	}
	return nil
}

// notJSON words what a decoder does not take.
func notJSON(err error) schedule.Fault {
	if bad, ok := errors.AsType[*json.UnmarshalTypeError](err); ok && bad.Field != "" {
		kind := map[reflect.Kind]string{reflect.Int: "a whole number", reflect.String: "text in quotation marks"}[bad.Type.Kind()]
		return schedule.Fault{Where: bad.Field, What: "a " + bad.Value + " stands here", Remedy: "give " + cmp.Or(kind, "what /api tells")}
	}
	if field, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
		return schedule.Fault{Where: strings.Trim(field, `"`), What: "there is no field " + field + " here", Remedy: "see /api for the fields there are"}
	}
	return schedule.Fault{What: "this is not the JSON that belongs here: " + strings.TrimPrefix(err.Error(), "json: "), Remedy: "send one object, as /api shows it"}
}

// dayLine is a day in a list.
type dayLine struct {
	ID        int64  `json:"id"`
	Name      string `json:"name"`
	Date      string `json:"date"`
	Zone      string `json:"zone"`
	Orders    int    `json:"orders"`
	Plan      int    `json:"plan"` // version of the newest, 0 = none
	Rehearsal bool   `json:"rehearsal"`
	Example   bool   `json:"example"`
}

// mostListed bounds a list of days; older ones are found by date.
const mostListed = 1000

func (s *server) apiDays(w http.ResponseWriter, r *http.Request) error {
	all, n, err := s.store.FindDays(r.Context(), record.Find{Text: paging(r, "", "").Text, Most: mostListed})
	if err != nil {
		return err
	}
	out := struct {
		Days  []dayLine `json:"days"`
		Total int       `json:"total"`
	}{[]dayLine{}, n}
	for _, d := range all {
		out.Days = append(out.Days, dayLine{d.ID, d.Name, d.Date, d.Zone, len(d.Orders), d.Version, d.Now != "", d.Example})
	}
	return answerJSON(w, http.StatusOK, out)
}

// apiDay is a day with all it is planned from, as a day file.
func (s *server) apiDay(w http.ResponseWriter, r *http.Request) error {
	d, err := s.dayOf(r)
	if err != nil {
		return err
	}
	day, err := s.store.Day(r.Context(), d.ID, s.now())
	if err != nil {
		return err
	}
	data, err := dayfile.EncodeDay(&day)
	if err != nil {
		return err
	}
	return answerBytes(w, http.StatusOK, data)
}

func (s *server) apiPlan(w http.ResponseWriter, r *http.Request) error {
	_, p, err := s.savedPlan(r)
	if err != nil {
		return err
	}
	return s.answerPlan(w, http.StatusOK, p.Version, &p.Plan)
}

func (s *server) answerPlan(w http.ResponseWriter, status, version int, p *schedule.Plan) error {
	data, err := dayfile.EncodePlan(p)
	if err != nil {
		return err
	}
	if version > 0 {
		w.Header().Set("Ovenward-Plan-Version", strconv.Itoa(version))
	}
	return answerBytes(w, status, data)
}

func (s *server) apiBreads(w http.ResponseWriter, r *http.Request) error {
	breads, n, err := s.store.FindBreads(r.Context(), record.Find{Text: paging(r, "", "").Text, Most: mostListed})
	if err != nil {
		return err
	}
	bases, err := s.store.Bases(r.Context())
	if err != nil {
		return err
	}
	return answerJSON(w, http.StatusOK, struct {
		Bases  []schedule.Base  `json:"bases"`
		Breads []schedule.Bread `json:"breads"`
		Total  int              `json:"total"`
	}{append([]schedule.Base{}, bases...), append([]schedule.Bread{}, breads...), n})
}

// apiTry plans a day file; nothing is stored.
func (s *server) apiTry(w http.ResponseWriter, r *http.Request) error {
	data, err := sentJSON(r)
	if err != nil {
		return err
	}
	day, err := dayfile.DecodeDay("", data)
	if err != nil {
		return err
	}
	s.planner.Lock()
	defer s.planner.Unlock()
	ctx, stop := s.searching(r.Context())
	defer stop()
	p, err := schedule.PlanDay(ctx, day, day.Settings)
	if errors.Is(err, context.DeadlineExceeded) {
		return &Error{http.StatusServiceUnavailable, "This day takes too long to plan here.", "Plan it with the command line, or send less at once.", ""}
	}
	if err != nil {
		return err
	}
	return s.answerPlan(w, http.StatusOK, 0, &p)
}

// apiOrder adds an order to a day that has not begun, and plans it; sent again it
// is taken once.
func (s *server) apiOrder(w http.ResponseWriter, r *http.Request) error {
	d, data, key, err := s.keyed(r)
	if err != nil {
		return err
	}
	var o schedule.Order
	if err := strictly(data, &o); err != nil {
		return err
	}
	s.ordering.Lock()
	defer s.ordering.Unlock()
	if d, err = s.dayOf(r); err != nil { // another order may have come in meanwhile
		return err
	}
	if err := s.takeOrder(r, fmt.Sprintf("%d %s", d.ID, key), d, o); err != nil {
		return err
	}
	p, err := s.store.Plan(r.Context(), d.ID)
	if err != nil {
		return err
	}
	return s.answerPlan(w, http.StatusCreated, p.Version, &p.Plan)
}

// keyed reads what belongs to a request that must not be carried out twice.
func (s *server) keyed(r *http.Request) (d record.Day, data []byte, key string, err error) {
	if d, err = s.dayOf(r); err != nil {
		return d, nil, "", err
	}
	if key = r.Header.Get("Idempotency-Key"); key == "" || len(key) > 64 {
		return d, nil, "", &Error{http.StatusBadRequest, "It is not said which request this is.", "Send a header Idempotency-Key: a name of at most 64 letters, another one for every order and tap, the same when it is sent again.", ""}
	}
	data, err = sentJSON(r)
	return d, data, key, err
}

// takeOrder keeps an order, once for a key, if the day can be planned with it.
func (s *server) takeOrder(r *http.Request, key string, d record.Day, o schedule.Order) error {
	ctx := r.Context()
	sent, err := s.store.Sent(ctx, key)
	if err != nil {
		return err
	}
	at := len(d.Orders)
	if sent {
		if at, err = s.unplanned(ctx, d, o); at < 0 || err != nil {
			return err
		}
	} else if d, err = s.addOrder(ctx, key, d, o); err != nil {
		return err
	}
	if _, err := s.plan(ctx, d.ID, s.words(r)); err != nil {
		d.Orders = slices.Delete(d.Orders, at, at+1)
		if back := s.store.ReturnOrder(ctx, key, d); back != nil {
			return back
		}
		return ofOrder(err, at)
	}
	return nil
}

// addOrder gives the day with the order at its end.
func (s *server) addOrder(ctx context.Context, key string, d record.Day, o schedule.Order) (record.Day, error) {
	if s.begun(ctx, d.ID) {
		return d, &Error{http.StatusConflict, "This day has begun.", "Say it at the bench, under “What has happened”: doughs are under way.", ""}
	}
	if _, err := s.store.Bread(ctx, o.Bread); errors.Is(err, record.ErrNotFound) {
		return d, schedule.Faults{{Where: "bread", What: fmt.Sprintf("there is no bread %q", o.Bread), Remedy: "give the id of a bread of /api/breads"}}
	} else if err != nil {
		return d, err
	}
	if loc, err := time.LoadLocation(d.Zone); err == nil {
		for where, at := range map[string]schedule.Wall{"out_by": o.Out, "cool_by": o.Ready} {
			if _, err := at.In(loc); at != "" && errors.Is(err, schedule.ErrWall) {
				return d, schedule.Faults{{Where: where, What: fmt.Sprintf("%q is not a date and time", string(at)), Remedy: "write it as 2026-11-28T08:00"}}
			}
		}
	}
	d.Orders = append(d.Orders, o)
	return d, s.store.TakeOrder(ctx, key, d, s.now())
}

// unplanned is the place of an order the plan does not know, for the program was
// stopped after it was taken; -1 if there is none or the day has begun without it.
func (s *server) unplanned(ctx context.Context, d record.Day, o schedule.Order) (int, error) {
	p, err := s.store.Plan(ctx, d.ID)
	if err != nil && !errors.Is(err, record.ErrNotFound) {
		return -1, err
	}
	at, more := -1, 0
	for i := range d.Orders {
		if d.Orders[i] == o {
			at, more = i, more+1
		}
	}
	for _, known := range p.From.Orders {
		if known == o {
			more--
		}
	}
	if more <= 0 || s.begun(ctx, d.ID) {
		return -1, nil
	}
	return at, nil
}

// ofOrder names the fields of faults as in the order that was sent.
func ofOrder(err error, i int) error {
	faults, ok := errors.AsType[schedule.Faults](err)
	if !ok {
		return err
	}
	out := append(schedule.Faults{}, faults...)
	for k := range out {
		out[k].Where = strings.TrimPrefix(out[k].Where, fmt.Sprintf("orders[%d].", i))
	}
	return out
}

// sentTap is what a program says of a task, with the kinds of a tap.
type sentTap struct {
	Version int            `json:"version"` // of the plan it is said of
	Task    string         `json:"task"`
	Kind    record.TapKind `json:"kind"`
	Minutes int            `json:"minutes"`
	Of      string         `json:"of"`   // of an undo: the key of the tap
	Sure    bool           `json:"sure"` // it has happened, be it far ahead of its time
}

// sayable are the kinds of tap a program may send: those that need no more words.
var sayable = map[record.TapKind]bool{record.Ack: true, record.Started: true, record.Finished: true, record.NotYet: true, record.Ready: true,
	record.Over: true, record.Skipped: true, record.Undo: true, tapLost: true}

// apiTap keeps what was said of a task; sent again it is kept once.
func (s *server) apiTap(w http.ResponseWriter, r *http.Request) error {
	d, data, key, err := s.keyed(r)
	if err != nil {
		return err
	}
	var in sentTap
	if err := strictly(data, &in); err != nil {
		return err
	}
	run, err := s.store.Running(r.Context(), d.ID)
	if err != nil {
		return err
	}
	if !sayable[in.Kind] {
		return schedule.Faults{{Where: "kind", What: fmt.Sprintf("%q is not a kind of tap", in.Kind), Remedy: "give one of ack, start, done, not-yet, ready, over, skip, dough-lost, undo"}}
	}
	least := 0
	if in.Kind == record.NotYet {
		least = 1
	}
	if in.Minutes < least || in.Minutes > mostTapped {
		return schedule.Faults{{Where: "minutes", What: fmt.Sprintf("%d minutes cannot be", in.Minutes), Remedy: fmt.Sprintf("give %d to %d", least, mostTapped)}}
	}
	t := record.Tap{ID: key, Day: d.ID, Version: in.Version, Task: in.Task, Kind: in.Kind, Of: in.Of, At: s.nowOf(d, run.Plan), Recorded: s.now(), Minutes: in.Minutes}
	slip := schedule.Slip{ID: key, Kind: schedule.SlipKind(t.Kind), At: t.At, Task: t.Task}
	if e := farAhead(d, &run, t.Version, t.At, slip); e != nil && !in.Sure {
		m := view.Picture{Day: &run.Plan.From, Plan: run.Followed(), Now: t.At}
		return &Error{http.StatusConflict, m.Early(e, slip.Kind).Sentence(), "If it is, send it again with \"sure\": true; nothing is noted yet.", ""}
	}
	more := ofRise(t, &run)
	t.Also = lostWith(&run, t.Kind, more)
	stored, faults, err := s.hear(r.Context(), d, t, more)
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		return faults
	}
	answer := struct {
		Stored     bool `json:"stored"`     // false: it was known already
		Endangered bool `json:"endangered"` // a choice waits on the page of choices
	}{Stored: stored}
	if stored {
		s.hub.Publish(live.Tap{Day: d.ID})
		if o := s.heed(r.Context(), d); o != nil {
			answer.Endangered = o.endangered()
		}
	}
	return answerJSON(w, http.StatusOK, answer)
}
