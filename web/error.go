package web

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"ovenward/store/record"
	"ovenward/web/view"
)

// Error is what went wrong in words for the person, and what to do next.
type Error struct {
	Status int
	What   string // "There is no such day."
	Next   string // "Choose one from the list of days."
	Link   string // where Next leads; "" = the start page
}

func (e *Error) Error() string { return e.What }

// explain finds the words for any error met at a path. What is not known here is
// ours to mend and stays in the log.
func explain(path string, err error) *Error {
	if e, ok := errors.AsType[*Error](err); ok {
		return e
	}
	if _, ok := errors.AsType[*http.MaxBytesError](err); ok {
		return &Error{http.StatusRequestEntityTooLarge, "That was more than any form here holds.", "Go back and send less.", ""}
	}
	if errors.Is(err, context.Canceled) { // read by somebody only when the program was stopped meanwhile
		return &Error{http.StatusServiceUnavailable, "The program was being stopped.", "Start it again, then look whether this was kept before you send it again.", ""}
	}
	if e, ok := errors.AsType[*record.Error](err); ok {
		return explainRecord(path, e)
	}
	return &Error{http.StatusInternalServerError, "Something went wrong in the program.",
		"Nothing you saved before is lost. Go back and try again; if it happens again, the log says what it was.", ""}
}

// explainRecord says what to do about a refusal of the store.
func explainRecord(path string, e *record.Error) *Error {
	what := view.Sentence(e.Message)
	switch {
	case errors.Is(e, record.ErrNotFound):
		next, link := instead(path)
		return &Error{http.StatusNotFound, what, next, link}
	case errors.Is(e, record.ErrReplaced):
		return &Error{http.StatusConflict, what, "Go on to the newest plan.", "/"}
	case errors.Is(e, record.ErrTooLate):
		return &Error{http.StatusConflict, what, "A tap can be taken back for ten minutes. Plan the day again if it no longer fits.", ""}
	case errors.Is(e, record.ErrInUse):
		link := "/days" // a bread is ordered there
		if strings.HasPrefix(path, "/bases/") {
			link = "/breads"
		}
		return &Error{http.StatusConflict, what, "Then delete it here again.", link}
	case errors.Is(e, record.ErrInvalid):
		return &Error{http.StatusUnprocessableEntity, what, "Go back and look how it stands; change it if need be, and send it again.", ""}
	}
	return &Error{http.StatusInternalServerError, what, "Nothing you saved before is lost.", ""}
}

// instead says where to look for what is not at a path.
func instead(path string) (next, link string) {
	switch first, _, _ := strings.Cut(strings.TrimPrefix(path, "/"), "/"); first {
	case "breads", "bases":
		return "Choose one from the list of breads.", "/breads"
	case "foods":
		return "Choose one from the list of ingredients.", "/foods"
	case "standing":
		return "Choose one from the list of standing orders.", "/standing"
	case "programs":
		return "Look which programs are let in.", programsPath
	case "devices":
		return "Look which devices are let in.", "/settings"
	case "api":
		return "Ask /api/days and /api/breads what there is.", "/api"
	}
	return "Choose a day from the list.", "/days"
}

// showError writes the error page. It stands on nothing but the layout, so that
// it shows when the store does not answer. What was typed and could not be kept
// stays in it, to be sent again.
func (s *server) showError(w http.ResponseWriter, r *http.Request, err error) {
	e := explain(r.URL.Path, err)
	if e.Status >= 500 && !errors.Is(err, context.Canceled) {
		s.log.ErrorContext(r.Context(), "request failed", "method", r.Method, "path", loggable(r.URL.Path), "err", err)
	}
	if forPrograms(r) {
		showProblem(w, problemOf(r.URL.Path, err))
		return
	}
	p := s.page(r, e.What)
	page := view.ErrorPage(p, e.What, e.Next, e.Link)
	if e.Status >= 500 && len(r.PostForm) > 0 && r.URL.Path != loginPath { // a passphrase is not written into pages
		page = view.FailedPage(p, e.What, e.Next+" What you sent is still here.", view.Resend{To: r.URL.RequestURI(), Values: r.PostForm})
	}
	if err := render(w, r, e.Status, page); err != nil {
		http.Error(w, e.What+" "+e.Next, e.Status)
	}
}
