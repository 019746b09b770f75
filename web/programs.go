package web

import (
	"crypto/rand"
	"errors"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"ovenward/store/record"
	"ovenward/web/view"
)

// programsPath is where other programs are let in.
const programsPath = "/programs"

// handed is the secret of the pass made last. Only its hash is stored, so it is
// shown from here, for a while, to who has just made it.
type handed struct {
	mu     sync.Mutex
	key    string
	secret string
	kind   record.PassKind
	until  time.Time
}

// shownFor is how long a new secret can be copied.
const shownFor = 10 * time.Minute

func (h *handed) show(secret string, kind record.PassKind, now time.Time) (key string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.key, h.secret, h.kind, h.until = newKey(), secret, kind, now.Add(shownFor)
	return h.key
}

func (h *handed) of(key string, now time.Time) (secret string, kind record.PassKind) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if key == "" || key != h.key || now.After(h.until) {
		return "", ""
	}
	return h.secret, h.kind
}

// programsPage lists which programs are let in. A helper's device sees none of it.
func (s *server) programsPage(w http.ResponseWriter, r *http.Request) error {
	return s.showPrograms(w, r, http.StatusOK, view.Form{Values: map[string][]string{"kind": {string(record.CalendarPass)}}})
}

func (s *server) showPrograms(w http.ResponseWriter, r *http.Request, status int, f view.Form) error {
	if visitorOf(r).Role != record.Baker {
		return errHelper
	}
	all, err := s.store.Passes(r.Context())
	if err != nil {
		return err
	}
	p := s.page(r, "Other programs")
	p.Tab = "settings"
	p.Said = s.notices.read(r.URL.Query().Get("said"))
	if len(f.Faults) > 0 {
		p.Title = "Error: " + p.Title
	}
	m := view.Programs{Form: f, All: all}
	secret, kind := s.handed.of(r.URL.Query().Get("new"), s.now())
	switch {
	case secret == "":
	case kind == record.DataPass:
		m.New = []string{secret}
	default:
		for _, at := range s.reachable(r) {
			m.New = append(m.New, at+feedPath+secret+".ics")
		}
	}
	return render(w, r, status, view.ProgramsPage(p, m))
}

// reachable are the addresses this program is found at, the one of the request
// first.
func (s *server) reachable(r *http.Request) []string {
	scheme := "http://"
	if r.TLS != nil {
		scheme = "https://"
	}
	out := []string{scheme + r.Host}
	if s.addresses == nil {
		return out
	}
	for _, a := range s.addresses() {
		if a = strings.TrimSuffix(a, "/"); a != out[0] {
			out = append(out, a)
		}
	}
	return out
}

// longestName bounds the name of a pass.
const longestName = 60

// letProgramIn makes a pass and shows its secret, this once.
func (s *server) letProgramIn(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	f := view.Form{Values: r.PostForm}
	p := record.Pass{Kind: record.PassKind(f.Values.Get("kind")), Name: strings.TrimSpace(f.Values.Get("name")), Made: s.now()}
	if p.Name == "" || len(p.Name) > longestName {
		f.Faults = append(f.Faults, view.FieldFault{Field: "name", What: "Say whose it is in a word or two, such as: my phone."})
	}
	if p.Kind != record.CalendarPass && p.Kind != record.DataPass {
		f.Faults = append(f.Faults, view.FieldFault{Field: "kind", What: "Choose what it may do: read the calendar, or use everything."})
	}
	if len(f.Faults) > 0 {
		return s.showPrograms(w, r, http.StatusUnprocessableEntity, f)
	}
	secret := rand.Text() // of 130 bits
	id, err := s.store.GivePass(r.Context(), secret, p)
	if err != nil {
		return err
	}
	if err := s.nameInstall(r.Context()); err != nil {
		return err
	}
	s.log.InfoContext(r.Context(), "program let in", "pass", id, "kind", p.Kind)
	return seeOther(w, r, programsPath+"?new="+s.handed.show(secret, p.Kind, s.now()))
}

// endProgram lets a program in no more.
func (s *server) endProgram(w http.ResponseWriter, r *http.Request) error {
	id, err := strconv.ParseInt(r.PathValue("id"), 10, 64)
	if err != nil {
		return errNoPage
	}
	if err := s.store.EndPass(r.Context(), id); err != nil {
		return err
	}
	s.log.InfoContext(r.Context(), "program let in no more", "pass", id)
	return seeOther(w, r, programsPath+s.notices.keep([]string{"Ended. That address or key opens nothing any more."}))
}

// passOf gives the pass a secret belongs to, if it is good for the kind. Those
// who try many are made to wait.
func (s *server) passOf(r *http.Request, secret string, kind record.PassKind) (p record.Pass, wait time.Duration, err error) {
	p, err = s.store.Pass(r.Context(), secret, s.now())
	if err == nil && p.Kind != kind {
		err = record.ErrNotFound
	}
	if errors.Is(err, record.ErrNotFound) {
		wait = s.passTries.Try(clientOf(r), s.now())
	}
	return p, wait, err
}
